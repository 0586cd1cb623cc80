"""Spreadsheets: reading rows into a stash, and writing answers as rows."""
