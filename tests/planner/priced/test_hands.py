"""Whoever is asked, and whoever of them is lost: the answers are the same, and so is the plan."""

import gc
import io
import os
import pickle
import signal
import sys
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from planner import instance as instances
from planner import planning
from planner.priced import hands
from planner.priced.hands import UNASKED, Asked, Hands, Other, Terms, serve
from planner.priced.market import CM_IN_KM
from planner.priced.planning import _Question
from planner.priced.ways import GLANCE, LOOK
from planner.show.documents import write
from planner.show.plandocument import plan_document
from planner.stages import Limits
from planner.workers import IN_TURN, Stop, gather
from tests.bench.generated import workspace


def question_of(drawn):
    outlined, shelf = instances.outline(drawn.stash, drawn.patterns, drawn.projects.projects, drawn.projects.confidence)
    return _Question(outlined, shelf, Limits(), 0.0)


@pytest.fixture(scope="module")
def question():
    return question_of(workspace(60, 30, 1, 3, 30))


def told(question):
    insides = question.insides("grams")
    return pickle.dumps((question.instance, question.shelf, {own.index: (own.reward, own.weight) for own in insides}))


@pytest.fixture
def others(question, monkeypatch):
    monkeypatch.setattr(hands, "FEW", 0)
    found = [Other(told(question)) for _ in range(2)]
    while not all(other.ready for other in found):
        for other in found:
            list(other.answers(wait=False))
    yield found
    for other in found:
        other.close()


def rounds(question):
    """What is asked one after another: at several prices, of less than all there is, of what one gives back."""
    insides = question.insides("grams")
    stock = question.instance.stock
    pieces = [[piece.length_cm for piece in stock[lot.id]] for lot in question.shelf.lots]
    less = {place: own[:-1] for place, own in enumerate(pieces) if place % 3 == 0}
    freed = {place: (pieces[place], float(sum(pieces[place]))) for place in less}
    holds = question.holds.copy()
    holds[list(less)] = [sum(own) for own in less.values()]
    for dear in (0.0, 0.3, 0.8):
        prices = dear * insides[0].store.tex / CM_IN_KM
        yield {}, [Asked(own.index, -np.inf) for own in insides], Terms(prices, question.holds, GLANCE)
        yield {}, [Asked(own.index, 20.0) for own in insides], Terms(prices, question.holds, LOOK, mixed=False)
        yield less, [Asked(own.index, -np.inf) for own in insides], Terms(prices, holds, GLANCE)
        yield less, [Asked(own.index, 0.0, freed) for own in insides[::2]], Terms(prices, holds, GLANCE)


def answered(question, others=(), each=lambda: None):
    every = Hands(question.insides("grams"), others)
    answers = []
    for left, asked, terms in rounds(question):
        every.know({}, len(asked))
        every.hold(left)
        answers.append(every.best(asked, terms, bool))
        each()
    return answers


@pytest.fixture
def counted(others):
    """How many each of the others was asked."""
    counted = Counter()

    def count(other):
        ask = other.ask
        return lambda places, asked: (counted.update({id(other): len(places)}), ask(places, asked))

    for other in others:
        other.ask = count(other)
    return counted


def test_others_answer_what_is_answered_here(question, others, counted):
    assert answered(question, others) == answered(question)
    assert all(counted[id(other)] for other in others)


def test_of_few_some_are_left_for_this_process(question, others, counted):
    insides = question.insides("grams")
    asked = [Asked(own.index, -np.inf) for own in insides[:8]]
    Hands(insides, others).best(asked, Terms(0 * question.holds, question.holds, GLANCE), bool)
    assert 0 < counted.total() < 8


def test_what_lots_hold_for_one_alone_they_hold_for_no_other(question):
    answers = answered(question)
    whole, less, freed = answers[0], answers[2], answers[3]
    assert sum(own.gain > other.gain for own, other in zip(whole, less, strict=True)) > 0
    assert sum(own.gain > other.gain for own, other in zip(freed, less[::2], strict=True)) > 0
    assert answered(question) == answers


def test_what_a_lost_one_was_asked_is_answered_here(question, others):
    first, second = others
    rounds_done = []

    def lose_one():
        rounds_done.append(1)
        if len(rounds_done) == 2:
            os.kill(first.process.pid, signal.SIGKILL)
        if len(rounds_done) == 3:
            os.kill(second.process.pid, signal.SIGSTOP)
            second.ask([], [Asked(0, -np.inf)])  # it has this in hand when it goes
            os.kill(second.process.pid, signal.SIGKILL)
            second.asked.pop()

    assert answered(question, others, lose_one) == answered(question)
    for other in others:
        assert other.lost
        other.close()
        assert other._out.empty()  # what it is told is not kept


def test_nothing_is_asked_where_time_is_up(question):
    insides = question.insides("grams")
    asked = [Asked(own.index, -np.inf) for own in insides]
    terms = Terms(0 * question.holds, question.holds, GLANCE)
    assert Hands(insides).best(asked, terms, lambda: True) == [UNASKED] * len(asked)


def test_another_process_answers_what_it_reads_until_there_is_no_more(question):
    (left, asked, terms), *_ = list(rounds(question))[3:]
    read = io.BytesIO(
        b"".join(
            [
                told(question),
                *(pickle.dumps(own) for own in (("know", {}), ("hold", left), ("terms", terms), ("ask", asked))),
            ]
        )
    )
    back = io.BytesIO()
    serve(read, back)
    back.seek(0)
    assert pickle.load(back) == []  # it is there
    assert pickle.load(back) == answered(question)[3]
    assert not back.read()


def test_another_process_lets_go_of_what_it_worked_out():
    # its search for cycles is put off: of a large stash with marls they would fill the memory
    drawn = workspace(60, 30, 1, 3, 30)
    question = question_of(replace(drawn, patterns={own.id: with_marls(own) for own in drawn.patterns.values()}))
    asked = [Asked(own.index, -np.inf) for own in question.insides("grams")]
    terms = Terms(0 * question.holds, question.holds, GLANCE)
    read = io.BytesIO(b"".join([told(question), pickle.dumps(("terms", terms)), pickle.dumps(("ask", asked))]))
    gc.collect()
    gc.disable()
    try:
        serve(read, io.BytesIO())
        assert gc.collect() == 0
    finally:
        gc.enable()


def with_marls(pattern):
    return replace(pattern, needs={name: replace(need, marl=True) for name, need in pattern.needs.items()})


def test_others_end_with_what_they_were_called_for(question, monkeypatch):
    monkeypatch.setattr(hands, "MANY", 1)
    monkeypatch.setattr(hands, "cores", lambda: 3)
    insides = question.insides("grams")
    with hands.hands(insides, question.instance, question.shelf) as every:
        own = list(every.others)
        assert len(own) == 2
        assert all(other.process.poll() is None for other in own)
    assert all(other.process.poll() is not None for other in own)


def test_few_are_asked_here_and_so_is_what_is_shared_out_already(question, monkeypatch):
    insides = question.insides("grams")

    def others(_):
        with hands.hands(insides, question.instance, question.shelf) as every:
            return len(every.others)

    assert others(None) == 0
    monkeypatch.setattr(hands, "MANY", 1)
    assert gather(IN_TURN, others, [None], Stop()) == [0]


def test_another_process_goes_by_the_rules_of_this_one(question, tmp_path, monkeypatch):
    (tmp_path / "planner").mkdir()
    (tmp_path / "planner/__init__.py").write_text("")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))  # since this one began
    assert settled(Other(told(question))).ready


def test_what_is_no_answer_says_that_another_process_is_lost(question, tmp_path, monkeypatch):
    (tmp_path / "sitecustomize.py").write_text("print('I say hello to all')")
    monkeypatch.setattr("sys.path", [str(tmp_path), *sys.path])
    assert settled(Other(told(question))).lost


def settled(other):
    """Another process once it is there, or lost; it is ended here."""
    while not (other.ready or other.lost):
        list(other.answers(wait=False))
    other.close()
    return other


@pytest.mark.parametrize(("what", "error"), [("Popen", OSError), ("Thread.start", RuntimeError)])
def test_where_no_process_or_thread_is_to_be_had_these_hands_do(question, monkeypatch, what, error):
    def none(*_, **__):
        raise error

    monkeypatch.setattr(hands, "MANY", 1)
    monkeypatch.setattr(hands, "cores", lambda: 3)
    monkeypatch.setattr(f"planner.priced.hands.{what}", none)
    with hands.hands(question.insides("grams"), question.instance, question.shelf) as every:
        assert not every.others


def test_the_plan_is_the_same_however_many_hands(monkeypatch):
    drawn = workspace(60, 60, 1, 2, 60)
    asked = tuple(replace(project, must=False) for project in drawn.projects.projects)

    def planned():
        found = planning.plan(drawn, asked, Fraction(9, 10), way="priced", within=Fraction(1, 50))
        return write(plan_document(replace(found, seconds=0.0), drawn, ()))

    alone = planned()
    monkeypatch.setattr(hands, "MANY", 1)
    monkeypatch.setattr(hands, "FEW", 3)
    for count in (2, 3):
        monkeypatch.setattr(hands, "cores", lambda count=count: count)
        assert planned() == alone
