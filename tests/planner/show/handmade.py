"""Lots, needs and amounts in a line each."""

from fractions import Fraction

from patterns.needs import Amount, ColourRule, FibreRule, LotRule, Need, YarnRange
from stash.colour import read_colour
from stash.count import read_count
from stash.faults import Place
from stash.fibre import read_blend
from stash.lots import Lot, Skein

HERE = Place("stash.yaml", 1, 1)
SURE = Fraction(95, 100)


def make_lot(name, colour, skeins, *, fibre="80% wool, 20% polyamide", felts=True, bleeds=False):
    """`skeins`: (grams, how many equal pieces) each; a label of 230 m/100g, so u is 3 % but for the scale."""
    blend = read_blend(fibre)
    wound = tuple(
        Skein(f"{name}-{i}", Fraction(grams), None, Fraction(1), (Fraction(1, pieces),) * pieces, pieces > 1, HERE)
        for i, (grams, pieces) in enumerate(skeins, 1)
    )
    return Lot(name, None, blend, read_colour(colour), read_count("230 m/100g", blend), felts, bleeds, wound, HERE)


def make_need(name, kind="one"):
    dk = YarnRange(Fraction(190), Fraction(273), "dk")
    return Need(name, LotRule(kind, 1, None), ColourRule(), dk, (1, 2), False, FibreRule(), Fraction(5), None, HERE)


def amount(metres):
    return Amount(Fraction(metres), 0.05)
