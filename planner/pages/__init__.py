"""Pages with pictures, to look at and to print: see page.py for how one is made."""
