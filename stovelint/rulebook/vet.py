"""What makes a rule folder whole, besides code that loads and rows that are complete.

Everything here reads text only. It is no guard against malice: who names a folder of rules runs
its code. It keeps an honest author from shipping half a rule.
"""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, Iterable, Iterator

from stovelint.errors import RulebookError
from stovelint.place import PLAN
from stovelint.rule.expected import vet_expected

if TYPE_CHECKING:
    from stovelint.rule.limits import Limits
    from stovelint.trust import Held

FILES = ("rule.py", "limits.toml", "README.md")
EXAMPLES = ("stands", "fails")
EXPECT = ".expect.toml"

PAGE_SAYS = ("Looks at", "Why", "What to do")
DOCSTRING_SAYS = ("Looks at:", "Needs:", "Silent:")

CONTRACT = ("stovelint.rule", "stovelint.quantity")
STANDARD = ("__future__", "collections", "dataclasses", "itertools", "math", "typing")
ALLOWED = ", ".join((*CONTRACT, *STANDARD[1:]))
# What prints, asks, reads files or runs text.
NO_CALLS = frozenset(
    {"print", "input", "open", "exec", "eval", "compile", "breakpoint", "__import__"}
)
CALLS = tuple(f"{name}(" for name in sorted(NO_CALLS))


def text_of(folder: str, file: str, held: Held | None = None) -> str:
    """The text of one file of a rule folder.

    Args:
        held: what the folder lies in, where that is read already.

    Raises:
        RulebookError: it is not there, cannot be read, or is not UTF-8.
    """
    path = os.path.join(folder, file)
    try:
        if held is not None:
            content = held.content(path)
            if content is None:
                raise FileNotFoundError
            return content.decode("utf-8").replace("\r\n", "\n")
        with open(path, encoding="utf-8") as stream:
            return stream.read()
    except UnicodeDecodeError:
        raise RulebookError(path, "is not UTF-8", "save it as UTF-8") from None
    except FileNotFoundError:
        raise RulebookError(
            folder, f"has no {file}", "a rule folder holds one: add it"
        ) from None
    except OSError as error:
        raise RulebookError(
            path, f"cannot be read ({error.strerror})", f"a rule folder holds a {file} as a text"
        ) from None


# -- the page -------------------------------------------------------------------------------


def vet_page(path: str, text: str, limits: Limits | None) -> Iterator[RulebookError]:
    """What README.md leaves out: what, why, what to do, and where each limit comes from.

    A row of its table may name a family of keys by its head: `FI-E8-*`.

    Args:
        path: the file, for messages.
        text: its text.
        limits: the rule's limits; None where they could not be read.
    """
    for word in PAGE_SAYS:
        if word not in text:
            yield RulebookError(path, f"does not say `{word}`", "a page says what, why, what to do")
    named = {
        word.strip()
        for line in text.splitlines() if line.startswith("|")
        for word in line.split("|")[1].split(",")
    }  # fmt: skip
    for key in dict.fromkeys(_keys(limits)):
        steps = key.split("-")
        heads = {"-".join((*steps[:i], "*")) for i in range(1, len(steps))}
        if key not in named and not named & heads:
            yield RulebookError(
                path, f"does not name {key}", f"add a row | {key} | value | from | grade |"
            )


# -- the examples ---------------------------------------------------------------------------


def vet_examples(
    folder: str, limits: Limits | None, held: Held | None = None
) -> Iterator[RulebookError]:
    """What is missing among the plans that a rule must leave alone, or must object to.

    Args:
        folder: the rule folder.
        limits: the rule's limits; None where they could not be read.
        held: what the folder lies in, where that is read already.
    """
    for name in EXAMPLES:
        inside = os.path.join(folder, name)
        try:
            there = sorted(os.listdir(inside)) if held is None else list(held.names(inside))
        except OSError:
            there = []
        plans = [file for file in there if file.endswith(PLAN)]
        if not plans:
            yield RulebookError(
                folder, f"has no example in {name}/", f"add one that ends in {PLAN}"
            )
        if name != "fails":
            continue
        expects = [file for file in there if file.endswith(EXPECT)]
        for plan in plans:
            expect = plan[: -len(PLAN)] + EXPECT
            if expect not in expects:
                yield RulebookError(
                    os.path.join(inside, plan),
                    "says nowhere what it must show",
                    f"add {expect} with path, quantity and limit",
                )
        for expect in expects:
            path = os.path.join(inside, expect)
            if expect[: -len(EXPECT)] + PLAN not in plans:
                yield RulebookError(path, "has no plan beside it", "add the plan, or remove it")
            try:
                yield from vet_expected(path, text_of(inside, expect, held), _keys(limits))
            except RulebookError as fault:
                yield fault


def _keys(limits: Limits | None) -> list[str]:
    return [] if limits is None else [row.key for row in limits.all()]


# -- the code -------------------------------------------------------------------------------


def vet_code(path: str, text: str) -> Iterator[RulebookError]:
    """What rule.py must not do: import beyond the contract, print, ask, open, or run text."""
    for line, what in _not_allowed(text):
        yield RulebookError(
            path, f"line {line} {what}", "a rule goes by its scene and a few standard modules alone"
        )


def vet_asked(path: str, text: str, limits: Limits) -> Iterator[RulebookError]:
    """Limits that rule.py asks for in vain, and those that it never asks for.

    Names may be put together: `f"fi-{surface}-from"`.
    """
    rows = set(limits)
    for quote in ('"', "'"):
        for piece in text.split(f".limit({quote}")[1:]:
            name = piece[: piece.find(quote)]
            if name not in rows:
                yield RulebookError(path, f"asks for limit `{name}`", "add the row to limits.toml")
    quoted = {*text.split('"')[1:-1], *text.split("'")[1:-1]}
    unnamed = [row for row in limits if row not in quoted]
    made = _templates(text) if unnamed else []
    for row in unnamed:
        if not any(_fits(row, pieces) for pieces in made):
            yield RulebookError(
                path, f"never asks for the limit `{row}`", "use it by its name, or take its row out"
            )


def vet_docstring(path: str, name: str, docstring: str | None) -> Iterator[RulebookError]:
    """What the docstring of a rule leaves out."""
    if sys.flags.optimize > 1:  # docstrings were left out of everything
        return
    if not (docstring or "").strip():
        yield RulebookError(
            path, f"{name} has no docstring", "say what it looks at, needs, and is silent on"
        )
        return
    for word in DOCSTRING_SAYS:
        if word not in (docstring or ""):
            yield RulebookError(
                path, f"the docstring of {name} does not say `{word}`",
                f"it says {' '.join(DOCSTRING_SAYS)}",
            )  # fmt: skip


def _not_allowed(text: str) -> Iterable[tuple[int, str]]:
    """Line and fault of every import and call that a rule must do without.

    What is plainly allowed is told apart line by line; only when something looks odd is the text
    parsed, so that a good rule costs no parser.
    """
    odd = any(call in text for call in CALLS) or not all(map(_plain, _lines_with(text, "import")))
    return _parsed(text) if odd else ()


def _lines_with(text: str, word: str) -> Iterator[str]:
    at = text.find(word)
    while at >= 0:
        start, end = text.rfind("\n", 0, at) + 1, text.find("\n", at)
        yield text[start:] if end < 0 else text[start:end]
        at = -1 if end < 0 else text.find(word, end)


def _plain(line: str) -> bool:
    """Whether a line with `import` in it is one allowed import and nothing else."""
    words = line.split()
    if line.count("import") != 1 or ";" in line:
        return False
    if words[0] == "from" and words[2:3] == ["import"]:
        return _may_import(words[1])
    return words[0] == "import" and len(words) == 2 and _may_import(words[1])


def _may_import(module: str) -> bool:
    ours = any(module == name or module.startswith(f"{name}.") for name in CONTRACT)
    return ours or module.split(".")[0] in STANDARD


def _parsed(text: str) -> Iterator[tuple[int, str]]:
    import ast  # a good rule is never parsed here

    try:
        tree = ast.parse(text)
    except (SyntaxError, ValueError):
        return  # loading it says what is wrong
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            if node.func.id in NO_CALLS:
                yield node.lineno, f"calls {node.func.id}()"
        elif isinstance(node, (ast.Import, ast.ImportFrom)):
            if isinstance(node, ast.Import):
                modules = [alias.name for alias in node.names]
            else:
                modules = ["." * node.level + (node.module or "")]
            for module in modules:
                if not _may_import(module):
                    yield node.lineno, f"imports {module}; allowed are {ALLOWED}"


def _templates(text: str) -> list[list[str]]:
    """The fixed pieces of every formatted name in the text: `f"fi-{x}-from"` -> fi-, -from."""
    found = []
    for quote in ('"', "'"):
        for piece in text.split(f"f{quote}")[1:]:
            pieces, rest = [], piece[: piece.find(quote)]
            while "{" in rest and "}" in rest:
                head, rest = rest.split("{", 1)
                pieces.append(head)
                rest = rest.split("}", 1)[1] if "}" in rest else ""
            pieces.append(rest)
            if len(pieces) > 1 and any(pieces) and " " not in "".join(pieces):
                found.append(pieces)
    return found


def _fits(row: str, pieces: list[str]) -> bool:
    """Whether a name can be put together from these pieces with something between them."""
    at = 0
    for number, piece in enumerate(pieces):
        found = row.find(piece, at) if number else (0 if row.startswith(piece) else -1)
        if found < 0:
            return False
        at = found + len(piece) + 1
    return row.endswith(pieces[-1])
