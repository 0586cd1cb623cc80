"""What you want to make: patterns, their needs and sizes, and projects."""
