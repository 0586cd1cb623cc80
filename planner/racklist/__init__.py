"""The rack list: the few finds that would unlock the most projects, each claim tried."""
