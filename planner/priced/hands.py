"""Projects asked for their best ways by this process and by others beside it.

Each has the same rules and is told the same prices, so that the answers are the same whoever gives them; what a lost
one was asked is asked here. `python -m planner.priced.hands` is one of the others: it reads what it is told from its
input and writes its answers to its output, both pickled, until its input ends.
"""

from __future__ import annotations

import gc
import os
import pickle
import sys
from collections import deque
from collections.abc import Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import cache
from queue import SimpleQueue
from subprocess import DEVNULL, PIPE, Popen
from threading import Thread
from typing import TYPE_CHECKING, Any, BinaryIO

import numpy as np

from planner.priced.store import Store
from planner.priced.ways import NOTHING, Inside, Priced
from planner.workers import cores, stop_in_hand

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from planner.instance import Instance
    from planner.priced.store import Numbers
    from planner.shelf import Shelf

MANY = 400  # makings: from so many on others are called in, which takes them a second
FEW = 40  # makings: so few are asked here alone
AT_ONCE, IN_HAND = 4, 2  # makings in a question to another process at most, questions that wait there
MOST = 7  # other processes
UNASKED = Priced(None, -np.inf, np.inf)  # nothing found, nothing proved

Freed = Mapping[int, tuple[Sequence[int], float]]  # by place of a lot: its pieces in cm, what they hold together


@dataclass(frozen=True)
class Terms:
    """What makings are asked with: prices for a cm of each lot, what may be taken of it, steps of the search."""

    prices: Numbers
    holds: Numbers
    steps: int
    mixed: bool = True


@dataclass(frozen=True)
class Asked:
    """A making, what a way is to gain more than, and lots that hold more for it alone."""

    making: int
    above: float
    freed: Freed = field(default_factory=dict)

    def answer(self, inside: Inside, terms: Terms) -> Priced:
        if not self.freed:
            return inside.best(terms.prices, terms.holds, terms.steps, mixed=terms.mixed, above=self.above)
        holds = terms.holds.copy()
        holds[list(self.freed)] = [held for _, held in self.freed.values()]
        with inside.store.holding({place: pieces for place, (pieces, _) in self.freed.items()}):
            return inside.best(terms.prices, holds, terms.steps, mixed=terms.mixed, above=self.above)


class Hands:
    """All that answer: this process, and any others."""

    def __init__(self, insides: Sequence[Inside], others: Sequence[Other] = ()) -> None:
        self.others = others
        self._insides = {inside.index: inside for inside in insides}
        self._stores = {inside.store for inside in insides}  # one, if any
        self._told = others  # those who know what lots hold

    def know(self, left: Mapping[int, Sequence[int]], count: int) -> None:
        """Lots hold pieces of these lengths, by place, others what they did at first; so many makings are asked."""
        for store in self._stores:
            store.hold_all(left)
        self._told = self.others if count > FEW else ()
        self._tell("know", left)

    def hold(self, left: Mapping[int, Sequence[int]]) -> None:
        """From now on these lots hold pieces of these lengths, by place."""
        if left:
            for store in self._stores:
                store.hold(left)
            self._tell("hold", left)

    def best(self, asked: Sequence[Asked], terms: Terms, over: Callable[[], bool]) -> list[Priced]:
        """What each answers (`Inside.best`), in the order asked; UNASKED where time is up. Less steps than a STUDY."""
        insides = [self._insides[own.making] for own in asked]
        answers = [NOTHING if inside.impossible else UNASKED for inside in insides]
        waiting = deque(at for at, inside in enumerate(insides) if not inside.impossible)
        self._tell("terms", terms)
        while waiting or any(other.asked for other in self._told):
            for other in self._told:
                for at, answer in other.answers(wait=not waiting):
                    answers[at] = answer
                waiting.extend(other.given_up())
                while waiting and other.free:
                    share = len(waiting) // (2 * (1 + len(self._told)))  # fewer and fewer, so that all end together
                    own = [waiting.popleft() for _ in range(max(1, min(AT_ONCE, share)))]
                    other.ask(own, [asked[at] for at in own])
            if over():
                waiting.clear()
            if waiting:
                at = waiting.pop()
                answers[at] = asked[at].answer(insides[at], terms)
        return answers

    def _tell(self, *message: Any) -> None:
        if self._told:
            told = pickle.dumps(message)
            for other in self._told:
                other.tell(told)


class Other:
    """A process beside this one, from when it is called in; what it was asked and has not answered."""

    def __init__(self, told: bytes) -> None:
        """`told`: the pickled instance, its shelf, and by making its reward and weight."""
        self.asked: deque[list[int]] = deque()
        self.ready = self.lost = False
        own = [sys.executable, "-P", "-m", __name__]  # -P: nothing from the folder it happens to be in
        self.process = Popen(  # noqa: S603 (our own)
            own,
            stdin=PIPE,
            stdout=PIPE,
            stderr=DEVNULL,
            env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},  # the same code
            start_new_session=True,  # which hears no Ctrl-C
        )
        self._out: SimpleQueue[bytes | None] = SimpleQueue()
        self._back: SimpleQueue[list[Priced] | None] = SimpleQueue()
        self._out.put(told)
        self._threads = [Thread(target=self._write, daemon=True), Thread(target=self._read, daemon=True)]
        try:
            for thread in self._threads:
                thread.start()
        except RuntimeError:  # there are no more
            with self.process:
                self.process.kill()
            raise

    @property
    def free(self) -> bool:
        """Whether it takes another question."""
        return self.ready and not self.lost and len(self.asked) < IN_HAND

    def tell(self, message: bytes) -> None:
        self._out.put(message)

    def ask(self, places: list[int], asked: Sequence[Asked]) -> None:
        """`places`: where the answers go."""
        self.asked.append(places)
        self.tell(pickle.dumps(("ask", asked)))

    def answers(self, *, wait: bool) -> Iterator[tuple[int, Priced]]:
        """Those that have come in, and where each goes; `wait` for all."""
        while not self._back.empty() or (wait and self.asked and not self.lost):
            answer = self._back.get()
            if answer is None:
                self.lost = True
            elif not self.ready:  # its first word says that it is there
                self.ready = True
            else:
                yield from zip(self.asked.popleft(), answer, strict=True)

    def given_up(self) -> list[int]:
        """Where answers should have gone that will not come."""
        places = [at for own in self.asked for at in own] if self.lost else []
        if self.lost:
            self.asked.clear()
        return places

    def close(self) -> None:
        self.process.kill()
        self._out.put(None)
        for thread in self._threads:
            thread.join()
        self.process.wait()

    def _write(self) -> None:
        with suppress(OSError), self.process.stdin as there:  # type: ignore[union-attr]
            for message in iter(self._out.get, None):
                with suppress(OSError):  # it is lost, and nothing is kept for it
                    there.write(message)
                    there.flush()

    def _read(self) -> None:
        with suppress(Exception), self.process.stdout as there:  # type: ignore[union-attr]
            while True:  # until it ends, or says what is no answer
                self._back.put(pickle.load(there))  # noqa: S301 (from our own process)
        self._back.put(None)


@contextmanager
def hands(insides: Sequence[Inside], instance: Instance, shelf: Shelf) -> Iterator[Hands]:
    """These hands, and others on every other core where there is much to ask and nothing else to do."""
    wanted = min(cores() - 1, MOST) if len(insides) >= MANY and stop_in_hand() is None else 0
    others: list[Other] = []
    try:
        if wanted:
            told = (instance, shelf, {own.index: (own.reward, own.weight) for own in insides})
            _call_in(others, wanted, pickle.dumps(told))
        yield Hands(insides, others)
    finally:
        for other in others:
            other.close()


def _call_in(others: list[Other], count: int, told: bytes) -> None:
    with suppress(OSError, RuntimeError):  # no more are to be had: these hands will do
        others += (Other(told) for _ in range(count))


def serve(there: BinaryIO, back: BinaryIO) -> None:
    """Answer until there is nothing more to read."""
    instance, shelf, worth = pickle.load(there)  # noqa: S301 (from our own process)
    store = Store(shelf, instance.stock)

    @cache  # many are never asked here
    def insides(making: int) -> Inside:
        return Inside(store, making, instance.makings[making], *worth[making])

    _send([], back)  # I am there
    while True:
        try:
            word, *message = pickle.load(there)  # noqa: S301
        except EOFError:
            return
        if word == "know":
            store.hold_all(*message)
        elif word == "hold":
            store.hold(*message)
        elif word == "terms":
            (terms,) = message
        else:
            _send([own.answer(insides(own.making), terms) for own in message[0]], back)


def _send(answer: Sequence[Priced], back: BinaryIO) -> None:
    pickle.dump(answer, back)
    back.flush()


if __name__ == "__main__":
    gc.disable()  # what is made here has no cycles
    there, back = os.dup(0), os.dup(1)
    os.dup2(2, 1)  # what libraries print goes nowhere
    with os.fdopen(there, "rb") as asked, os.fdopen(back, "wb") as answers:
        serve(asked, answers)
