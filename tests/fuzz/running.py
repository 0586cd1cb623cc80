"""Runs in processes of their own, so that a file that hangs or eats all memory is a find and not the end of the run."""

from __future__ import annotations

import multiprocessing
import os
import random
import resource
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

from tests.fuzz.judging import complaint
from tests.fuzz.kinds import KINDS
from tests.fuzz.mutating import mutate

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

ASKED_EVERY = 5  # of the files: those of them that are accepted must answer too
STUCK_S = 180.0  # without word of a file: in a loop that no signal ends
MOST_MEMORY = 4_000_000_000  # bytes of addresses, so that a leak ends its own process only
Find = tuple[int, str]  # a file's number, and what is wrong


def made(kind: str, seed: int, number: int) -> bytes:
    """The bytes of a file of a run; the same arguments give the same bytes."""
    chance = random.Random(f"{kind} {seed} {number}")
    return KINDS[kind].mend(mutate(KINDS[kind].seeds, chance), chance)


def run(kind: str, seed: int, files: int, workers: int) -> list[Find]:
    """Every file of a run that breaks what is promised."""
    shares = [range(first, files, workers) for first in range(workers)]
    with ThreadPoolExecutor(workers) as threads:
        return sorted(find for finds in threads.map(lambda share: _share(kind, seed, share), shares) for find in finds)


def cores() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _share(kind: str, seed: int, numbers: range) -> list[Find]:
    """Files that one process after another works off: the next begins behind the file that ended the one before."""
    context = multiprocessing.get_context("spawn")
    finds: list[Find] = []
    while numbers:
        heard, told = context.Pipe(duplex=False)
        process = context.Process(target=_work, args=(kind, seed, numbers, told))
        process.start()
        told.close()
        done = 0
        try:
            while done < len(numbers):
                words = heard.recv() if heard.poll(STUCK_S) else "nothing ends it"
                finds += [(numbers[done], words)] if words else []
                done += 1
                if words == "nothing ends it":
                    break
        except EOFError:
            finds.append((numbers[done], "it ended the process"))
            done += 1
        process.kill()
        process.join()
        heard.close()
        numbers = numbers[done:]
    return finds


def _work(kind: str, seed: int, numbers: range, told: Connection) -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    for number in numbers:
        data = made(kind, seed, number)
        told.send(complaint(KINDS[kind], data, ask=number % ASKED_EVERY == 0))
