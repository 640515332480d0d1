"""Small wrong versions of a module: each differs from it in one operator, number or line.

A mutant is made by splicing new text into the source, so that everything else keeps its place.
Left alone: docstrings and other strings, annotations, decorators, assertions, what is raised, and
imports for type checkers only.
"""

from __future__ import annotations

import ast
import copy
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from zlib import crc32

OPERATORS: dict[type[ast.operator], tuple[type[ast.operator], ...]] = {
    ast.Add: (ast.Sub,),
    ast.Sub: (ast.Add,),
    ast.Mult: (ast.Div,),
    ast.Div: (ast.Mult,),
    ast.FloorDiv: (ast.Mult,),
    ast.Mod: (ast.Mult,),
    ast.Pow: (ast.Mult,),
    ast.BitAnd: (ast.BitOr,),
    ast.BitOr: (ast.BitAnd,),
}
COMPARISONS: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
_PAIRS = (
    ("min", "max"), ("minimum", "maximum"), ("argmin", "argmax"), ("any", "all"), ("sin", "cos"),
    ("sum", "mean"), ("zeros", "ones"), ("zeros_like", "ones_like"), ("floor", "ceil"),
    ("sinh", "cosh"),
)  # fmt: skip
NAMES = {**dict(_PAIRS), **{b: a for a, b in _PAIRS}}
DROPPED = frozenset({"sqrt", "cbrt", "abs", "exp", "expm1", "log", "log10", "tanh"})
"""Functions of one argument that a mutant leaves out."""


@dataclass(frozen=True, kw_only=True)
class Mutant:
    """One wrong version of a module. `text` is its whole source; `code` the line that it hits."""

    line: int
    code: str
    what: str
    text: str

    @property
    def number(self) -> int:
        """The same in every run, and for the same change wherever its line moves to."""
        return crc32(f"{self.code}|{self.what}".encode())


Change = tuple[ast.AST, str, str]
"""A node, the text that takes its place, and what that is called."""


def mutants(source: str) -> list[Mutant]:
    """All mutants of a module's source, in the order of its lines.

    >>> for mutant in mutants("def f(a, b):\\n    return a + 2.0 * b\\n"):
    ...     print(mutant.line, mutant.what)
    2 return None
    2 return -(...)
    2 a + 2.0 * b -> a - 2.0 * b
    2 2.0 * b -> 2.0 / b
    2 2.0 -> 2.2
    2 2.0 -> -2.0
    """
    lines = source.splitlines(keepends=True)
    starts = [0]
    for line in lines:
        starts.append(starts[-1] + len(line.encode()))
    raw = source.encode()
    found: list[Mutant] = []
    times: Counter[tuple[int, str]] = Counter()
    for node, text, what in _changes(ast.parse(source)):
        assert isinstance(node, (ast.expr, ast.stmt))
        assert node.end_lineno is not None and node.end_col_offset is not None
        first = starts[node.lineno - 1] + node.col_offset
        last = starts[node.end_lineno - 1] + node.end_col_offset
        times[node.lineno, what] += 1
        if times[node.lineno, what] > 1:
            what += f" (no. {times[node.lineno, what]})"
        found.append(
            Mutant(
                line=node.lineno, code=lines[node.lineno - 1].strip(), what=what,
                text=(raw[:first] + text.encode() + raw[last:]).decode(),
            )
        )  # fmt: skip
    return sorted(found, key=lambda mutant: mutant.line)


def _changes(tree: ast.AST) -> Iterator[Change]:
    index = {id(part) for node in ast.walk(tree) if isinstance(node, ast.Subscript)
             for part in ast.walk(node.slice)}
    signed = {id(node.operand) for node in ast.walk(tree)
              if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub)}
    axes = {id(word.value) for node in ast.walk(tree) if isinstance(node, ast.Call)
            for word in node.keywords if word.arg == "axis"}
    for node in _live(tree):
        yield from _of_statement(node)
        if id(node) not in axes:  # -1 may be the same axis as 1
            yield from _of_operator(node)
        if isinstance(node, ast.Call):
            yield from _of_call(node)
        if isinstance(node, ast.Constant):
            bare = id(node) in index | signed | axes
            yield from _of_number(node, sign=not bare)


def _live(node: ast.AST) -> Iterator[ast.AST]:
    """The node and all below it whose change could matter."""
    if isinstance(node, (ast.Assert, ast.JoinedStr, ast.Import, ast.ImportFrom)):
        return
    if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
        return
    if isinstance(node, ast.AnnAssign) and ast.unparse(node.annotation) == "TypeAlias":
        return
    if isinstance(node, ast.Assign) and _is_type(node.value):
        return
    yield node
    if isinstance(node, ast.Raise):
        return
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns", "decorator_list"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST):
                yield from _live(child)


def _is_type(node: ast.expr) -> bool:
    """A union of types, as in `Way = Plug | Bell`."""
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.BitOr):
        return all(isinstance(side, ast.Name) and side.id[:1].isupper() or _is_type(side)
                   for side in (node.left, node.right))
    return False


def _swapped(node: ast.AST, field: str, new: object) -> Change:
    other = copy.copy(node)
    setattr(other, field, new)
    text, old = ast.unparse(other), ast.unparse(node)
    return node, f"({text})" if isinstance(node, ast.expr) else text, f"{old} -> {text}"


def _negated(node: ast.expr) -> Change:
    old = ast.unparse(node)
    return node, f"(not ({old}))", f"{old} -> not ({old})"


def _of_statement(node: ast.AST) -> Iterator[Change]:
    value = ast.unparse(node.value) if isinstance(node, ast.Return) and node.value else "None"
    if isinstance(node, ast.Return) and value != "None":
        yield node, "return None", "return None"
        if isinstance(node.value, (ast.Compare, ast.BoolOp)):
            yield node, f"return not ({value})", "return not (...)"
        elif isinstance(node.value, (ast.BinOp, ast.Call, ast.Name, ast.UnaryOp, ast.Subscript)):
            yield node, f"return -({value})", "return -(...)"
    if isinstance(node, ast.AugAssign):
        for kind in OPERATORS.get(type(node.op), ()):
            yield _swapped(node, "op", kind())
        yield node, "pass", f"{ast.unparse(node)} -> pass"
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Call):
        yield node, "pass", f"{ast.unparse(node)} -> pass"
    if isinstance(node, ast.Raise):
        yield node, "pass", "raise -> pass"
    if isinstance(node, ast.Break):
        yield node, "pass", "break -> pass"
    if isinstance(node, ast.Continue):
        yield node, "break", "continue -> break"
    tests = list(node.ifs) if isinstance(node, ast.comprehension) else []
    if isinstance(node, (ast.If, ast.While, ast.IfExp)):
        tests.append(node.test)
    for test in tests:
        if not isinstance(test, (ast.Compare, ast.UnaryOp)):
            yield _negated(test)


def _of_operator(node: ast.AST) -> Iterator[Change]:
    if isinstance(node, ast.BinOp):
        for kind in OPERATORS.get(type(node.op), ()):
            yield _swapped(node, "op", kind())
    if isinstance(node, ast.BoolOp):
        yield _swapped(node, "op", ast.Or() if isinstance(node.op, ast.And) else ast.And())
    if isinstance(node, ast.Compare):
        for at, op in enumerate(node.ops):
            for other in COMPARISONS.get(type(op), ()):
                yield _swapped(node, "ops", [*node.ops[:at], other(), *node.ops[at + 1 :]])
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, (ast.USub, ast.Not, ast.Invert)):
        inner = ast.unparse(node.operand)
        yield node, f"({inner})", f"{ast.unparse(node)} -> {inner}"


def _of_call(node: ast.Call) -> Iterator[Change]:
    name = (
        node.func.attr if isinstance(node.func, ast.Attribute)
        else node.func.id if isinstance(node.func, ast.Name) else ""
    )  # fmt: skip
    if name in NAMES:
        other = copy.copy(node.func)
        if isinstance(other, ast.Attribute):
            other.attr = NAMES[name]
        elif isinstance(other, ast.Name):
            other.id = NAMES[name]
        yield _swapped(node, "func", other)
    if name in DROPPED and len(node.args) == 1 and not node.keywords:
        inner = ast.unparse(node.args[0])
        yield node, f"({inner})", f"{ast.unparse(node)} -> {inner}"


def _of_number(node: ast.Constant, *, sign: bool) -> Iterator[Change]:
    value = node.value
    if isinstance(value, bool):
        yield node, str(not value), f"{value} -> {not value}"
        return
    news: list[complex] = []
    if isinstance(value, int):
        news = [value + 1]
    elif isinstance(value, (float, complex)):
        news = [value * 1.1 if value else 1.0]
    if sign and news and value:
        assert isinstance(value, (int, float, complex))
        news.append(-value)
    for new in news:
        text = f"{new:.6g}" if isinstance(new, float) and abs(new) < 1e15 else repr(new)
        if isinstance(new, float) and not set(text) & set(".en"):
            text += ".0"
        yield node, f"({text})", f"{ast.unparse(node)} -> {text}"
