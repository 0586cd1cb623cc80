"""The commands, one file each: they read what is asked, call one thing and show its answer."""
