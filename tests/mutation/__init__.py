"""How many small mistakes put into the code, one at a time, the tests find out."""
