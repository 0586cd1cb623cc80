"""A plan is checked once more, from the files, by code that shares nothing with what made it."""
