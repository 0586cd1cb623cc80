"""Tables as they come from a spreadsheet or go into one: rows of cells, each with its place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["text", "number", "date"]


class SheetError(ValueError):
    """A spreadsheet that cannot be read at all; `hint` says what to do instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True)
class Cell:
    """What stands in a cell, as text; `kind` says what the spreadsheet took it for."""

    text: str
    kind: Kind = "text"


BLANK = Cell("")


@dataclass(frozen=True)
class Table:
    """One sheet, from its first row and column on; rows may differ in length."""

    name: str
    rows: tuple[tuple[Cell, ...], ...]

    def cell(self, row: int, column: int) -> Cell:
        """The cell at places counted from 0; blank beyond what is written."""
        cells = self.rows[row] if row < len(self.rows) else ()
        return cells[column] if column < len(cells) else BLANK

    def place(self, row: int, column: int) -> str:
        """A cell's name as a spreadsheet shows it: "Stash!C14"."""
        return f"{self.name}!{letters(column)}{row + 1}"


def letters(column: int) -> str:
    """A column's name, from its place counted from 0: A, B, ... Z, AA."""
    name = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(ord("A") + rest) + name
    return name
