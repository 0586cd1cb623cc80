"""A donor's work sheet: unpick, unravel, skein, wash, measure."""
