"""Files as no person would write them, made from good ones; each must be read, or refused with a fault in its place."""
