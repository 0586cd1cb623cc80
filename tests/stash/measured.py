"""Counts measured on a swift or on a table, for tests."""

from fractions import Fraction

from stash.measuring import Sample, pool


def wound(turns, around, mass, scale=1, *, apart=False, text=""):
    """A sample of so many turns of so many metres; grams, and the step of the scale in grams."""
    turns, around, mass, scale = map(Fraction, (turns, around, mass, scale))
    return Sample(turns * around, mass, (scale,), turns, apart, text)


def laid(length, mass, scale=1, *, apart=False, text=""):
    """A sample of so many metres laid out."""
    return Sample(Fraction(length), Fraction(mass), (Fraction(scale),), None, apart, text)


def count_of(*samples):
    return pool(samples).count()
