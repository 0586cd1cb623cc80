"""The variables: who is made, which working yarn serves which stretch, and, where it matters, from which piece."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from planner.instance import END_CM, Instance, Piece, SizedNeed, Stretch, held_cm

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.program import Program, Terms
    from planner.yarns import WorkingYarn


Key = tuple[int, int, int, int]  # making, need, stretch, yarn (-1: still to be found)
Fine = frozenset[tuple[Key, str]]  # uses and lots whose pieces are modelled one by one


def place_name(place: tuple[int, ...]) -> str:
    """Zero-padded, so that names sort as they were made."""
    return "_".join(f"{number + 1:05d}" for number in place)


@dataclass(frozen=True)
class Use:
    """A working yarn in one stretch of a need, if column `used` is 1; `yarn` None is yarn still to be found.

    `length` is the column of its length in cm where the need may be shared out, else the whole stretch.
    """

    key: Key
    sized: SizedNeed
    stretch: Stretch
    yarn: WorkingYarn | None
    used: int
    length: int | None
    most_cm: int  # longest it could be, alone with the stash

    @property
    def name(self) -> str:
        """Its place, zero-padded, for the names of columns and rows."""
        return place_name(self.key)

    @property
    def making(self) -> int:
        """Index of the making it belongs to."""
        return self.key[0]

    def length_terms(self, factor: float = 1.0) -> Terms:
        """Terms that add up to factor x its length in cm."""
        if self.length is None:
            return ((self.used, factor * self.stretch.planned_cm),)
        return ((self.length, factor),)


class Cut(NamedTuple):
    """One strand of a use from one piece: whether, and how many cm it gives."""

    use: Use
    strand: int  # from 1, through the working yarn
    piece: Piece
    taken: int
    given: int


@dataclass
class Columns:
    """Every variable, by what it means."""

    program: Program
    instance: Instance
    fine: Fine
    made: list[int] = field(default_factory=list)
    rising: dict[int, int] = field(default_factory=dict)  # making -> whether its order rises
    uses: list[Use] = field(default_factory=list)
    cuts: list[Cut] = field(default_factory=list)

    @cached_property
    def by_need(self) -> Mapping[tuple[int, str], tuple[Use, ...]]:
        found: dict[tuple[int, str], list[Use]] = defaultdict(list)
        for use in self.uses:
            found[use.making, use.sized.need.name].append(use)
        return {key: tuple(uses) for key, uses in found.items()}

    @cached_property
    def by_making(self) -> Mapping[int, tuple[Use, ...]]:
        found: dict[int, list[Use]] = defaultdict(list)
        for use in self.uses:
            found[use.making].append(use)
        return {index: tuple(found[index]) for index in range(len(self.made))}

    @cached_property
    def by_lot(self) -> Mapping[str, tuple[tuple[Use, int], ...]]:
        """Lot -> (use, its strands of that lot)."""
        found: dict[str, list[tuple[Use, int]]] = defaultdict(list)
        for use in self.uses:
            for lot, strands in use.yarn.lots if use.yarn else ():
                found[lot.id].append((use, strands))
        return {lot: tuple(found[lot]) for lot in sorted(found)}

    @cached_property
    def cuts_by_use(self) -> Mapping[Key, tuple[Cut, ...]]:
        found: dict[Key, list[Cut]] = defaultdict(list)
        for cut in self.cuts:
            found[cut.use.key].append(cut)
        return {key: tuple(cuts) for key, cuts in found.items()}

    def needs(self) -> Iterator[tuple[str, int, SizedNeed, tuple[Use, ...]]]:
        """Every need of every making: a name for its rows, the making, the need, its uses."""
        for index, making in enumerate(self.instance.makings):
            for place, sized in enumerate(making.needs):
                yield f"{index:05d}_{place:05d}", index, sized, self.by_need.get((index, sized.need.name), ())

    def slots(self, index: int, sized: SizedNeed) -> tuple[tuple[Use, ...], ...]:
        """Groups of a need's uses of which at most one is used: a stretch, or where shared out each by itself."""
        uses = self.by_need.get((index, sized.need.name), ())
        if sized.divisible:
            return tuple((use,) for use in uses)
        return tuple(tuple(use for use in uses if use.stretch is stretch) for stretch in sized.stretches)


def lay_out(
    program: Program,
    instance: Instance,
    fine: Fine,
    *,
    found: bool,
    whole_cm: bool,
) -> Columns:
    """Make the variables; `found` adds yarn still to be found, `whole_cm` keeps lengths to the grid."""
    columns = Columns(program, instance, fine)
    for index, making in enumerate(instance.makings):
        columns.made.append(program.column(f"made_{index:05d}", 0, 1, whole=True))
        if len(making.order) > 1:
            columns.rising[index] = program.column(f"rising_{index:05d}", 0, 1, whole=True)
        for place, sized in enumerate(making.needs):
            for step, stretch in enumerate(sized.stretches):
                yarns = ((-1, None),) * found + tuple(enumerate(sized.yarns))
                for rank, yarn in yarns:
                    key = (index, place, step, rank)
                    most = stretch.planned_cm if yarn is None else most_cm(instance, stretch, yarn)
                    if most >= (sized.share_cm if sized.divisible else stretch.planned_cm):
                        columns.uses.append(_use(program, key, sized, stretch, yarn, most, whole_cm=whole_cm))
    for lot in columns.by_lot:
        columns.cuts += _cuts(program, columns, lot)
    return columns


def most_cm(instance: Instance, stretch: Stretch, yarn: WorkingYarn) -> int:
    """Longest run of the yarn in the stretch, alone with the stash: never too short."""
    held = (held_cm(instance.stock[lot.id], stretch.least_cm) // strands for lot, strands in yarn.lots)
    return min(stretch.planned_cm, *held)


def reaching(alone: Instance) -> Instance:
    """An instance of one making without yarns too short to serve any stretch of their need.

    There is no column for those, so that nothing is lost.
    """
    making = alone.makings[0]

    def reaches(sized: SizedNeed, yarn: WorkingYarn) -> bool:
        return any(
            most_cm(alone, own, yarn) >= (sized.share_cm if sized.divisible else own.planned_cm)
            for own in sized.stretches
        )

    needs = (
        replace(sized, yarns=tuple(yarn for yarn in sized.yarns if reaches(sized, yarn))) for sized in making.needs
    )
    return replace(alone, makings=(replace(making, needs=tuple(needs)),))


def fewest_pieces(instance: Instance, lot: str, use: Use) -> int:
    """Fewest pieces of the lot that one strand of the use can be put together from (1 where shared out)."""
    if use.length is not None:
        return 1
    missing, pieces = use.stretch.planned_cm, 0
    for piece in sorted(instance.stock[lot], key=lambda piece: -piece.length_cm):
        if missing <= 0:
            break
        missing -= piece.length_cm - END_CM
        pieces += 1
    return pieces


def _use(
    program: Program,
    key: Key,
    sized: SizedNeed,
    stretch: Stretch,
    yarn: WorkingYarn | None,
    most: int,
    *,
    whole_cm: bool,
) -> Use:
    name = place_name(key)
    used = program.column(f"use_{name}", 0, 1, whole=True)
    length = program.column(f"length_{name}", 0, most, whole=whole_cm) if sized.divisible else None
    return Use(key, sized, stretch, yarn, used, length, most)


def _cuts(program: Program, columns: Columns, lot: str) -> Iterator[Cut]:
    for use, strands in columns.by_lot[lot]:
        if (use.key, lot) not in columns.fine:
            continue
        first = 1 + sum(own for other, own in use.yarn.lots if other.id < lot) if use.yarn else 1
        for strand in range(first, first + strands):
            for place, piece in enumerate(columns.instance.stock[lot]):
                most = min(piece.length_cm - END_CM, use.stretch.planned_cm)
                if most < use.stretch.least_cm:
                    continue
                name = place_name((*use.key, strand, place))
                taken = program.column(f"taken_{name}", 0, 1, whole=True)
                given = program.column(f"given_{name}", 0, most, whole=False)
                yield Cut(use, strand, piece, taken, given)
