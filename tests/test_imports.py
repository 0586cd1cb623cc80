"""Imports go one way: planner -> patterns -> stash, and only one module talks to the solver."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
LAYERS = ("stash", "patterns", "planner")  # each knows those before it
MODULES = {
    ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): path
    for layer in LAYERS
    for path in sorted((ROOT / layer).rglob("*.py"))
}


def imported(module: str) -> set[str]:
    """Every module named by an import anywhere in `module`, deferred ones included."""
    path = MODULES[module]
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            package = module if path.name == "__init__.py" else module.rpartition(".")[0]
            above = package.split(".")[: len(package.split(".")) - node.level + 1] if node.level else []
            base = ".".join([*above, *filter(None, [node.module])])
            found.update(f"{base}.{alias.name}" if f"{base}.{alias.name}" in MODULES else base for alias in node.names)
    return found


def reached(module: str) -> set[str]:
    """Everything `module` imports, directly or through our own modules."""
    seen: set[str] = set()
    waiting = [module]
    while waiting:
        for name in imported(waiting.pop()) - seen:
            seen.add(name)
            if name in MODULES:
                waiting.append(name)
    return seen


@pytest.mark.parametrize("module", MODULES)
def test_a_module_imports_only_its_own_layer_and_those_below(module: str) -> None:
    own = LAYERS.index(module.split(".", maxsplit=1)[0])
    above = {name for name in imported(module) if name.split(".")[0] in LAYERS[own + 1 :]}
    assert set() == above


@pytest.mark.parametrize("module", [name for name, path in MODULES.items() if path.name == "__init__.py"])
def test_an_init_file_holds_a_docstring_and_nothing_else(module: str) -> None:
    body = ast.parse(MODULES[module].read_text(encoding="utf-8")).body
    assert len(body) == 1
    assert isinstance(body[0], ast.Expr)
    assert isinstance(body[0].value, ast.Constant)


def test_one_module_imports_the_solver_libraries() -> None:
    talking = {name for name in MODULES if {"pulp", "highspy"} & {used.split(".")[0] for used in imported(name)}}
    assert {"planner.highs"} == talking


def test_one_module_imports_dask() -> None:
    assert {"planner.cluster"} == {
        name for name in MODULES if "distributed" in {u.split(".")[0] for u in imported(name)}
    }


def test_verify_reaches_neither_the_model_nor_the_solver() -> None:
    verifying = [name for name in MODULES if name.split(".")[:2] == ["planner", "verify"]]
    assert verifying
    ours = {name for module in verifying for name in reached(module) if name.split(".")[0] == "planner"}
    allowed = {name for name in ours if name == "planner.plan" or name.split(".")[:2] == ["planner", "verify"]}
    assert ours == allowed


def test_every_module_is_reached_from_the_command_line() -> None:
    entered = reached("planner.cli") | {"planner.cli"}
    unused = {name for name, path in MODULES.items() if path.name != "__init__.py"} - entered
    assert set() == unused


def test_lint_knows_the_same_layers() -> None:
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert 'layers = ["planner", "patterns", "stash"]' in text
