"""One input for each seed and number: a valid plan after some accidents, or a text of snippets."""

from __future__ import annotations

import copy
import random
import re
from dataclasses import dataclass
from typing import Any, Callable

from tests.fuzz.seeds import NUMBERS, SNIPPETS, UNITS, VALUES, Seed, seeds, written
from tests.fuzz.writing import STYLES

TOKEN = re.compile(r"[A-Za-z_][A-Za-z0-9_-]*|[0-9]+(?:\.[0-9]+)?|\s+|.", re.S)
NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
UNIT = re.compile(r"(?<=[0-9] )[A-Za-z%]+2?")


@dataclass(frozen=True, kw_only=True, slots=True)
class Input:
    """What is given to the reader, under which name."""

    name: str
    data: bytes


def made(seed: int, number: int) -> Input:
    """The input of a number: always the same."""
    rng = random.Random(f"{seed}-{number}")
    plan = rng.choice(seeds())
    kind = rng.random()
    if kind < 0.08:
        pieces = [_snippet(rng) + rng.choice((" ", "\n", "")) for _ in range(rng.randint(1, 30))]
        text = "".join(pieces)
    elif kind < 0.38:
        text = written(_felled(rng, plan), plan.ending, rng.choice(STYLES))
        if rng.random() < 0.2:
            text = rng.choice(DEEDS)(rng, text)
    else:
        text = plan.text
        for _ in range(rng.choice((1, 1, 1, 2, 3, 6))):
            text = rng.choice(DEEDS)(rng, text)
    ending = plan.ending if rng.random() < 0.97 else rng.choice(("yaml", "toml", "json"))
    return Input(name=f"fuzz.heater.{ending}", data=_encoded(rng, text))


def _snippet(rng: random.Random) -> str:
    return rng.choice(rng.choice((SNIPPETS, SNIPPETS, NUMBERS, UNITS)))


def _encoded(rng: random.Random, text: str) -> bytes:
    luck = rng.random()
    if luck < 0.01:
        return text.encode("utf-16", "surrogatepass")
    if luck < 0.02:
        return text.encode("latin-1", "replace")
    if luck < 0.05:
        text = "\ufeff" + text
    elif luck < 0.10:
        text = text.replace("\n", "\r\n")
    elif luck < 0.11:
        text = text.replace("\n", "\r")
    data = text.encode("utf-8", "surrogatepass")
    if luck > 0.95 and data:
        place = rng.randrange(len(data))
        data = data[:place] + bytes([rng.randrange(256)]) + data[place + rng.randint(0, 1) :]
    return data


def _cut(rng: random.Random, text: str) -> tuple[int, int]:
    start = rng.randrange(len(text) + 1)
    return start, min(len(text), start + rng.choice((0, 1, 1, 2, 5, 20, 100)))


def _delete(rng: random.Random, text: str) -> str:
    start, end = _cut(rng, text)
    return text[:start] + text[end:]


def _double(rng: random.Random, text: str) -> str:
    start, end = _cut(rng, text)
    return text[:end] + text[start:end] * rng.choice((1, 1, 2, 50)) + text[end:]


def _swap(rng: random.Random, text: str) -> str:
    marks = sorted(rng.randrange(len(text) + 1) for _ in range(4))
    a, b, c, d = marks
    return text[:a] + text[c:d] + text[b:c] + text[a:b] + text[d:]


def _insert(rng: random.Random, text: str) -> str:
    start, end = _cut(rng, text)
    return text[:start] + _snippet(rng) + text[rng.choice((start, end)) :]


def _truncate(rng: random.Random, text: str) -> str:
    return text[: rng.randrange(len(text) + 1)]


def _splice(rng: random.Random, text: str) -> str:
    other = rng.choice(seeds()).text
    start = rng.randrange(len(other) + 1)
    return text[: rng.randrange(len(text) + 1)] + other[start : start + rng.randint(0, 1500)]


def _token(rng: random.Random, text: str) -> str:
    tokens = TOKEN.findall(text)
    if not tokens:
        return _snippet(rng)
    place, other = rng.randrange(len(tokens)), rng.randrange(len(tokens))
    deed = rng.randrange(5)
    if deed == 0:
        del tokens[place]
    elif deed == 1:
        tokens.insert(place, tokens[other])
    elif deed == 2:
        tokens[place], tokens[other] = tokens[other], tokens[place]
    elif deed == 3:
        tokens[place] = tokens[other]
    else:
        tokens[place] = _snippet(rng)
    return "".join(tokens)


def _line(rng: random.Random, text: str) -> str:
    lines = text.split("\n")
    place, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    deed = rng.randrange(5)
    if deed == 0:
        del lines[place]
    elif deed == 1:
        lines.insert(place, lines[other])
    elif deed == 2:
        lines[place], lines[other] = lines[other], lines[place]
    elif deed == 3:
        lines[place] = rng.choice(("  ", "\t", " ")) + lines[place]
    else:
        lines[place] = lines[place].lstrip()
    return "\n".join(lines)


Deed = Callable[[random.Random, str], str]


def _one_of(pattern: re.Pattern[str], words: tuple[str, ...]) -> Deed:
    def deed(rng: random.Random, text: str) -> str:
        found = list(pattern.finditer(text))
        if not found:
            return text + rng.choice(words)
        hit = rng.choice(found)
        return text[: hit.start()] + rng.choice(words) + text[hit.end() :]

    return deed


DEEDS: tuple[Deed, ...] = (
    _delete, _double, _swap, _insert, _insert, _truncate, _splice, _token, _token, _line, _line,
    _one_of(NUMBER, NUMBERS), _one_of(UNIT, UNITS),
    *[_one_of(NUMBER, ("1", "20", "0.5", "700", "3", "65", "114"))] * 4,
)  # fmt: skip


def _felled(rng: random.Random, plan: Seed) -> dict[str, Any]:
    """The tree of a plan after something was done to its branches."""
    tree = copy.deepcopy(plan.tree)
    if rng.random() < 0.2:
        tree = _patch(rng, tree)
    for _ in range(rng.choice((1, 1, 2, 4))):
        nodes = _nodes(tree)
        node = rng.choice(nodes)
        steps: list[Any] = list(node) if isinstance(node, dict) else list(range(len(node)))
        deed = rng.randrange(7)
        if not steps or deed == 0:
            _add(rng, node, copy.deepcopy(rng.choice(VALUES)))
        elif deed == 1:
            del node[rng.choice(steps)]
        elif deed in (2, 3):
            node[rng.choice(steps)] = copy.deepcopy(rng.choice(VALUES))
        elif deed == 4:
            _add(rng, node, copy.deepcopy(rng.choice(nodes)))
        elif deed == 5 and isinstance(node, dict):
            node[_snippet(rng)[:200]] = node.pop(rng.choice(steps))
        else:
            inner: Any = node[rng.choice(steps)]
            for _ in range(rng.choice((1, 3, 38, 45))):
                inner = {"a": inner} if rng.random() < 0.5 else [inner]
            node[rng.choice(steps)] = copy.deepcopy(inner)
        if rng.random() < 0.01:
            _add(rng, node, {f"k{n}": n for n in range(rng.choice((50, 400)))})
    return tree


def _patch(rng: random.Random, tree: dict[str, Any]) -> dict[str, Any]:
    """A few branches of a plan as changes to the base."""
    patch: dict[str, Any] = {"based_on": "x.heater.yaml"}
    for key in rng.sample(sorted(tree), rng.randint(0, min(3, len(tree)))):
        patch[key] = tree[key] if rng.random() < 0.7 else None
        if isinstance(patch[key], dict) and patch[key] and rng.random() < 0.7:
            name = rng.choice(sorted(patch[key]))
            patch[key] = {name: patch[key][name] if rng.random() < 0.6 else None}
    return patch


def _add(rng: random.Random, node: Any, value: object) -> None:
    if isinstance(node, list):
        node.insert(rng.randint(0, len(node)), value)
    else:
        names = [key for seed in seeds()[:2] for inner in _nodes(seed.tree) for key in inner
                 if isinstance(key, str)]  # fmt: skip
        node[rng.choice((rng.choice(names), _snippet(rng)[:200]))] = value


def _nodes(tree: Any) -> list[Any]:
    found: list[Any] = []
    ahead: list[Any] = [tree]
    while ahead:
        node = ahead.pop()
        found.append(node)
        for inner in node.values() if isinstance(node, dict) else node:
            if isinstance(inner, (dict, list)):
                ahead.append(inner)
    return found
