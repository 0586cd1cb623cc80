"""From a shape to metres by size and class, and to a pattern file."""
