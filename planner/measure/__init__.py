"""From samples to count, class and metres, and to a new lot."""
