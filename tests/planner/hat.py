"""A hat that is planned well, to be changed in one place.

Lots are 250 tex (400 m/100 g) and stated as lengths; at 50 % sure all of each piece may be taken. The hat takes
20 m of slate (one piece) and 10 m of cream: (20 + 10) x 250 / 1000 = 7.5 g.
"""

from dataclasses import replace
from fractions import Fraction

from patterns.needs import Amount, ColourRule, FibreRule, LotRule, Need, Pattern, YarnRange
from patterns.projects import Project
from planner.plan import Plan, PlannedNeed, PlannedProject, Take, YarnRun
from planner.verify.check import NAMING, RULES, verify
from planner.verify.facts import Facts
from stash.colour import read_colour
from stash.count import read_count
from stash.faults import Place
from stash.fibre import read_blend
from stash.lots import Lot, Skein, Stash

HERE = Place("here", 1, 1)
HALF = Fraction(1, 2)


def lot(name, colour, fibre="wool", felts=None, bleeds=False):
    """A skein of two pieces, 30 m and 10 m, and a whole one of 40 m."""
    blend = read_blend(fibre)
    shares = ((Fraction(3, 4), Fraction(1, 4)), (Fraction(1),))
    skeins = tuple(
        Skein(f"{name}-{i}", None, Fraction(40), Fraction(0), share, False, HERE) for i, share in enumerate(shares, 1)
    )
    return Lot(name, None, blend, read_colour(colour), read_count("250 tex", blend), felts, bleeds, skeins, HERE)


LOTS = {
    one.id: one
    for one in (
        lot("cream", "#efe6d2"),
        lot("mist", "#5b6770", "60% wool, 40% acrylic"),
        lot("sky", "#5c6870"),
        lot("slate", "#5b6770"),
    )
}


def need(name, **changed):
    plain = Need(
        name=name,
        lots=LotRule("one", 1, None),
        colour=ColourRule(),
        yarn=YarnRange(Fraction(100), Fraction(500), "100 to 500"),
        strands=(1, 2),
        marl=False,
        fibre=FibreRule(),
        piece_m=Fraction(5),
        joins=None,
        place=HERE,
    )
    return replace(plain, **changed)


def run(lots, length_cm, *takes, part=None):
    """A working yarn; a take is strand, skein (its lot before the dash), piece, centimetres."""
    listed = tuple(Take(strand, skein.partition("-")[0], skein, piece, cm) for strand, skein, piece, cm in takes)
    return YarnRun(lots, length_cm, part, listed)


SLATE = run({"slate": 1}, 2000, (1, "slate-2", 1, 2030))
CREAM = run({"cream": 1}, 1000, (1, "cream-2", 1, 1030))


class Case:
    """The hat: its pattern, stash, project and plan, to be changed in one place."""

    def __init__(self):
        self.needs = {"main": need("main"), "motif": need("motif")}
        self.sizes = {"S": {"main": {None: Amount(Fraction(20), 0.05)}, "motif": {None: Amount(Fraction(10), 0.05)}}}
        self.wash, self.order = "any", ()
        self.lots = dict(LOTS)
        self.project = Project("hat:S", "hat", ("S",), Fraction(0))
        self.more_asked = ()
        self.planned = {"main": 2000, "motif": 1000}
        self.runs = {"main": (SLATE,), "motif": (CREAM,)}
        self.grams = 7.5
        self.bound, self.proof, self.aim, self.fewest = None, "optimal", "grams", None
        self.asked_confidence = None
        self.best_guess = False
        self.size = "S"

    def parts(self):
        pattern = Pattern("hat", "Hat", "knitting", self.wash, Fraction(0), self.order, self.needs, self.sizes, HERE)
        needs = tuple(PlannedNeed(name, self.planned[name], self.runs[name]) for name in self.runs)
        row = PlannedProject("hat:S", "hat", self.size, needs)
        bound = self.grams if self.bound is None else self.bound
        plan = Plan((row,), HALF, self.aim, self.grams, bound, self.proof, 0.0, fewest=self.fewest)
        return plan, (self.project, *self.more_asked), Stash({}, self.lots), {"hat": pattern}

    def broken(self):
        return verify(*self.parts(), best_guess=self.best_guess, confidence=self.asked_confidence)

    def rules_broken(self):
        """Names of the rules that are broken; those that cannot be read are not asked."""
        facts = Facts(*self.parts(), self.best_guess, self.asked_confidence)
        return [rule.__name__ for rule in NAMING if tuple(rule(facts))] or [
            rule.__name__ for rule in RULES if tuple(rule(facts))
        ]

    def change_need(self, name, **changed):
        self.needs[name] = replace(self.needs[name], **changed)

    def change_lot(self, name, **changed):
        self.lots[name] = replace(self.lots[name], **changed)

    def two_yarns(self, rule, first=1000, second=1000, other="sky"):
        """Main from slate and another lot."""
        self.change_need("main", lots=rule)
        self.runs["main"] = (
            run({"slate": 1}, first, (1, "slate-2", 1, first + 30)),
            run({other: 1}, second, (1, f"{other}-2", 1, second + 30)),
        )
