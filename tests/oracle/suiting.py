"""Which working yarns may serve a need, and which may stand together in one project. Read from the rules, need by need."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations_with_replacement, pairwise

from stash.colour import difference, mix
from stash.fibre import density, family

TINY = Fraction(1, 10**6)
FLOAT_TINY = 1e-6


class WorkingYarn:
    """Lots held together, the same lot as often as it is held; its tex, blend and colour worked out once."""

    def __init__(self, lots):
        self.lots = tuple(sorted(lots, key=lambda lot: lot.id))
        self.key = tuple(lot.id for lot in self.lots)
        self.names = frozenset(self.key)
        self.tex = sum(lot.count.tex for lot in self.lots)
        self.wool_tex = sum(lot.count.tex * Fraction(131, 100) / density(lot.blend) for lot in self.lots)
        self.blend = {}
        for lot in self.lots:
            for fibre, share in lot.blend.shares.items():
                self.blend[fibre] = self.blend.get(fibre, 0) + Fraction(share) * lot.count.tex / self.tex
        alone = len(self.names) == 1
        self.colour = self.lots[0].colour if alone else mix([(lot.colour, float(lot.count.tex)) for lot in self.lots])
        self.light = self.colour.lightness


def working_yarns(stash, need, pin, wash):
    """Every working yarn that may serve the need when nothing else is made."""
    lots = [lot for lot in stash.lots.values() if _may_come_in(lot, pin, wash)]
    low, high = need.strands
    together = (WorkingYarn(c) for k in range(low, high + 1) for c in combinations_with_replacement(lots, k))
    return [yarn for yarn in together if _serves(yarn, need)]


def _may_come_in(lot, pin, wash):
    if pin is not None and (lot.id in pin.without or (pin.only is not None and lot.id not in pin.only)):
        return False
    return not (wash == "machine" and lot.felts is True)


def _serves(yarn, need):
    per_100g = 100_000 / yarn.wool_tex
    if per_100g < need.yarn.low - TINY or per_100g > need.yarn.high + TINY:
        return False
    if not need.marl:
        for i, one in enumerate(yarn.lots):
            for other in yarn.lots[i + 1 :]:
                if one is not other and difference(one.colour, other.colour) > 3 + FLOAT_TINY:
                    return False
    near = need.colour.near
    if near is not None and difference(yarn.colour, near) > need.colour.within + FLOAT_TINY:
        return False
    return _blend_allowed(yarn.blend, need.fibre)


def _blend_allowed(blend, rule):
    def share(name):
        return sum(s for fibre, s in blend.items() if fibre == name or family(fibre) == name)

    for fibre in blend:
        kin = family(fibre)
        if fibre in rule.avoid or (kin is not None and kin in rule.avoid):
            return False
        allowed = rule.allow is None or fibre in rule.allow or (kin is not None and kin in rule.allow)
        if not allowed and fibre not in rule.at_most and (kin is None or kin not in rule.at_most):
            return False
    if any(share(name) < least - TINY for name, least in rule.at_least.items()):
        return False
    return all(share(name) <= most + TINY for name, most in rule.at_most.items())


def alike(one, other, match):
    """Two working yarns that may serve one need side by side."""
    if one.key == other.key:
        return True
    fibres = set(one.blend) | set(other.blend)
    points = 50 * sum(abs(one.blend.get(f, 0) - other.blend.get(f, 0)) for f in fibres)
    return points <= 30 + TINY and (match is None or difference(one.colour, other.colour) <= match + FLOAT_TINY)


def stands(pattern, project, served):
    """Whether the needs served so far ({need: its working yarns}) may be in one project."""
    return _lots_meet(pattern, project, served) and _colours_meet(pattern, served) and _fades(pattern, served)


def _lots_meet(pattern, project, served):
    lots = {lot.id: lot for yarns in served.values() for yarn in yarns for lot in yarn.lots}.values()
    felting = {lot.felts for lot in lots}
    if pattern.wash != "hand" and True in felting and False in felting:
        return False
    return project.bleed_risk or not any(
        dark.bleeds is True and light.colour.lightness - dark.colour.lightness >= 25 - FLOAT_TINY
        for dark in lots
        for light in lots
    )


def _colours_meet(pattern, served):
    for name, yarns in served.items():
        rule = pattern.needs[name].colour
        for yarn in yarns:
            for other in rule.against:
                if any(abs(yarn.light - b.light) < rule.against_lightness - FLOAT_TINY for b in served.get(other, ())):
                    return False
            for other in rule.lighter_than:
                if any(yarn.light < b.light + rule.lighter_lightness - FLOAT_TINY for b in served.get(other, ())):
                    return False
            for other in rule.darker_than:
                if any(yarn.light > b.light - rule.lighter_lightness + FLOAT_TINY for b in served.get(other, ())):
                    return False
            for other in rule.same_as:
                if other in served and yarn.key not in {b.key for b in served[other]}:
                    return False
            for other in rule.not_in:
                if any(yarn.names & b.names for b in served.get(other, ())):
                    return False
    return True


def _fades(pattern, served):
    steps = [served[name] for name in pattern.order if name in served]
    lots = [frozenset(lot for yarn in yarns for lot in yarn.names) for yarns in steps]
    if any(a & b for i, a in enumerate(lots) for b in lots[i + 1 :]):
        return False
    rising = falling = True
    for one, after in pairwise(steps):
        for a in one:
            for b in after:
                rising = rising and b.light - a.light >= 5 - FLOAT_TINY
                falling = falling and a.light - b.light >= 5 - FLOAT_TINY
    return rising or falling
