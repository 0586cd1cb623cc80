"""Generated stashes in which many yarns are exactly as thick as each other, so that many plans use as many grams."""

from dataclasses import replace

from stash.count import read_count
from tests.bench.generated import workspace

COUNTS = tuple(f"{metres} m/100g" for metres in (110, 165, 230, 300, 440))


def alike(lots, projects, seed):
    """A workspace whose lots have one of five counts, each the one nearest to its own."""
    drawn = workspace(lots, projects, 1, seed, projects)
    own = {name: replace(lot, count=_nearest(lot)) for name, lot in drawn.stash.lots.items()}
    return replace(drawn, stash=replace(drawn.stash, lots=own))


def _nearest(lot):
    counts = [read_count(text, lot.blend) for text in COUNTS]
    metres = 100_000 / float(lot.count.tex)
    return min(counts, key=lambda count: abs(100_000 / float(count.tex) - metres))
