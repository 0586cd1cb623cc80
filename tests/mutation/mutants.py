"""Small mistakes a program can hold: every one that a source file admits, each a tree of its own.

Left alone: annotations, decorators, docstrings, what only a type checker sees, `strict=` of zip, and texts that are
shown (formatted ones and those with a space), whose whole wording tests/broken compares.
"""

from __future__ import annotations

import ast
import copy
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

COMPARED = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.LtE), ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.In: (ast.NotIn,), ast.NotIn: (ast.In,),
    ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
}  # fmt: skip
RECKONED = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Div, ast.Mod: ast.Mult,
    ast.Pow: ast.Mult, ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd,
}  # fmt: skip
UNSEEN = {"annotation", "returns", "decorator_list", "type_params", "format_spec"}


@dataclass(frozen=True)
class Mutant:
    """A source file with one mistake; `before` and `after`: the statement that holds it, less what is nested in it.

    `inside`: it stands in a function's body, so that nothing of it ran when the module was imported.
    """

    line: int
    before: str
    after: str
    tree: ast.Module
    inside: bool


def mutants(source: str) -> Iterator[Mutant]:
    """Every mutant of a source text, always in the same order."""
    tree = ast.parse(source)
    for path in list(_paths(tree, ())):
        node = _at(tree, path)
        for put in _mistakes(node):
            changed = copy.deepcopy(tree)
            _put(changed, path, put)
            ast.fix_missing_locations(changed)
            holder = next(path[:end] for end in range(len(path), 0, -1) if isinstance(_at(tree, path[:end]), ast.stmt))
            yield Mutant(
                node.lineno, _shown(_at(tree, holder)), _shown(_at(changed, holder)), changed, _is_inside(tree, path)
            )


def _paths(node: ast.AST, path: tuple[tuple[str, int | None], ...]) -> Iterator[tuple[tuple[str, int | None], ...]]:
    """Where every node stands that may be mistaken: fields and places in them, from the root on."""
    if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
        return
    if path and isinstance(node, ast.stmt | ast.expr):
        yield path
    if isinstance(node, ast.JoinedStr) or (isinstance(node, ast.keyword) and node.arg == "strict"):
        return
    if isinstance(node, ast.Subscript) and ast.unparse(node.value) == "Literal":
        return
    for field, value in ast.iter_fields(node):
        if field in UNSEEN:
            continue
        if isinstance(value, list):
            for place, one in enumerate(value):
                if isinstance(one, ast.AST) and not _is_docstring(one):
                    yield from _paths(one, (*path, (field, place)))
        elif isinstance(value, ast.AST):
            yield from _paths(value, (*path, (field, None)))


def _is_inside(tree: ast.AST, path: tuple[tuple[str, int | None], ...]) -> bool:
    holders = [(_at(tree, path[:end]), path[end][0]) for end in range(len(path))]
    return any(isinstance(one, ast.FunctionDef | ast.Lambda) and field == "body" for one, field in holders)


def _is_docstring(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def _at(tree: ast.AST, path: tuple[tuple[str, int | None], ...]) -> ast.AST:
    for field, place in path:
        value = getattr(tree, field)
        tree = value if place is None else value[place]
    return tree


def _put(tree: ast.AST, path: tuple[tuple[str, int | None], ...], node: ast.AST) -> None:
    above, (field, place) = _at(tree, path[:-1]), path[-1]
    if place is None:
        setattr(above, field, node)
    else:
        getattr(above, field)[place] = node


def _mistakes(node: ast.AST) -> Iterator[ast.AST]:
    """What may stand here by mistake instead of this node."""
    for put in (_of_expression if isinstance(node, ast.expr) else _of_statement)(node):
        yield ast.copy_location(put, node)


def _of_expression(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        for other in COMPARED[type(node.ops[0])]:
            yield _with(node, ops=[other()])
    elif isinstance(node, ast.Compare):
        for place, op in enumerate(node.ops):
            yield _with(node, ops=[COMPARED[type(op)][0]() if at == place else one for at, one in enumerate(node.ops)])
    elif isinstance(node, ast.BoolOp):
        yield _with(node, op=ast.And() if isinstance(node.op, ast.Or) else ast.Or())
        for place in range(len(node.values)):
            rest = [one for at, one in enumerate(node.values) if at != place]
            yield rest[0] if len(rest) == 1 else _with(node, values=rest)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield node.operand
    elif isinstance(node, ast.BinOp) and type(node.op) in RECKONED:
        yield _with(node, op=RECKONED[type(node.op)]())
    elif isinstance(node, ast.IfExp):
        yield _with(node, body=node.orelse, orelse=node.body)
    elif isinstance(node, ast.Constant):
        yield from _of_constant(node.value)
    elif isinstance(node, ast.Call) and ast.unparse(node.func) in {"min", "max"}:
        yield from node.args[:2]
    elif isinstance(node, ast.Call) and len(node.args) > 1 and ast.dump(node.args[0]) != ast.dump(node.args[1]):
        yield _with(node, args=[node.args[1], node.args[0], *node.args[2:]])


def _of_constant(value: object) -> Iterator[ast.AST]:
    if isinstance(value, bool):
        yield ast.Constant(not value)
    elif isinstance(value, int | float):
        yield ast.Constant(value + 1)
    elif isinstance(value, str) and " " not in value:
        yield ast.Constant(f"{value}x")


def _of_statement(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.If | ast.While):
        yield _with(node, test=ast.UnaryOp(ast.Not(), node.test))
    elif isinstance(node, ast.Return) and node.value is not None and not _is_none(node.value):
        yield ast.Return(ast.Constant(None))
    elif isinstance(node, ast.Expr | ast.AugAssign | ast.Raise | ast.Continue | ast.Break):
        yield ast.Pass()


def _is_none(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _with(node: ast.AST, **fields: object) -> ast.AST:
    """The node with some of its fields changed."""
    return type(node)(**{**dict(ast.iter_fields(node)), **fields})


def _shown(statement: ast.AST) -> str:
    """The statement without the statements inside it, on one line."""
    bare = copy.deepcopy(statement)
    for field in ("body", "orelse", "handlers", "finalbody"):
        if isinstance(getattr(bare, field, None), list):
            setattr(bare, field, [ast.Pass()] if field == "body" else [])
    return " ".join(ast.unparse(bare).removesuffix("pass").split())
