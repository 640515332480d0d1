"""YAML text -> plain tree and places, from parser events, without recursion.

Reading events instead of composed nodes shows anchors, aliases, tags and directives as such,
stops at a depth limit before anything grows, and costs a third of composing. Both parsers of
ruamel.yaml count lines and columns in code points from 0; the text is freed of its byte order
mark before, since only one of them counts it.
"""

from __future__ import annotations

from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from stovelint.errors import BuildFileError
from stovelint.place import MOST_MISTAKES, Mistake, Path, Places, shortened
from stovelint.quantity.numbers import shown
from stovelint.source.record import LazyEntries, Point, Raw, Source, point_at, span_of
from stovelint.source.scalars import OddNumber, plain
from stovelint.source.scan import MAX_DEPTH, MOST_VALUES, TOO_MANY
from stovelint.source.text import halves_out, refuse, unseen
from stovelint.source.yaml_faults import reword


class _Stop(Exception):
    """Reading cannot go on; the mistake is already noted."""


class _Level:
    """One map or list that is still open."""

    __slots__ = ("end", "in_list", "key", "key_at", "live", "node", "path", "seen", "start")

    def __init__(self, node: Any, path: Path, start: Point, live: bool) -> None:
        self.node = node
        self.in_list = isinstance(node, list)
        self.path = path
        self.start = start
        self.end = start
        self.live = live
        self.key: str | None = None
        self.key_at: tuple[Point, Point] | None = None
        self.seen: dict[str, int] = {}


class _Reader:
    def __init__(self, text: str, file: str) -> None:
        self.text = text
        self.file = file
        self.raw: dict[Path, Raw] = {}
        self.mistakes: list[Mistake] = []
        self.levels: list[_Level] = []
        self.root: Any = None
        self.documents = 0
        self.values = 0

    def note(self, start: Point, end: Point, message: str, remedy: str) -> None:
        path: Path = ()
        if self.levels:
            top = self.levels[-1]
            path = top.path if top.key is None else (*top.path, top.key)
        span = span_of(self.file, start, end)
        self.mistakes.append(Mistake(span=span, path=path, message=message, remedy=remedy))
        if len(self.mistakes) > 2 * MOST_MISTAKES:
            raise _Stop  # more than anyone reads in one go

    def read(self, pure: bool) -> None:
        handlers = {
            "ScalarEvent": self.scalar,
            "MappingStartEvent": self.opened,
            "SequenceStartEvent": self.opened,
            "MappingEndEvent": self.closed,
            "SequenceEndEvent": self.closed,
            "AliasEvent": self.alias,
            "DocumentStartEvent": self.document,
        }
        try:
            for event in YAML(typ="safe", pure=pure).parse(self.text):
                handle = handlers.get(type(event).__name__)
                if handle is not None:
                    handle(event)
        except _Stop:
            self.root = None
        except MarkedYAMLError as fault:
            self.root = None
            self.syntax(fault)
        except (YAMLError, RecursionError, ValueError):
            self.root = None
            message, remedy = reword("", "")
            self.mistakes.append(refuse(self.file, self.text, 0, message, remedy))

    def syntax(self, fault: MarkedYAMLError) -> None:
        problem = fault.problem or ""
        mark = fault.problem_mark or fault.context_mark
        if fault.context_mark is not None and "quoted scalar" in (fault.context or ""):
            if "escape" not in problem:
                mark = fault.context_mark  # the opening mark says more than the end of the file
        offset = 0 if mark is None else min(mark.index, len(self.text))
        if "escape" in problem and self.text[:offset].endswith("\\"):
            offset -= 1
        message, remedy = reword(problem, self.text[offset : offset + 1])
        self.mistakes.append(refuse(self.file, self.text, offset, message, remedy))

    def document(self, event: Any) -> None:
        self.documents += 1
        if self.documents > 1:
            self.note(
                _start(event), _end(event),
                "a second plan begins here", "keep one plan in a file: take `---` out",
            )  # fmt: skip
            raise _Stop
        if event.version is not None or event.tags:
            offset = 0 if self.text.startswith("%") else self.text.find("\n%") + 1
            message, remedy = reword("directive", "%")
            self.mistakes.append(refuse(self.file, self.text, offset, message, remedy))

    def scalar(self, event: Any) -> None:
        start, end = _start(event), _end(event)
        value: Any = event.value
        self.marks(event, start, end)
        if event.tag is None and event.implicit[0]:
            if not value and self.levels and self.levels[-1].key_at is not None:
                start = end = self.levels[-1].key_at[1]
            try:
                value = plain(value)
            except OddNumber as odd:
                self.note(start, end, odd.message, odd.remedy)
        elif event.style == '"' and unseen(value):
            self.note(
                start, end,
                "an escape stands for a sign that cannot be seen", "write the text without it",
            )  # fmt: skip
            value = halves_out(value)
        self.value(value, start, end)

    def alias(self, event: Any) -> None:
        start, end = _start(event), _end(event)
        self.note(start, end, "an alias (`*`) stands for a value", "write the value out here")
        self.value(None, start, end)

    def marks(self, event: Any, start: Point, end: Point) -> None:
        """Refuse an anchor and a tag; what they stand before is still read."""
        if event.anchor is not None:
            name = shown(event.anchor)
            self.note(start, end, f"anchor `&{name}`", "delete it, and write values out")
        if event.tag is not None:
            self.note(start, end, "a tag (`!`) stands before the value", "delete the tag")

    def opened(self, event: Any) -> None:
        start = _start(event)
        self.marks(event, start, _end(event))
        if len(self.levels) == MAX_DEPTH:
            self.note(
                start, _end(event),
                f"things are nested more than {MAX_DEPTH} deep", "take brackets and braces out",
            )  # fmt: skip
            raise _Stop
        node: Any = {} if type(event).__name__ == "MappingStartEvent" else []
        path: Path = ()
        live = True
        if self.levels:
            top = self.levels[-1]
            step = len(top.node) if top.in_list else top.key
            path = top.path if step is None else (*top.path, step)
            live = top.live and step is not None and step not in top.seen
        self.levels.append(_Level(node, path, start, live))

    def closed(self, event: Any) -> None:
        level = self.levels.pop()
        start, end = _start(event), _end(event)
        in_block = start == end
        self.value(level.node, level.start, level.end if in_block else end)

    def value(self, value: Any, start: Point, end: Point) -> None:
        """File a finished value (or key) in the level that is open."""
        top = self.levels[-1] if self.levels else None
        self.values += top is None or top.in_list or top.key_at is not None  # a key is no value
        if self.values > MOST_VALUES:
            self.note(start, end, *TOO_MANY)
            raise _Stop
        if top is None:
            self.root = value
            self.raw[()] = (None, None, start, end)
            return
        top.end = end
        if top.in_list:
            if top.live:
                self.raw[(*top.path, len(top.node))] = (None, None, start, end)
            top.node.append(value)
        elif top.key_at is None:
            top.key_at = (start, end)
            top.key = self.checked_key(value, start, end)
        else:
            key, key_at = top.key, top.key_at
            top.key = top.key_at = None
            if key is not None and key not in top.seen:
                top.seen[key] = key_at[0][0]
                top.node[key] = value
                if top.live:
                    self.raw[(*top.path, key)] = (*key_at, start, end)

    def checked_key(self, value: Any, start: Point, end: Point) -> str | None:
        """The key, or None when what stands under it must be passed over."""
        top = self.levels[-1]
        if not isinstance(value, str):
            self.note(start, end, "this key is not a word", "begin it with a letter")
            return None
        if value == "<<":
            self.note(start, end, "`<<` merges another map", "write its entries out here")
            return None
        if "\n" in value:
            self.note(start, end, "this key runs over several lines", "write it on one line")
            return None
        if value in top.seen:
            self.note(
                start, end,
                f"key `{shown(value)}` was already given in line {top.seen[value] + 1}",
                "keep one of the two",
            )  # fmt: skip
        return value


def _start(event: Any) -> Point:
    mark = event.start_mark
    return mark.line, mark.column, mark.index


def _end(event: Any) -> Point:
    mark = event.end_mark
    return mark.line, mark.column, mark.index


def parse(text: str, file: str, *, bom: bool = False, pure: bool = False) -> Source:
    """Tree and places of one YAML text.

    Args: `file`: name for messages; `pure`: read with the parser in Python although the one
    in C is there.
    Errors: `BuildFileError` when there is no tree to go on with.

    >>> source = parse("title: Kiln Cottage\\n", "kiln.heater.yaml")
    >>> source.tree, source.places.value(("title",)).label()
    ({'title': 'Kiln Cottage'}, 'kiln.heater.yaml:1:8')
    """
    reader = _Reader(text, file)
    reader.read(pure)
    if not isinstance(reader.root, dict):
        if not reader.mistakes:
            reader.mistakes.append(_no_map(reader))
        raise BuildFileError(shortened(reader.mistakes))
    return Source(
        file=file, text=text, bom=bom, tree=reader.root,
        places=Places(entries=LazyEntries(file, reader.raw)),
        mistakes=tuple(sorted(reader.mistakes, key=Mistake.sort_key)),
    )  # fmt: skip


def _no_map(reader: _Reader) -> Mistake:
    remedy = "begin with `format: 1` and `title: ...` on lines of their own"
    if reader.root is None:
        return refuse(reader.file, reader.text, 0, "the file holds no plan", remedy)
    start = point_at(reader.text, 0)
    if () in reader.raw:
        start = reader.raw[()][2]
    return refuse(reader.file, reader.text, start[2], "the plan is not `key: value` lines", remedy)
