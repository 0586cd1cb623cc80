"""The answers for a tiny case by trying every choice: size, working yarns of every stretch, pieces of every strand."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from itertools import combinations, product
from statistics import NormalDist

from stash.fibre import allowance
from tests.oracle.cutting import ENDS, Strand, Way, ways
from tests.oracle.exact_lp import greatest_whole
from tests.oracle.suiting import alike, stands, working_yarns

CM_SLACK = Fraction(1, 10_000)  # 1e-6 m


@dataclass(frozen=True)
class Split:
    """A stretch whose working yarns share it as they like: names of the free lengths, their least, their grams a cm."""

    total: int
    least: int
    grams: tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True)
class Option:
    """One way to make one project: its size, what every lot must give, and what it is worth in grams."""

    size: str
    strands: tuple[tuple[str, Strand], ...]  # lot, strand
    splits: tuple[Split, ...]
    caps: tuple[tuple[str, int], ...]  # most pieces taken for a need whose joins are counted
    grams: Fraction  # of the stretches with fixed lengths
    most_grams: Fraction


@dataclass(frozen=True)
class Answer:
    """Verdict of each project and size alone; the most `must` projects, and the most grams beside them."""

    verdicts: dict[tuple[str, str], str]
    must: int
    grams: Fraction


def answer(stash, patterns, projects, confidence=Fraction(95, 100)):
    """Everything the brute force can say of a case."""
    sure, guess = pieces_of(stash, confidence), pieces_of(stash, None)
    verdicts, options = {}, []
    for number, project in enumerate(projects):
        pattern = patterns[project.pattern]
        enough = []
        for size in project.sizes or tuple(pattern.sizes):
            with_reserve = options_of(stash, pattern, project, size, project.reserve, number)
            here = [option for option in with_reserve if _may_fit(sure, option.strands)]
            good = any(can_be_made(sure, option) for option in here)
            if good:
                enough += here
                verdicts[project.name, size] = "enough"
                continue
            bare = options_of(stash, pattern, project, size, Fraction(0), number)
            fits = any(can_be_made(guess, option) for option in bare)
            verdicts[project.name, size] = "tight" if fits else "short"
        options.append(sorted(enough, key=lambda option: -option.most_grams))
    must, grams = _best_plan(sure, projects, options)
    return Answer(verdicts, must, grams)


def pieces_of(stash, confidence):
    """Each lot's pieces in whole centimetres, at a confidence or (None) by the best guess."""
    return {
        lot.id: tuple(math.floor(cm + CM_SLACK) for skein in lot.skeins for cm in _skein_cm(lot, skein, confidence))
        for lot in stash.lots.values()
    }


def _skein_cm(lot, skein, confidence):
    if skein.length_m is not None:
        metres, u = skein.length_m, 0.0112
    else:
        metres = Fraction(1000) * skein.mass_g / lot.count.tex
        terms = [lot.count.relative_u, float(skein.scale_g) / 12**0.5 / float(skein.mass_g)]
        if lot.count.apart:
            r = float(allowance(lot.blend))
            terms.append(0.15 * r / (100 + r) / 3**0.5)
        u = math.sqrt(sum(term * term for term in terms))
    if confidence is not None:
        metres *= Fraction(max(0.0, 1 - NormalDist().inv_cdf(float(confidence)) * u))
    return [100 * metres * share for share in skein.shares]


def options_of(stash, pattern, project, size, reserve, number):
    """Every permitted way to make one project in one size, ways that ask the same of every lot told once."""
    amounts = pattern.sizes[size]
    served_so_far = [{}]
    for name in amounts:
        need = pattern.needs[name]
        yarns = working_yarns(stash, need, project.pins.get(name), pattern.wash)
        choices = _choices(need, len(amounts[name]), yarns)
        grown = []
        for served in served_so_far:
            for choice in choices:
                after = {**served, name: choice}
                if stands(pattern, project, after):
                    grown.append(after)
        served_so_far = grown
    found = {}
    for served in served_so_far:
        option = _option(pattern, project, size, served, reserve, number)
        if option is not None:
            found[option.strands, option.splits, option.caps, option.grams] = option
    return list(found.values())


def _choices(need, parts, yarns):
    """Tuples of working yarns: one a part under `by-part`, else a set of them."""
    fits = {(a, b): alike(a, b, need.lots.match) for a in yarns for b in yarns}
    if need.lots.kind == "by-part":
        return [c for c in product(yarns, repeat=parts) if all(fits[a, b] for a, b in combinations(c, 2))]
    most = 1 if need.lots.kind == "one" else need.lots.most or len(yarns)
    sets, last = [(yarn,) for yarn in yarns], [(yarn,) for yarn in yarns]
    for _ in range(1, min(most, len(yarns))):
        last = [
            (*chosen, yarn)
            for chosen in last
            for yarn in yarns[yarns.index(chosen[-1]) + 1 :]
            if all(fits[c, yarn] for c in chosen)
        ]
        sets += last
    return sets


def _option(pattern, project, size, served, reserve, number):
    strands, splits, caps, grams, most = [], [], [], Fraction(0), Fraction(0)
    for name, yarns in served.items():
        need = pattern.needs[name]
        lengths = [amount.metres for amount in pattern.sizes[size][name].values()]
        total = sum(lengths)
        by_part = need.lots.kind == "by-part"
        stretches = [ceil_cm(length * (1 + reserve)) for length in (lengths if by_part else [total])]
        per_cm = project.want * total / sum(stretches) / 1000  # grams a planned centimetre and tex
        capped = f"{number}/{name}" if need.joins is not None else ""
        if capped:
            caps.append((capped, need.joins + sum(len(yarn.lots) for yarn in yarns)))
        if by_part or len(yarns) == 1:
            for length, yarn in zip(stretches, yarns, strict=True):
                strand = Strand(least_cm(need, length), length, "", capped)
                strands += [(lot.id, strand) for lot in yarn.lots]
                grams += per_cm * length * yarn.tex
                most += per_cm * length * yarn.tex
            continue
        length = stretches[0]
        share = -(-length // (2 * need.lots.most)) if need.lots.kind == "alternate" else 0
        least = max(share, least_cm(need, length))
        if least * len(yarns) > length:
            return None
        free = {f"{number}/{name}/{i}": yarn for i, yarn in enumerate(yarns)}
        strands += [
            (lot.id, Strand(least_cm(need, length), 0, key, capped)) for key, yarn in free.items() for lot in yarn.lots
        ]
        splits.append(Split(length, least, tuple((key, per_cm * yarn.tex) for key, yarn in free.items())))
        most += per_cm * length * max(yarn.tex for yarn in yarns)
    return Option(size, tuple(sorted(strands)), tuple(splits), tuple(caps), grams, most)


def least_cm(need, stretch):
    return max(1, min(ceil_cm(need.piece_m), stretch))


def ceil_cm(metres):
    return math.ceil(100 * metres - CM_SLACK)


def _may_fit(pieces, strands):
    """A first look: what every lot must give at the least, with one pair of ends a strand."""
    wanted = {}
    for lot, strand in strands:
        wanted[lot] = wanted.get(lot, 0) + (strand.fixed or strand.least) + ENDS
    return all(cm <= sum(pieces[lot]) for lot, cm in wanted.items())


def can_be_made(pieces, option):
    """Whether every strand of one option can be cut from real pieces."""
    return best_grams(pieces, (option,), any_will_do=True) is not None


def best_grams(pieces, options, beat=None, *, any_will_do=False):
    """The most grams these options give together, every strand cut from real pieces.

    None where they cannot be cut, or give no more than `beat`. With `any_will_do` some grams they can give.
    """
    strands = [pair for option in options for pair in option.strands]
    if not _may_fit(pieces, strands):
        return None
    caps = dict(cap for option in options for cap in option.caps)
    lots = {}
    for lot, strand in strands:
        if strand.capped:  # each strand elsewhere takes a piece at least
            elsewhere = sum(1 for other, s in strands if s.capped == strand.capped and other != lot)
            strand = replace(strand, most=caps[strand.capped] - elsewhere)  # noqa: PLW2901
        lots.setdefault(lot, []).append(strand)
    by_lot = [ways(pieces[lot], tuple(sorted(wanted))) for lot, wanted in sorted(lots.items())]
    if not all(by_lot):
        return None
    fixed = sum(option.grams for option in options)
    splits = tuple(split for option in options for split in option.splits)
    open_lots = sorted((found for found in by_lot if any(way.names or way.pieces for way in found)), key=len)
    best, waiting = None if beat is None else beat - fixed, [()]
    found_one = None
    while waiting:
        # what is decided lot by lot, the rest as if every lot had the best of all its ways at once
        chosen = waiting.pop()
        rest = open_lots[len(chosen) :]
        grams = _grams_of((*chosen, *map(_best_of_all, rest)), caps, splits)
        if grams is None or (best is not None and grams <= best):
            continue
        if all(len(found) == 1 for found in rest):
            best = found_one = grams
            if any_will_do:
                break
        else:
            waiting += [(*chosen, way) for way in reversed(rest[0])]
    return None if found_one is None else found_one + fixed


def _grams_of(chosen, caps, splits):
    """The most grams from one way to cut each lot; None where it leaves too little or takes too many pieces."""
    taken = {}
    for way in chosen:
        for name, count in way.pieces:
            taken[name] = taken.get(name, 0) + count
    if any(count > caps[name] for name, count in taken.items()):
        return None
    return _split_grams(splits, tuple(way for way in chosen if way.names))


def _best_of_all(found):
    """A way that no way of the lot outdoes in anything: no worse than any of them, and it may not be there."""
    if len(found) == 1:
        return found[0]
    room = tuple((rows[0][0], max(right for _, right in rows)) for rows in zip(*(w.room for w in found), strict=True))
    pieces = tuple((c[0][0], min(n for _, n in c)) for c in zip(*(w.pieces for w in found), strict=True))
    return Way(found[0].names, room, pieces)


@cache
def _split_grams(splits, chosen):
    """The most grams from the stretches that are shared as one likes, for one way to cut each lot."""
    names = sorted(name for split in splits for name, _ in split.grams)
    place = {name: i for i, name in enumerate(names)}
    floor = {name: split.least for split in splits for name, _ in split.grams}
    if not names:
        return Fraction(0)
    aim = [Fraction(0)] * len(names)
    least_rows: dict[tuple[int, ...], int] = {}

    def keep(key, right):
        key = tuple(key)
        least_rows[key] = min(right, least_rows.get(key, right))

    for split in splits:
        members = {name for name, _ in split.grams}
        for name, grams in split.grams:
            aim[place[name]] = grams
        keep((int(name in members) for name in names), split.total)
        keep((-int(name in members) for name in names), -split.total)
    for way in chosen:
        for key, right in way.room:
            whole = [0] * len(names)
            for name, coefficient in zip(way.names, key, strict=True):
                whole[place[name]] = coefficient
            keep(whole, right)
    # what is above each least length is the variable, so that it starts at 0
    spare = {name: split.total - split.least * len(split.grams) for split in splits for name, _ in split.grams}
    rows = []
    for key, right in least_rows.items():
        above = right - sum(k * floor[name] for k, name in zip(key, names, strict=True))
        if sum(k * spare[name] for k, name in zip(key, names, strict=True) if k > 0) > above:  # else it always holds
            rows.append((list(key), above))
    rows += [([int(other == name) for other in names], spare[name]) for name in names]
    above = greatest_whole(aim, rows)
    return None if above is None else above + sum(g * floor[name] for g, name in zip(aim, names, strict=True))


def _best_plan(pieces, projects, options):
    """The most `must` projects, then the most grams: every choice of options, cut short where it cannot win."""
    count = len(projects)
    best = (0, Fraction(0))
    rest = [(0, Fraction(0))] * (count + 1)
    for i in range(count - 1, -1, -1):
        must, grams = rest[i + 1]
        if options[i]:
            rest[i] = (must + projects[i].must, grams + options[i][0].most_grams)
        else:
            rest[i] = rest[i + 1]

    def descend(i, chosen, must, grams):
        nonlocal best
        best = max(best, (must, grams))
        if i == count or (must + rest[i][0], grams + rest[i][1]) <= best:
            return
        for option in options[i]:
            if (must + rest[i][0], grams + option.most_grams + rest[i + 1][1]) <= best:
                break
            more_musts = must + rest[i][0] > best[0]  # then any grams will do
            found = best_grams(pieces, (*chosen, option), None if more_musts else best[1] - rest[i + 1][1])
            if found is not None:
                descend(i + 1, (*chosen, option), must + projects[i].must, found)
        descend(i + 1, chosen, must, grams)

    descend(0, (), 0, Fraction(0))
    return best
