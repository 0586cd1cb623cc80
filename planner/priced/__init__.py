"""The plan of a large stash: ways to make each project, found at prices for what the lots hold."""
