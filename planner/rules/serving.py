"""What serves a need: the lot rules."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.program import Row

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.columns import Columns


def one_yarn(columns: Columns) -> Iterator[Row]:
    """`one` and `by-part`: a stretch comes whole from one working yarn.

    For every such stretch: sum over yarns of used = made.
    """
    for name, index, sized, _ in columns.needs():
        if not sized.divisible:
            for step, slot in enumerate(columns.slots(index, sized)):
                terms = ((columns.made[index], -1.0), *((use.used, 1.0) for use in slot))
                yield Row(f"one_yarn_{name}_{step:05d}", terms, "=", 0)


def shared_out(columns: Columns) -> Iterator[Row]:
    """`alternate` and `any`: the working yarns together carry the need.

    For every such need: sum over yarns of length = planned x made.
    """
    for name, index, sized, uses in columns.needs():
        if sized.divisible:
            lengths = (term for use in uses for term in use.length_terms())
            yield Row(f"shared_out_{name}", ((columns.made[index], -float(sized.planned_cm)), *lengths), "=", 0)


def least_share(columns: Columns) -> Iterator[Row]:
    """A working yarn that is used carries its share: 1/(2N) under `alternate N`, and a piece at least.

    For every yarn of a need that is shared out: length >= share x used.
    """
    for use in columns.uses:
        if use.length is not None:
            yield Row(f"least_share_{use.name}", ((use.length, 1.0), (use.used, -float(use.sized.share_cm))), ">=", 0)


def most_share(columns: Columns) -> Iterator[Row]:
    """A working yarn that is not used carries nothing.

    For every yarn of a need that is shared out: length <= longest it could be x used.
    """
    for use in columns.uses:
        if use.length is not None:
            terms = ((use.length, 1.0), (use.used, -float(use.most_cm)))
            yield Row(f"most_share_{use.name}", terms, "<=", 0)


def most_yarns(columns: Columns) -> Iterator[Row]:
    """`alternate N` and `any N`: up to N working yarns.

    For every such need: sum over yarns of used <= N x made.
    """
    for name, index, sized, uses in columns.needs():
        most = sized.need.lots.most
        if sized.divisible and most is not None:
            terms = ((columns.made[index], -float(most)), *((use.used, 1.0) for use in uses))
            yield Row(f"most_yarns_{name}", terms, "<=", 0)


def only_if_made(columns: Columns) -> Iterator[Row]:
    """A working yarn of a need that is shared out is used only if the project is made.

    For every such yarn: used <= made.
    """
    for use in columns.uses:
        if use.length is not None:
            yield Row(f"only_if_made_{use.name}", ((use.used, 1.0), (columns.made[use.making], -1.0)), "<=", 0)
