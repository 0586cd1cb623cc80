"""Ctrl-C as a wish to see the best so far, and pressed again as an end."""

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from planner.workers import Stop


@contextmanager
def stop_on_interrupt() -> Iterator[Stop]:
    """A wish to end, which the first Ctrl-C makes; the second one raises KeyboardInterrupt as ever."""
    stop = Stop()
    if threading.current_thread() is not threading.main_thread():
        yield stop  # only the main thread may listen for signals
        return
    before = signal.getsignal(signal.SIGINT)

    def ask_to_stop(_signal: int, _frame: object) -> None:
        stop.set()
        signal.signal(signal.SIGINT, before)

    signal.signal(signal.SIGINT, ask_to_stop)
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, before)
