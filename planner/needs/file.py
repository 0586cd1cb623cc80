"""A pattern file made of an estimate: its text, read back before it is shown, and where it is saved."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patterns.patches import patch_text, plain_decimal
from patterns.read import read_pattern
from planner.measure.figures import interval
from planner.needs.estimate import EDGING, MAIN, MOTIF
from planner.writing import create_in
from stash.quoting import quoted

if TYPE_CHECKING:
    from pathlib import Path

    from patterns.needs import Amount
    from planner.needs.estimate import Column, Estimate, SizeNeeds, Worked

_HEAD = "# Written by `lotwise needs`; yours to change from here on."


def pattern_text(found: Estimate, name: str) -> str:
    """The estimate at its one gauge as a whole pattern file; `name`: of the file, without .yaml."""
    column = found.wish.columns[0]
    sure = f"{100 * float(found.confidence):g} %"
    lines = [_HEAD, f"# Estimated: behind # stands what each comes to; in brackets, each end is {sure} sure."]
    if any(size.body.young for size in found.sizes):
        lines.append("# No children's nightwear from reclaimed yarn: it has to pass flame tests.")
    lines += [f"name: {quoted(title(found))}", f"craft: {found.wish.craft}"]
    if found.wish.swatch is None:
        lines.append(_gauge(column))
    if column.weight_class is None:
        raise ValueError("a pattern needs the class of its yarn")
    lines += [f"yarn: {quoted(column.weight_class.name)}", "needs:"]
    lines += [f"  {quoted(need)}: {_rules(found, need)}" for need in needs_of(found)]
    lines.append("sizes:")
    for size in found.sizes:
        lines += _size(found, size, column)
    text = "\n".join(lines) + "\n"
    _read_back(found, name, text)
    return text


def save_pattern(folder: Path, name: str, text: str) -> str:
    """Write the pattern as a new file and return its name in the workspace. Raises OSError, FileExistsError."""
    file = f"patterns/{name}.yaml"
    try:
        create_in(folder / "patterns", f"{name}.yaml", text.encode())
    except FileExistsError as error:
        raise FileExistsError(error.errno, "there is one already; give another name", file) from None
    return file


def title(found: Estimate) -> str:
    """What the thing is called: "Raglan pullover"."""
    wish = found.wish
    kind = {"plain": "", "triangle": "three-cornered "}.get(wish.construction, f"{wish.construction} ")
    words = f"{kind}{wish.shape.name}"
    return words[0].upper() + words[1:]


def needs_of(found: Estimate) -> tuple[str, ...]:
    """Every need of any size, in order."""
    return tuple(dict.fromkeys(need for size in found.sizes for need in size.needs))


def _gauge(column: Column) -> str:
    stitches, rows = plain_decimal(column.stitches), plain_decimal(column.rows)
    return f"gauge: {{stitches: {stitches}, rows: {rows}, over: {plain_decimal(100 * column.over_m)} cm}}"


def _rules(found: Estimate, need: str) -> str:
    if need == MOTIF and found.wish.motif is not None:
        return f"{{lots: one, colour: {{against: {quoted(_beside(found))}}}}}"
    return "{lots: one}"


def _beside(found: Estimate) -> str:
    """The need that a motif is knitted with."""
    return next((one.need for size in found.sizes for one in size.worked if one.need not in {MOTIF, EDGING}), MAIN)


def _size(found: Estimate, size: SizeNeeds, column: Column) -> list[str]:
    lines = [f"  {quoted(size.name)}:  # {_metres(found, size.amount(column))}"]
    for need, parts in size.needs.items():
        lines.append(f"    {quoted(need)}:  # {_metres(found, size.amount(column, need))}")
        if len(parts) == 1:
            (worked,) = parts.values()
            lines += _patches(worked, "      ")
            continue
        for part, worked in parts.items():
            lines.append(f"      {quoted(part)}:  # {_metres(found, size.amount(column, need, part))}")
            lines += _patches(worked, "        ")
    return lines


def _patches(worked: tuple[Worked, ...], indent: str) -> list[str]:
    return [f"{indent}- {patch_text(one.patch)}  # {one.piece.name}" for one in worked]


def _metres(found: Estimate, amount: Amount) -> str:
    ends = interval(amount.metres, amount.relative_u, found.confidence)
    return f"{ends.best:.0f} m ({ends.low:.0f} to {ends.high:.0f})"


def _read_back(found: Estimate, name: str, text: str) -> None:
    """What the file tells must be what was shown, to the last bit."""
    pattern, faults = read_pattern(f"{name}.yaml", text.encode())
    if pattern is None:
        raise RuntimeError(f"pattern {name} reads back with faults: {faults}\n{text}")
    column = found.wish.columns[0]
    for size in found.sizes:
        told = pattern.sizes[size.name]
        for need, parts in size.needs.items():
            single = len(parts) == 1
            for part in parts:
                if told[need][None if single else part] != size.amount(column, need, part):
                    raise RuntimeError(f"{size.name}, {need}, {part} reads back as another amount\n{text}")
