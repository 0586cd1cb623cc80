"""Tables and paragraphs at 80 columns."""

from __future__ import annotations

import re
import textwrap
from typing import TYPE_CHECKING

from planner.show.swatches import WIDTH

if TYPE_CHECKING:
    from collections.abc import Sequence

    Rows = Sequence[Sequence[str]]

_GAP = 2  # columns between two columns of a plain table
_LEAST_WRAP = 12  # a folded column is never narrower
_UNIT_APART = re.compile(r"(\d) (m|g|yd|oz|s|%)(?!\w)")  # a number and its unit stay on one line
_COLOUR_CODE = re.compile(r"\x1b\[[0-9;]*m")


def display_width(text: str) -> int:
    """How many columns a line takes on the screen, colour codes apart."""
    if text.isascii() and text.isprintable():  # as nearly all is
        return len(text)
    from wcwidth import wcswidth  # noqa: PLC0415 (seldom needed)

    return max(0, wcswidth(_COLOUR_CODE.sub("", text)))


def table(rows: Rows, headers: Sequence[str], aligned: str, *, wrap: int | None = None, indent: str = "") -> str:
    """A plain table; `aligned`: l or r for each column; the column `wrap` is folded into what 80 columns leave it."""
    head, blocks = grouped_table([rows], headers, aligned, wrap=wrap, indent=indent)
    return "\n".join((head, *(block for block in blocks if block)))


def grouped_table(
    groups: Sequence[Rows], headers: Sequence[str], aligned: str, *, wrap: int | None = None, indent: str = ""
) -> tuple[str, list[str]]:
    """One table cut into its heading and a block for each group of rows, so that text can stand between the groups."""
    everything = [list(headers), *(list(row) for rows in groups for row in rows)]
    if wrap is not None:
        limit = _room(everything, wrap, len(indent))
        for row in everything:
            row[wrap] = fold(row[wrap], limit)
    from tabulate import tabulate  # noqa: PLC0415 (heavy, and no table is made for a page)

    lines = tabulate(
        everything,
        tablefmt="plain",
        colalign=["right" if letter == "r" else "left" for letter in aligned],
        disable_numparse=True,
        preserve_whitespace=True,
    ).splitlines()
    lines = [f"{indent}{line}".rstrip() for line in lines]
    heights = [max(cell.count("\n") + 1 for cell in row) for row in everything]
    cuts, start = [], heights[0]
    row_at = 1
    for rows in groups:
        end = start + sum(heights[row_at : row_at + len(rows)])
        cuts.append("\n".join(lines[start:end]))
        start, row_at = end, row_at + len(rows)
    return "\n".join(lines[: heights[0]]), cuts


def _room(rows: Rows, wrap: int, indent: int) -> int:
    widest = [max(map(display_width, column)) for column in zip(*rows, strict=True)]
    return max(_LEAST_WRAP, WIDTH - indent - _GAP * (len(widest) - 1) - sum(widest) + widest[wrap])


def fold(text: str, width: int = WIDTH, *, indent: str = "", hanging: str | None = None) -> str:
    """A paragraph folded to `width` columns; `indent` stands before its first line, `hanging` before the others."""
    if len(indent) + len(text) <= width and text.isprintable() and text[-1:].strip():  # nothing to fold
        return indent + text
    folded = textwrap.fill(
        _UNIT_APART.sub("\\1\u00a0\\2", text),
        width=width,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )
    return folded.replace("\u00a0", " ")
