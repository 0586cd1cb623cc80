"""The questions midway asks, and what their answers make together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.asking import AskError
from planner.midway.knitting import Knitting, Rows, done_by_rows, done_by_share
from planner.midway.told import WHOLE, Told, read_done, read_how, read_strands, read_widths
from planner.midway.weighed import fewest_strands, weigh
from planner.prompting import Question, gather

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.midway.knitting import Done, How, InUse
    from planner.workspace import Workspace

    Given = Mapping[str, str | Sequence[str] | None]
    Values = Mapping[str, Any]

PROJECT, NEED, PART, ROWS, WIDTHS, DONE = "PROJECT", "--need", "--part", "--rows", "--widths", "--done"
LEFT, BEGAN, SCALE, HOW, SERVES, STRANDS = "--left", "--began", "--scale", "--how", "--serves", "--strands"
HIDES, FINISHED = "--hides", "--finished"
DOES_NOT_ARISE = {
    PART: "this need is not divided into parts: leave it out",
    DONE: "--rows says how much is done, and says it better: leave one of them out",
    WIDTHS: "it says where the rows of --rows are wider: give those too, such as --rows '90 of 150'",
    HIDES: "it names rows of --rows: give those too, such as --rows '90 of 150'",
    HOW: "only one lot is weighed: give --left for every lot on the needles",
    SERVES: "it is for lots stranded across each other: give --how stranded too",
}
LEAD = (
    "Will the yarn reach? Weigh what is left of each lot on the needles, with the\n"
    "ball you knit from. "
    "Enter alone takes what stands in brackets."
)


def ask_midway(workspace: Workspace, project: str | None, given: Given) -> Knitting:
    """The knitting as told by flags, or by prompts where no flag is given. Raises AskError."""
    told = Told(workspace)
    questions = [*_of_the_work(told), *_of_the_yarn(told), *_of_the_rest(told)]
    if project is not None:
        told.read_project(project)
        questions = questions[1:]
    values = gather(questions, given, lead=LEAD)
    for flag, why in DOES_NOT_ARISE.items():
        if given.get(flag) not in (None, [], WHOLE) and values[flag] in (None, ()):
            raise AskError(f"{flag} does not go with the rest", why)
    return _together(told, values)


def _of_the_work(told: Told) -> list[Question]:
    widths = "How wide is it at the start, now and at the end? such as 50 cm, 45 cm, 40 cm; the same all along:"
    return [
        Question(PROJECT, "Which project? such as hat:adult", told.read_project),
        Question(NEED, "Which need is on the needles? such as main", told.read_need, told.only_need),
        Question(PART, "Which part of it?", told.read_part, WHOLE, when=lambda _: told.in_parts),
        Question(ROWS, "Which row are you on, of how many? such as 90 of 150", told.read_rows, ""),
        Question(WIDTHS, widths, read_widths, "", when=lambda values: values[ROWS] is not None),
        Question(DONE, "How much of it is done? such as 60%", read_done, when=lambda values: values[ROWS] is None),
    ]


def _of_the_yarn(told: Told) -> list[Question]:
    def several(_: Values) -> bool:
        return len(told.left) > 1

    def stranded(values: Values) -> bool:
        return bool(values[HOW] == "stranded")

    left = "A lot on the needles and what is left of it, such as slate=62 g; the next one?"
    began = "Of a lot you did not begin with all of: what you began with, such as slate=240 g; the next one?"
    serves = "Which lot serves another need? such as cream=motif; the next one?"
    return [
        Question(LEFT, left, told.read_left, many=True, needed=lambda _: True),
        Question(BEGAN, began, told.read_began, many=True, needed=lambda _: told.unclear),
        Question(
            SCALE, "In which steps does your scale show, such as 1 g? By the digits you wrote:", told.read_scale, ""
        ),
        Question(HOW, "How are the lots used? alternate, together or stranded", read_how, "alternate", when=several),
        Question(SERVES, serves, told.read_serves, many=True, when=stranded, needed=lambda _: True),
        Question(STRANDS, "How many strands of a lot run together? As few as suit the need:", read_strands, ""),
    ]


def _of_the_rest(told: Told) -> list[Question]:
    hides = "A row to come where a change of lot would hide, such as 112 under the arm; the next one?"
    return [
        Question(HIDES, hides, told.read_hiding, many=True, when=lambda values: values[ROWS] is not None),
        Question(FINISHED, "A part or need that is knitted already; the next one?", told.read_finished, many=True),
    ]


def _together(told: Told, values: Values) -> Knitting:
    """All answers together. Raises AskError where they do not fit one another."""
    if not told.left:
        raise AskError("nothing says what is left", "weigh each lot on the needles, such as --left slate=62g")
    told.refuse_unclear()
    how: How = values[HOW] if len(told.left) > 1 else "alone"
    return Knitting(
        told.asked,
        told.pattern,
        told.asked.sizes[0],
        told.need,
        values[PART],
        _done(values),
        how,
        _in_use(told, values, how),
        tuple(values[HIDES]),
        frozenset(values[FINISHED]),
    )


def _in_use(told: Told, values: Values, how: How) -> tuple[InUse, ...]:
    serves = dict(values[SERVES])
    found = []
    for left in told.left:
        need = serves.get(left.lot.id, told.need)
        strands = values[STRANDS]
        if strands is None:
            rule = told.pattern.needs[need]
            strands = 1 if how == "together" else fewest_strands(told.asked, told.pattern, rule, left.lot)
        found.append(weigh(left, told.began_of(left), values[SCALE], need, strands))
    if how == "stranded" and len({one.need for one in found}) < len(found):
        raise AskError("stranded lots serve a need each", f"say which, such as --serves {found[-1].lot.id}=motif")
    if told.need not in {one.need for one in found}:
        raise AskError(f"no lot on the needles serves {told.need}", "say --serves only for lots of another need")
    return tuple(found)


def _done(values: Values) -> Done:
    if values[ROWS] is None:
        return done_by_share(values[DONE])
    now, of = values[ROWS]
    return done_by_rows(Rows(now, of, values[WIDTHS]))
