"""What stands in the way of a project, and the smallest changes with which it can be made."""
