"""Generated workspaces larger than the demo, and the time the commands take on them."""
