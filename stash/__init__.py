"""What you own: donors, lots and skeins, and what is known of their yarn."""
