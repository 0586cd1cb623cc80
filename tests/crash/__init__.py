"""What is written stays whole, whatever stops a run: failing calls, killed processes, many that write at once."""
