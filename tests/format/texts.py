"""Drawn JSON and TOML texts that say a drawn tree in many ways."""

from __future__ import annotations

import json
import re
from typing import Any

from hypothesis import strategies as st

BARE = re.compile(r"[A-Za-z0-9_-]+")
WORDS = st.one_of(
    st.text(max_size=6),
    st.sampled_from(["a", "b", "bell-cap", "", "a b", "a.b", "60 mm", "\U0001f525", "4-1/2\"",
                     "'", "\\", "\u00e9", "x\ty", "line\nline", "\x1b[2J", "''", '"""', "#", "[a]",
                     "\u2028"]),
)  # fmt: skip
NUMBERS = st.one_of(
    st.integers(-(10**12), 10**12),
    st.integers(-(10**6), 10**6).map(lambda whole: whole / 1000),
    st.sampled_from([1e5, 1e-7, -0.0, 2.5e10]),
)
Tree = dict[str, Any]


def _branches(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.one_of(st.lists(inner, max_size=3), st.dictionaries(WORDS, inner, max_size=3))


def trees(*leaves: st.SearchStrategy[Any]) -> st.SearchStrategy[Tree]:
    """Trees of records, lists, texts and numbers."""
    leaf = st.one_of(WORDS, NUMBERS, st.booleans(), *leaves)
    node = st.recursive(leaf, _branches, max_leaves=10)
    return st.dictionaries(WORDS, node, min_size=1, max_size=4)


@st.composite
def json_texts(draw: st.DrawFn) -> str:
    """A JSON text with blanks of all kinds and texts half in escapes."""
    return _json(draw, draw(trees(st.none()))) + draw(GAPS)


GAPS = st.sampled_from(["", "", " ", "\n", "\r\n", "\t", " \r\n  "])


def _json(draw: st.DrawFn, node: Any) -> str:
    def gap() -> str:
        return str(draw(GAPS))

    if isinstance(node, dict):
        entries = [
            f"{gap()}{_quoted(draw, key)}{gap()}:{gap()}{_json(draw, held)}{gap()}"
            for key, held in node.items()
        ]
        return "{" + ",".join(entries) + gap() + "}"
    if isinstance(node, list):
        return "[" + ",".join(f"{gap()}{_json(draw, one)}{gap()}" for one in node) + "]"
    if isinstance(node, str):
        return _quoted(draw, node)
    return json.dumps(node)


def _quoted(draw: st.DrawFn, text: str) -> str:
    said = json.dumps(text, ensure_ascii=draw(st.booleans()))
    return said.replace("/", "\\/") if draw(st.booleans()) else said


@st.composite
def toml_texts(draw: st.DrawFn) -> str:
    """A TOML text with tables, lists of tables, dotted keys, braces and all kinds of quotes."""
    return Toml(draw).text(draw(trees()))


class Toml:
    """One drawn way to write a tree."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.sections: list[list[str]] = [[]]
        self.lists = False

    def one_of(self, *words: str) -> str:
        return str(self.draw(st.sampled_from(words)))

    def text(self, tree: Tree) -> str:
        self.table((), tree)
        rest = self.sections[1:]
        if not self.lists:
            # Tables may stand in any order, also before the one that they belong to.
            rest = self.draw(st.permutations(rest))
        lines = [line for section in [self.sections[0], *rest] for line in section]
        end = self.one_of("\n", "\r\n")
        # A break within a text of several lines becomes the same break.
        return end.join(lines).replace("\r\n", "\n").replace("\n", end) + self.one_of("", end)

    def line(self, said: str) -> None:
        self.sections[-1].append(
            self.one_of("", "", " ", "\t") + said + self.one_of("", "", " ", " # [a] = 'x'")
        )
        if self.draw(st.booleans()):
            self.sections[-1].append(self.one_of("", "# c", " \t"))

    def key(self, text: str) -> str:
        if BARE.fullmatch(text) is not None and self.draw(st.booleans()):
            return text
        if plain(text) and "'" not in text and self.draw(st.booleans()):
            return f"'{text}'"
        return self.basic(text)

    def dotted(self, path: tuple[str, ...]) -> str:
        return self.one_of(".", " . ", ".").join(self.key(step) for step in path)

    def table(self, path: tuple[str, ...], tree: Tree) -> None:
        later: list[tuple[str, Any]] = []
        for name, node in tree.items():
            way = self.one_of("table", "dotted", "inline")
            if isinstance(node, dict) and way == "table":
                later.append((name, node))
            elif isinstance(node, dict) and node and way == "dotted":
                self.entries((name,), node)
            elif way == "table" and records(node):
                later.append((name, node))
            else:
                self.line(f"{self.key(name)}{self.one_of(' = ', '=')}{self.value(node)}")
        for name, node in later:
            here = (*path, name)
            if not isinstance(node, dict):
                self.lists = True
                for one in node:
                    self.sections.append([])
                    self.line(f"[[{self.dotted(here)}]]")
                    self.table(here, one)
                continue
            self.sections.append([])
            if any(not isinstance(held, dict) for held in node.values()) or not node:
                self.line(f"[{self.dotted(here)}]")
                self.table(here, node)
            else:
                self.line(f"[{self.dotted(here)}]" if self.draw(st.booleans()) else "")
                for inner, held in node.items():  # the record itself may have no header
                    self.sections.append([])
                    self.line(f"[{self.dotted((*here, inner))}]")
                    self.table((*here, inner), held)

    def entries(self, path: tuple[str, ...], node: Tree) -> None:
        for name, held in node.items():
            if isinstance(held, dict) and held and self.draw(st.booleans()):
                self.entries((*path, name), held)
            else:
                self.line(f"{self.dotted((*path, name))} = {self.value(held)}")

    def value(self, node: Any) -> str:
        if isinstance(node, bool):
            return "true" if node else "false"
        if isinstance(node, str):
            return self.quoted(node)
        if isinstance(node, dict):
            inner = ", ".join(f"{self.key(k)} = {self.value(v)}" for k, v in node.items())
            return "{ " + inner + " }"
        if isinstance(node, list):
            gap = self.one_of("", " ", "\n", "\n  # ], 'c'\n")
            inner = ",".join(f"{gap}{self.value(one)}{gap}" for one in node)
            return f"[{inner}{self.one_of('', ',') if node else ''}{gap}]"
        return repr(node)

    def quoted(self, text: str) -> str:
        way = self.one_of("basic", "literal", "long basic", "long literal")
        if way == "literal" and plain(text) and "'" not in text:
            return f"'{text}'"
        if way == "long literal" and plain(text.replace("\n", "")) and "'''" not in text:
            if not text.endswith("'''") and not text.startswith("\n"):
                return f"'''{self.one_of('', chr(10))}{text}'''"
        if way == "long basic":
            inner = self.basic(text)[1:-1].replace("\\n", "\n")
            return f'"""\n{self.one_of("", chr(92) + chr(10) + "  ")}{inner}"""' if (
                not inner.startswith((" ", "\t", "\n"))
            ) else f'"""\n{inner}"""'
        return self.basic(text)

    def basic(self, text: str) -> str:
        said = json.dumps(text, ensure_ascii=self.draw(st.booleans()))
        # TOML has one escape for a sign beyond 16 bits, and wants more of them.
        said = re.sub(
            r"(?<!\\)((?:\\\\)*)\\u(d[89ab][0-9a-f]{2})\\u(d[c-f][0-9a-f]{2})", _whole, said
        )
        return said.replace("\x7f", "\\u007f")


def _whole(hit: re.Match[str]) -> str:
    high, low = int(hit.group(2), 16), int(hit.group(3), 16)
    return f"{hit.group(1)}\\U{0x10000 + ((high - 0xD800) << 10) + (low - 0xDC00):08X}"


def plain(text: str) -> bool:
    """Whether nothing in it needs an escape."""
    return all(sign >= " " and sign != "\x7f" or sign == "\t" for sign in text)


def records(node: Any) -> bool:
    return isinstance(node, list) and bool(node) and all(isinstance(one, dict) for one in node)
