"""Foreign text that would do harm where it is shown as it stands."""
