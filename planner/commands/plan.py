"""`lotwise plan`: which skein goes where."""

from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.shared import (
    HERE,
    Aim,
    Answer,
    AsJson,
    Cluster,
    Confidence,
    DryRun,
    Ending,
    Folder,
    Projects,
    ShowUnits,
    Units,
)
from planner.commands.wishes import (
    Around,
    ByWay,
    ChartFile,
    Each,
    FirstAim,
    HowMany,
    Lean,
    Only,
    ReportFile,
    SaveAs,
    TimeLimit,
    Wish,
    Within,
    Without,
)
from planner.telling import tell

if TYPE_CHECKING:
    from fractions import Fraction

    from patterns.projects import Project
    from planner.folders import Outcome, Question
    from planner.workspace import Workspace


def plan(
    projects: Projects = None,
    workspace: Folder = HERE,
    units: ShowUnits = Units.METRIC,
    confidence: Confidence = None,
    aim: FirstAim = Aim.GRAMS,
    way: ByWay = None,
    within: Within = None,
    time_limit: TimeLimit = None,
    only: Only = None,
    without: Without = None,
    options: HowMany = None,
    lean: Lean = None,
    chart: ChartFile = None,
    save: SaveAs = None,
    report: ReportFile = None,
    around: Around = None,
    dry_run: DryRun = False,
    each: Each = False,
    cluster: Cluster = None,
    as_json: AsJson = False,
) -> None:
    """Which skein goes where? A winding list for the projects that can be made together.

    PROJECT is a name from projects.yaml, a pattern, or PATTERN:SIZE; without one, all are asked. With --each name
    FOLDERs instead.
    """
    from planner.commands.endings import finish

    wish = Wish(
        tuple(projects or ()),
        aim,
        way,
        within,
        time_limit,
        confidence,
        tuple(only or ()),
        tuple(without or ()),
        options,
        lean,
        chart,
        cluster,
        save,
        report,
        around,
    )
    answer = answer_plan if options is None and lean is None else answer_options
    if each:
        from planner.commands.each import answer_each

        answer = answer_each
    finish(lambda: answer(workspace, wish, units, as_json=as_json), as_json=as_json, dry_run=dry_run)


def answer_plan(folder: Path, wish: Wish, units: Units, *, as_json: bool) -> Answer:
    from planner.asking import AskError
    from planner.commands.interrupting import stop_on_interrupt
    from planner.commands.planfiles import check_files, page_of, write_files
    from planner.commands.reading import read_workspace, tell_decided
    from planner.folders import planned
    from planner.show.documents import write
    from planner.show.plan import plan_sections
    from planner.show.plandocument import plan_document
    from planner.show.progress import Progress
    from planner.show.swatches import screen

    if wish.cluster is not None:
        raise AskError("one plan is not shared out", "leave --cluster out, or ask with --each or --options")
    limits = read_limits(wish)
    workspace = read_workspace(folder)
    question = question_of(workspace, wish, limits)
    tell_decided(workspace, wish.names)
    check_files(folder, wish, question)
    with Progress(interruptible=True) as progress, stop_on_interrupt() as stop:
        outcome = planned(question, stop, progress.report)
        page = None if wish.report is None else page_of(question, outcome, wish, units, stop)
    document = plan_document(outcome.plan, workspace, outcome.instead) if as_json or wish.save else {}
    files = write_files(outcome, workspace, wish, document, page)
    changed = "; ".join(one.said for one in files if one.written)
    ending = Ending.FILE if any(one.failed for one in files) else ending_of(outcome)
    if as_json:
        for one in files:
            if one.failed:
                tell(f"lotwise: {one.said}")
        return Answer(write(document), ending, changed)
    sections = plan_sections(outcome.plan, workspace, screen(units.value), outcome.instead)
    return Answer(next(sections), ending, changed, chain(sections, (one.told for one in files)))


def answer_options(folder: Path, wish: Wish, units: Units, *, as_json: bool) -> Answer:
    from planner import charting, options
    from planner.asking import read_confidence, read_seconds
    from planner.commands.planfiles import check_options_file, options_files
    from planner.commands.reading import read_workspace
    from planner.pinning import the_one
    from planner.show.progress import Progress
    from planner.workers import workers

    if wish.chart is not None:
        charting.refuse_with_options()
    check_options_file(wish)
    workspace = read_workspace(folder)
    sure = read_confidence(wish.confidence, workspace.projects.confidence)
    project = the_one(wished(workspace, wish))
    number = options.how_many(wish.options)
    with Progress(), workers(wish.cluster, hands=1) as crew:
        found = options.options(
            workspace,
            project,
            sure,
            number,
            crew,
            mood=None if wish.lean is None else wish.lean.value,
            seconds=read_seconds(wish.time_limit) or options.SECONDS,
        )
    ending = Ending.DONE if found.options else Ending.NOT_ALL if found.complete else Ending.UNDECIDED
    files = options_files(found, number, workspace, wish, units)
    ending = Ending.FILE if any(one.failed for one in files) else ending
    changed = "; ".join(one.said for one in files if one.written)
    if as_json:
        from planner.show.documents import write
        from planner.show.optionsdocument import options_document

        for one in files:
            if one.failed:
                tell(f"lotwise: {one.said}")
        return Answer(write(options_document(found, workspace)), ending, changed)
    from planner.show.options import options_text
    from planner.show.swatches import screen

    text = options_text(found, number, workspace, screen(units.value))
    return Answer("\n\n".join([text, *(one.told for one in files)]), ending, changed)


def read_limits(wish: Wish) -> "tuple[Fraction, float | None]":
    """How close to the best a plan must be, and the seconds it may take."""
    from planner.asking import read_seconds, read_within

    return read_within(wish.within), read_seconds(wish.time_limit)


def question_of(workspace: "Workspace", wish: Wish, limits: "tuple[Fraction, float | None]") -> "Question":
    """The wish put to a workspace."""
    from planner.asking import read_confidence
    from planner.folders import Question

    sure = read_confidence(wish.confidence, workspace.projects.confidence)
    way = None if wish.way is None else wish.way.value
    return Question(workspace, wished(workspace, wish), sure, wish.aim.value, way, *limits)


def ending_of(outcome: "Outcome") -> Ending:
    return Ending.DONE if all(project.made for project in outcome.plan.projects) else Ending.NOT_ALL


def wished(workspace: "Workspace", wish: Wish) -> "tuple[Project, ...]":
    """The projects asked for, with what the command line asks of their lots."""
    from planner.asking import ask
    from planner.pinning import pinned

    projects = ask(workspace, wish.names, every_size=False)
    if not wish.only and not wish.without:
        return projects
    return tuple(pinned(workspace, project, wish.only, wish.without) for project in projects)
