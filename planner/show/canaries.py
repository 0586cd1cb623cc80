"""Whether the solver is to be trusted, in words and as a document."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.canaries import Tried

WHAT_TO_DO = """\
Do not go by a plan made here. Set lotwise up anew in an empty .venv, as README.md
begins, and ask this again. If it stays so, please report this page.
"""


def solver_text(tried: Sequence[Tried], versions: str) -> str:
    wrong = [one for one in tried if not one.passed]
    if not wrong:
        return (
            f"The solver on this machine can be trusted: of {len(tried)} small questions with known\n"
            f"answers, such as solvers have got wrong before, it got all right\n({versions}).\n"
        )
    lines = "".join(f"  {_named(one)}: {_told(one)}\n" for one in wrong)
    return (
        f"The solver on this machine cannot be trusted: of {len(tried)} small questions with known\n"
        f"answers it got {len(wrong)} wrong ({versions}).\n{lines}\n{WHAT_TO_DO}"
    )


def solver_document(tried: Sequence[Tried], versions: str) -> dict[str, Any]:
    return {
        "format": "lotwise/solver-1",
        "trusted": all(one.passed for one in tried),
        "solver": versions,
        "questions": [
            {
                "question": one.canary.name,
                "backwards": one.backwards,
                "right": one.canary.right,
                "found": one.found,
                "passed": one.passed,
            }
            for one in tried
        ],
    }


def _named(one: Tried) -> str:
    return f"{one.canary.name}, backwards" if one.backwards else one.canary.name


def _told(one: Tried) -> str:
    if one.found is None:
        return f"found nothing where {one.canary.right:g} is right"
    if abs(one.found - one.canary.right) < 5e-7:
        return f"found {one.canary.right:g}, which is right, but did not prove it"
    return f"found {one.found:.9g} where {one.canary.right:g} is right"
