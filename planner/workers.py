"""Who does the work: the cores of this machine, or a cluster; the answers come in the order asked, whoever gave them.

Questions are plain data, so that they can be sent away; what a lost worker was asked is answered here.
"""

from __future__ import annotations

import os
import threading
from concurrent.futures import Executor, Future, ThreadPoolExecutor, wait
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    Question = TypeVar("Question")
    Answer = TypeVar("Answer")

TICK = 0.05  # seconds between looks at `stop`


class Stop(threading.Event):
    """A wish to end. It does not travel: elsewhere it is a new one, which nobody sets."""

    def __reduce__(self) -> tuple[type[Stop], tuple[()]]:
        return Stop, ()


class StoppedError(Exception):
    """The work in hand was told to stop."""


_STOP: ContextVar[Stop | None] = ContextVar("stop", default=None)


def stop_in_hand() -> Stop | None:
    """The wish to end of the work that this thread is doing; None where it was not shared out."""
    return _STOP.get()


def stop_or_go_on() -> Stop | None:
    """The same, for one step of many; raises StoppedError where it was made already: no further step is begun."""
    stop = stop_in_hand()
    if stop is not None and stop.is_set():
        raise StoppedError
    return stop


@dataclass(frozen=True)
class Crew:
    """An executor, and in how many runs a list of questions is best shared out to it."""

    pool: Executor
    runs: int


class _InTurn(Executor):
    """Does what it is asked at once, before anything else is asked."""

    def submit(self, work: Callable[..., Any], /, *args: Any, **named: Any) -> Future[Any]:
        future: Future[Any] = Future()
        future.set_result(work(*args, **named))
        return future


IN_TURN = Crew(_InTurn(), 1)


@contextmanager
def workers(cluster: str | None = None, hands: int | None = None) -> Iterator[Crew]:
    """The cores of this machine, or the workers of the dask scheduler at that address.

    Threads will do here: the solver lets go of Python's lock. One of them, which hears Ctrl-C, is quickest where little
    is left to the solver: `hands` says how many. Raises AskError and OSError as `planner.cluster` does.
    """
    if cluster is None:
        hands = hands or cores()
        with ThreadPoolExecutor(hands) as pool:
            yield Crew(pool, hands)
        return
    from planner.cluster import join  # noqa: PLC0415 (few have one)

    with join(cluster) as crew:
        yield crew


def cores() -> int:
    """The cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def gather(
    crew: Crew,
    work: Callable[[Question], Answer],
    questions: Sequence[Question],
    stop: Stop | None = None,
) -> list[Answer]:
    """The answers, in the order asked; `work` and the questions can be pickled where the crew is elsewhere.

    Once `stop` is set, work here hears it (`stop_in_hand`) and no other work is waited for: those questions are
    answered here too, by work that has heard it from the start. Ctrl-C ends all work and is raised again.
    """
    stop = stop or Stop()
    asked: list[Future[Answer]] = []
    try:
        for question in questions:
            asked.append(crew.pool.submit(_answer, work, question, stop))  # noqa: PERF401 (Ctrl-C may come in between)
        return [_await(future, work, question, stop) for future, question in zip(asked, questions, strict=True)]
    except BaseException:
        stop.set()
        for future in asked:
            future.cancel()
        raise


def share_out(
    crew: Crew,
    work: Callable[[Sequence[Question]], Sequence[Answer]],
    asked: Sequence[Question],
    stop: Stop | None = None,
) -> tuple[Answer, ...]:
    """As `gather`, for many small questions: `work` takes a run of them, and answers each in turn."""
    size = max(1, -(-len(asked) // crew.runs))
    runs = [asked[start : start + size] for start in range(0, len(asked), size)]
    return tuple(answer for answers in gather(crew, work, runs, stop) for answer in answers)


def _answer(work: Callable[[Question], Answer], question: Question, stop: Stop) -> Answer:
    before = _STOP.set(stop)
    try:
        return work(question)
    finally:
        _STOP.reset(before)


def _await(future: Future[Answer], work: Callable[[Question], Answer], question: Question, stop: Stop) -> Answer:
    while not wait([future], TICK).done:
        if stop.is_set() and future.cancel():
            break
    try:
        return future.result()
    except Exception:  # noqa: BLE001 (the worker was lost; or the question fails, and then does so here as well)
        return _answer(work, question, stop)
