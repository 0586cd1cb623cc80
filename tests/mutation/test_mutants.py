"""A mistake stands where it says, and what is only shown or only checked is left alone."""

from __future__ import annotations

import ast

import pytest

from tests.mutation.mutants import mutants


@pytest.mark.parametrize(
    ("source", "mistakes"),
    [
        ("a < b", ["pass", "a <= b", "a >= b"]),
        ("a < b <= c", ["pass", "a <= b <= c", "a < b < c"]),
        ("x = a and b", ["x = a or b", "x = b", "x = a"]),
        ("x = not a", ["x = a"]),
        ("x = a + 2", ["x = a - 2", "x = a + 3"]),
        ("x = f(a, b)", ["x = f(b, a)"]),
        ("x = min(a, 1)", ["x = a", "x = 1", "x = min(a, 2)"]),
        ("x = a if b else c", ["x = c if b else a"]),
        ("x = True", ["x = False"]),
        ("def f():\n    return a", ["def f():\n    return None"]),
        ("if a:\n    raise E", ["if not a:\n    raise E", "if a:\n    pass"]),
        ("x = 'key'", ["x = 'keyx'"]),
        ("x = 'words to show'", []),
        ("x = f'{a}, {1}'", []),
        ("zip(a, a, strict=True)", ["pass"]),
        ("x: Literal['a'] = y", []),
        ("if TYPE_CHECKING:\n    import a", []),
        ("@f(1)\ndef g(x: 2):\n    'words'", []),
    ],
)
def test_every_mistake_that_a_text_admits_is_made(source: str, mistakes: list[str]) -> None:
    assert [ast.unparse(one.tree) for one in mutants(source)] == mistakes


def test_a_mistake_is_told_with_its_line_and_its_statement() -> None:
    one, other = mutants("def f(x=2):\n    return x\n")
    assert (one.line, one.before, one.after, one.inside) == (1, "def f(x=2):", "def f(x=3):", False)
    assert (other.line, other.before, other.after, other.inside) == (2, "return x", "return None", True)
