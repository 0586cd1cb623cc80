"""How a command ends: its answer printed, or in plain words why there is none."""

import errno
import os
import platform
import sys
import traceback
from collections.abc import Callable
from typing import NoReturn

import typer

from planner.commands.shared import Answer, Ending
from planner.telling import point_at_nothing, tell

NOT_ALL = "what is shown is not all of the answer"


def finish(work: Callable[[], Answer], *, as_json: bool, dry_run: bool = False) -> NoReturn:
    """Do the work, print its answer and leave with its code; whatever stops it is told in plain words.

    `dry_run`: write nothing, and show what would be written.
    """
    from planner.noting import noting

    with noting():
        try:
            answer = _rehearsed(work, as_json=as_json) if dry_run else work()
        except KeyboardInterrupt:
            message = "interrupted before there was anything to show"
            answer = refusal(message, changes(), Ending.INTERRUPTED, as_json=as_json)
        except Exception as error:  # noqa: BLE001 (the last place where it can still be told in plain words)
            answer = explain(error, as_json=as_json)
        ending = _shown(answer)
    raise typer.Exit(ending)


def _shown(answer: Answer) -> Ending:
    """Print an answer, and tell where it ends before all of it is there: beside it, as it may be part of a document."""
    try:
        return _print(answer)
    except KeyboardInterrupt:
        return _print(refusal(f"interrupted; {NOT_ALL}", changes(), Ending.INTERRUPTED, as_json=False))
    except Exception as error:  # noqa: BLE001 (as in the work itself)
        tell(f"lotwise: {NOT_ALL}")
        return _print(explain(error, as_json=False))


def changes() -> str:
    """What the run has changed by now, in words."""
    from planner.noting import told_changes

    return told_changes() or "nothing was changed"


def _rehearsed(work: Callable[[], Answer], *, as_json: bool) -> Answer:
    from planner.commands.rehearsing import rehearsed

    return rehearsed(work, as_json=as_json)


def explain(error: Exception, *, as_json: bool) -> Answer:
    """What stopped a command, in plain words."""
    from planner.asking import AskError
    from stash.faults import FaultyFilesError

    if isinstance(error, FaultyFilesError):
        return _faulty(error, as_json=as_json)
    if isinstance(error, AskError):
        return refusal(str(error), error.hint, Ending.USAGE, as_json=as_json)
    if isinstance(error, OSError):
        name = f"{error.filename}: " if error.filename else ""
        why = error.strerror or str(error)
        return refusal(f"{name}{why}", getattr(error, "hint", changes()), Ending.FILE, as_json=as_json)
    from planner.checked import OwnFaultError
    from planner.plan import UndecidedError

    if isinstance(error, UndecidedError):
        hint = "allow more time, or ask for fewer projects"
        return refusal("nothing was found in the time allowed", hint, Ending.UNDECIDED, as_json=as_json)
    found = error.bundle if isinstance(error, OwnFaultError) else "".join(traceback.format_exception(error))
    return _own_fault(found, as_json=as_json)


def refuse_usage(error: Exception, *, as_json: bool) -> Ending:
    """Say what is wrong with the command line, as typer found it."""
    message = error.format_message() if hasattr(error, "format_message") else str(error)
    message = message.replace("Value error, ", "")  # pydantic's own word, which newer typers pass on
    message = " ".join(message.split())  # the choices of an argument that is missing come a line each
    context = getattr(error, "ctx", None)
    hint = f"see {getattr(context, 'command_path', 'lotwise')} --help"
    return _print(refusal(message[:1].lower() + message[1:].rstrip("."), hint, Ending.USAGE, as_json=as_json))


def refusal(message: str, hint: str, ending: Ending, *, as_json: bool) -> Answer:
    """A command that cannot answer: told on stderr, or as a document on stdout."""
    from planner.faultprint import safe_text

    if as_json:
        from planner.show.documents import error_document, write

        return Answer(write(error_document(message, hint)), ending)
    tell(f"lotwise: {safe_text(message)}")
    if hint:
        tell(f"hint: {safe_text(hint)}")
    return Answer("", ending)


def _faulty(error: Exception, *, as_json: bool) -> Answer:
    from planner.faultprint import show_faults
    from stash.faults import FaultyFilesError

    faults = error.faults if isinstance(error, FaultyFilesError) else ()
    message, hint = "there are faults in the files", "put them right, then ask again; `lotwise check` lists them"
    if faults and all(fault.place.file.endswith(".json") for fault in faults):
        message, hint = "the plan cannot be used any more", "plan again, and save it under another name"
    if as_json:
        from planner.show.documents import error_document, write

        return Answer(write(error_document(message, hint, faults)), Ending.FAULTS)
    tell(show_faults(faults).rstrip("\n"))
    tell(f"\nlotwise: {message}\nhint: {hint}")
    return Answer("", Ending.FAULTS)


def _own_fault(found: str, *, as_json: bool) -> Answer:
    """Our own fault, with what a report of it needs."""
    from importlib import metadata

    try:
        version = metadata.version("lotwise")
    except metadata.PackageNotFoundError:
        version = "not installed"
    bundle = f"lotwise {version}, Python {platform.python_version()}, {platform.system()}\n{found.rstrip()}"
    message = f"lotwise made a mistake of its own, so it shows no answer; {changes()}"
    hint = "please report this, with the text in `bundle` and your files if you can share them"
    if as_json:
        from planner.show.documents import error_document, write

        return Answer(write({**error_document(message, hint), "bundle": bundle}), Ending.OURS)
    tell(f"lotwise: {message}.\nPlease report this with the text below, and your files if you can share them.")
    tell(f"--- begin ---\n{bundle}\n--- end ---")
    return Answer("", Ending.OURS)


def _print(answer: Answer) -> Ending:
    """Print an answer and give the code to leave with."""
    if not answer.text:
        return answer.ending
    try:
        if sys.stdout is None:
            raise OSError(errno.EBADF, os.strerror(errno.EBADF))  # noqa: TRY301 (closed, told as any other)
        for place, section in enumerate(answer.sections):
            before, after = "\n" if place else "", "" if section.endswith("\n") else "\n"
            sys.stdout.write(f"{before}{section}{after}")
            sys.stdout.flush()
    except BrokenPipeError:
        point_at_nothing(1)  # the reader has seen enough, which is no fault
    except OSError as error:
        point_at_nothing(1)
        tell(f"lotwise: the answer could not be written: {error.strerror or error}")
        tell(f"hint: {answer.changed or changes()}")
        return Ending.FILE
    return answer.ending
