"""Work is shared out to any executor; the answers come in the order asked, and none is lost."""

import multiprocessing
import os
import pickle
import threading
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from functools import partial
from queue import Queue

import pytest
from errands import die_away_from, press_ctrl_c

from planner.workers import (
    IN_TURN,
    Crew,
    Stop,
    StoppedError,
    cores,
    gather,
    share_out,
    stop_in_hand,
    stop_or_go_on,
    workers,
)


class Nobody(Executor):
    """Takes every question and answers none."""

    def submit(self, *_asked):
        return Future()


def test_answers_come_in_the_order_asked_though_the_last_is_ready_first():
    last_is_done = threading.Event()

    def work(number):
        if number < 3:
            assert last_is_done.wait(60)
        else:
            last_is_done.set()
        return number * number

    with ThreadPoolExecutor(4) as pool:
        assert gather(Crew(pool, 4), work, [0, 1, 2, 3]) == [0, 1, 4, 9]


@pytest.mark.parametrize("runs", [1, 2, 3, 7, 50])
def test_runs_hold_every_question_once_and_in_order(runs):
    seen = []

    def work(some):
        seen.append(len(some))
        return [number + 1 for number in some]

    assert share_out(Crew(IN_TURN.pool, runs), work, range(17)) == tuple(range(1, 18))
    assert len(seen) <= runs
    assert max(seen) - min(seen) < max(seen)  # none is empty
    assert share_out(IN_TURN, work, []) == ()


def test_what_killed_workers_were_asked_is_answered_here():
    with ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn")) as pool:
        assert gather(Crew(pool, 2), partial(die_away_from, os.getpid()), [1, 2, 3, 4]) == [1, 4, 9, 16]


def test_an_error_of_the_work_itself_is_raised_and_ends_the_rest():
    stop = Stop()
    with ThreadPoolExecutor(1) as pool, pytest.raises(ZeroDivisionError):
        gather(Crew(pool, 1), lambda number: 1 // number, [1, 0, 2], stop)
    assert stop.is_set()


def test_ctrl_c_is_heard_by_the_work_in_hand_and_raised_again():
    heard = Queue()
    with pytest.raises(KeyboardInterrupt), workers() as crew:
        gather(crew, partial(press_ctrl_c, heard), [1])
    assert heard.get(timeout=60) is True


def test_once_stopped_nobody_elsewhere_is_waited_for():
    stop = Stop()
    threading.Timer(0.1, stop.set).start()
    assert gather(Crew(Nobody(), 1), lambda number: (number, stop_in_hand() is stop), [1, 2], stop) == [
        (1, True),
        (2, True),
    ]


def test_work_of_many_steps_begins_none_after_it_is_told_to_stop():
    def work(steps):
        for _ in range(steps):
            stop_or_go_on().set()

    with pytest.raises(StoppedError):
        gather(IN_TURN, work, [2])
    assert gather(IN_TURN, work, [1]) == [None]


def test_a_wish_to_stop_does_not_travel():
    stop = Stop()
    stop.set()
    assert not pickle.loads(pickle.dumps(stop)).is_set()


def test_work_that_was_not_shared_out_has_no_wish_to_hear():
    gather(IN_TURN, abs, [1])
    assert stop_in_hand() is None


def test_threads_are_as_many_as_the_cores_this_process_may_use():
    with workers() as crew:
        assert crew.runs == cores() >= 1
