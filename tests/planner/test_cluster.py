"""A cluster gives the same bytes as this machine, even when one of its workers is killed midway."""

import builtins
import json
import os
import shutil
import signal
import threading
from functools import partial
from pathlib import Path

import pytest
from distributed import LocalCluster
from errands import plan_when_let_go, wait_for

from planner import cluster, folders, workers
from planner.show import progress

DEMO = Path(__file__).resolve().parents[2] / "planner" / "demo"


@pytest.fixture(scope="module")
def scheduler():
    """The address of a scheduler with two workers, each a process of its own, at ports that are free."""
    with LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0") as local:
        yield local.scheduler_address


@pytest.fixture(autouse=True)
def quiet(monkeypatch):
    """No sign of life on the error stream, however long it takes."""
    monkeypatch.setattr(progress, "FIRST_AFTER", 600.0)


@pytest.fixture
def many(tmp_path, monkeypatch):
    """Four folders whose plans differ, and one that has a fault."""
    monkeypatch.chdir(tmp_path)
    asked = {"quay": "gannet-hat", "pier": "breakwater", "mole": "tide-shawl", "slip": "deck-socks", "dock": "nothing"}
    for name, pattern in asked.items():
        shutil.copytree(DEMO, name)
        Path(name, "projects.yaml").write_text(f"projects: [{{make: {pattern}}}, {{make: net-bag, copies: 2}}]\n")
    return list(asked)


def test_the_bytes_are_the_same_though_a_worker_is_killed_midway(run, scheduler, many, tmp_path, monkeypatch):
    here = run("plan", "--each", *many, "--json")
    monkeypatch.setattr(workers, "cores", lambda: 1)
    assert run("plan", "--each", *many, "--json") == here
    plans = [row["plan"] for row in json.loads(here[1])["folders"]]
    assert len({json.dumps(plan) for plan in plans}) == 5  # one is null

    notes = tmp_path / "notes"
    notes.mkdir()
    killed = []

    def kill_one():
        """Once a worker holds a plan in hand, it is killed; then the work may go on."""
        killed.append(int(wait_for(notes, "*.began").stem))
        os.kill(killed[0], signal.SIGKILL)
        (notes / "go").touch()

    monkeypatch.setattr(folders, "attempted", partial(plan_when_let_go, str(notes)))
    killer = threading.Thread(target=kill_one)
    killer.start()
    there = run("plan", "--each", *many, "--json", "--cluster", scheduler)
    killer.join()
    assert there == here
    ended = [one.name.split(".") for one in notes.glob("*.ended")]
    assert {folder for _, folder, _ in ended} == set(many) - {"dock"}
    assert not {str(os.getpid()), str(killed[0])} & {process for process, *_ in ended}  # asked again of other workers


@pytest.mark.parametrize(
    "asked",
    [
        ("cover", "--json"),
        ("shortfall", "heather-vest", "moss-vest", "pilot-hat", "--json"),
        ("plan", "gannet-hat:adult", "--options", "3", "--json"),
    ],
    ids=lambda asked: asked[0],
)
def test_what_is_shared_out_gives_the_same_bytes(run, scheduler, asked):
    here = run(*asked, "--workspace", DEMO)
    assert run(*asked, "--workspace", DEMO, "--cluster", scheduler) == here


def test_where_nobody_answers_that_is_said(run, monkeypatch):
    monkeypatch.setattr(cluster, "PATIENCE", 0.5)
    code, out, err = run("cover", "--workspace", DEMO, "--cluster", "tcp://127.0.0.1:1")
    assert (code, out) == (5, "")
    assert err == (
        "lotwise: tcp://127.0.0.1:1: nobody answers there; is a dask scheduler running?\nhint: nothing was changed\n"
    )


def test_where_nobody_works_that_is_said(run, monkeypatch):
    with LocalCluster(n_workers=0, processes=True, dashboard_address=":0") as local:
        address = local.scheduler_address
        monkeypatch.setattr(cluster, "PATIENCE", 0.5)
        code, _, err = run("cover", "--workspace", DEMO, "--cluster", address)
    assert code == 5
    assert err.startswith(f"lotwise: {address}: the scheduler there has no workers\n")


@pytest.mark.parametrize("address", ["nonsense", "127.0.0.1", "post://127.0.0.1:8786"])
def test_what_is_no_address_is_refused(run, address):
    code, out, err = run("cover", "--workspace", DEMO, "--cluster", address)
    assert (code, out) == (2, "")
    assert err == f"lotwise: --cluster {address} is no address\nhint: write it as tcp://192.168.1.20:8786\n"


def test_without_dask_the_message_says_what_to_install(run, monkeypatch):
    importing = builtins.__import__

    def without_dask(name, *others):
        if name.partition(".")[0] == "distributed":
            raise ModuleNotFoundError(f"No module named {name!r}")
        return importing(name, *others)

    monkeypatch.setattr(builtins, "__import__", without_dask)
    code, out, err = run("cover", "--workspace", DEMO, "--cluster", "tcp://127.0.0.1:1")
    assert (code, out) == (2, "")
    assert err == (
        "lotwise: --cluster needs the package distributed, which is not installed\n"
        "hint: install it beside lotwise: pip install distributed; or leave --cluster out\n"
    )


@pytest.mark.parametrize(
    ("other", "has"), [("0.0.9", "has lotwise 0.0.9"), (ModuleNotFoundError("planner"), "has no lotwise")]
)
def test_a_worker_with_another_lotwise_is_refused(other, has):
    own = cluster.version()
    cluster.alike({"tcp://10.0.0.1:1": own})
    with pytest.raises(cluster.AskError, match=f"the worker at tcp://10.0.0.2:1 {has}; here it is {own}"):
        cluster.alike({"tcp://10.0.0.1:1": own, "tcp://10.0.0.2:1": other})


def test_the_list_for_the_rack_is_made_here(run):
    code, _, err = run("shortfall", "--list", "--workspace", DEMO, "--cluster", "tcp://127.0.0.1:1")
    assert code == 2
    assert err.startswith("lotwise: each try for the list builds on those before it\n")
