"""Changes of a plan's tree as replacements in its text, so that nothing else of the file moves.

A change is only told as a replacement of text where that is exact: comments, quotes and layout
of everything else stay as they are, and the changed text, read again, is the changed tree. What
cannot be put so is left to who prints it as a change of the tree.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Callable, Sequence

from stovelint.errors import BuildFileError
from stovelint.place import Mark, Path, Span
from stovelint.remedy.edits import apply
from stovelint.remedy.written import is_yaml, pair, written
from stovelint.source.record import point_at

if TYPE_CHECKING:
    from stovelint.remedy.rows import Edit, Tree
    from stovelint.source import Source

BRACKETS = "[{"


@dataclass(frozen=True, kw_only=True, slots=True)
class Replacement:
    """A stretch of the file as it is, and what comes in its place; an empty stretch is a point
    at which something is put in."""

    span: Span
    text: str


def replacements(
    source: Source, edits: Sequence[Edit], reread: Callable[[str], Tree]
) -> tuple[Replacement, ...] | None:
    """The replacements that make the edits, in the order of the file; None: there are none.

    Args:
        source: the plan as it was read.
        edits: changes of its tree, made one after the other.
        reread: changed text of the same file -> its tree; may raise `BuildFileError`.

    They do not touch one another, and all of them refer to the file as it is.
    """
    found: list[Replacement] = []
    for edit in edits:
        one = _replacement(source, edit)
        if one is None or one.span.file != source.file:
            return None
        found.append(one)
    found.sort(key=lambda one: one.span.start.offset)
    for before, after in zip(found, found[1:]):
        if before.span.end.offset >= after.span.start.offset:
            return None
    try:
        same = bool(found) and reread(replaced(source.text, found)) == apply(
            source.tree, tuple(edits)
        )
    except (BuildFileError, KeyError, IndexError, TypeError):
        same = False
    return tuple(found) if same else None


def replaced(text: str, made: Sequence[Replacement]) -> str:
    """The text with all replacements made; they stand in the order of the text.

    >>> start, end = (Mark(line=0, column=at, offset=at) for at in (3, 4))
    >>> span = Span(file="kiln.heater.yaml", start=start, end=end)
    >>> replaced("a: 1 # one", [Replacement(span=span, text="2")])
    'a: 2 # one'
    """
    parts: list[str] = []
    done = 0
    for one in made:
        parts += [text[done : one.span.start.offset], one.text]
        done = one.span.end.offset
    return "".join([*parts, text[done:]])


def _replacement(source: Source, edit: Edit) -> Replacement | None:
    entries = source.places.entries
    around = edit.path[:-1] if edit.insert or edit.path not in entries else edit.path
    if around not in entries or entries[around].value.file != source.file:
        return None
    if edit.insert:
        return _put_in(source, edit)
    if edit.path in entries:
        span = entries[edit.path].value
        old = source.text[span.start.offset : span.end.offset]
        whole = "\n" not in old and (old[:1] in BRACKETS or not _is_collection(source, edit.path))
        if not whole or not old:
            return None
        text = written(edit.value, source.file)
        return None if text is None else Replacement(span=span, text=text)
    return _new_key(source, edit)


def _put_in(source: Source, edit: Edit) -> Replacement | None:
    """A new entry of a list, on a line of its own where the others have one."""
    entries = source.places.entries
    *above, index = edit.path
    around = tuple(above)
    text = written(edit.value, source.file)
    if text is None or not isinstance(index, int):
        return None
    span = entries[around].value
    if source.text[span.start.offset : span.start.offset + 1] == "[":
        if edit.path in entries:
            mark = entries[edit.path].value.start
            return _point(source, mark.offset, f"{text},{_between(source, mark)}")
        last = (*around, index - 1)
        if last not in entries:
            return None
        between = _between(source, entries[last].value.start)
        return _point(source, entries[last].value.end.offset, f",{between}{text}")
    first = (*around, 0)
    if not is_yaml(source.file) or first not in entries:
        return None
    dash = _line_before(source.text, entries[first].value.start.offset)
    if dash.strip() != "-":
        return None
    line = f"{dash}{text}"
    if edit.path in entries:
        start = entries[edit.path].value.start.offset
        return _point(source, start - len(_line_before(source.text, start)), line + _break(source))
    return _after(source, around, line)


def _new_key(source: Source, edit: Edit) -> Replacement | None:
    """A new entry of a map, behind those that it has."""
    entries = source.places.entries
    around, key = edit.path[:-1], edit.path[-1]
    text = written(edit.value, source.file)
    inside = [path for path in entries if path[:-1] == around and len(path) == len(edit.path)]
    if text is None or not inside or not isinstance(key, str):
        return None
    entry = pair(key, text, source.file)
    span = entries[around].value
    if entry is None:
        return None
    if source.text[span.start.offset : span.start.offset + 1] == "{":
        last = max((entries[path] for path in inside), key=lambda one: one.value.end.offset)
        if last.key is None:
            return None
        return _point(
            source, last.value.end.offset, f",{_between(source, last.key.start)}{entry}"
        )
    first = entries[inside[0]].key
    if first is None or not is_yaml(source.file):
        return None
    return _after(source, around, f"{' ' * first.start.column}{entry}")


def _after(source: Source, path: Path, line: str) -> Replacement:
    """A line behind the last one of a block."""
    end = source.places.entries[path].value.end.offset
    at = source.text.find("\n", end)
    if at < 0:
        return _point(source, len(source.text), _break(source) + line)
    return _point(source, at + 1, line + _break(source))


def _point(source: Source, offset: int, text: str) -> Replacement:
    line, column, at = point_at(source.text, offset)
    mark = Mark(line=line, column=column, offset=at)
    return Replacement(span=Span(file=source.file, start=mark, end=mark), text=text)


def _line_before(text: str, offset: int) -> str:
    return text[text.rfind("\n", 0, offset) + 1 : offset]


def _between(source: Source, start: Mark) -> str:
    """What stands between two things in brackets: a blank, or a new line where each has one."""
    before = _line_before(source.text, start.offset)
    return " " if before.strip() else _break(source) + before


def _break(source: Source) -> str:
    return "\r\n" if "\r\n" in source.text else "\n"


def _is_collection(source: Source, path: Path) -> bool:
    node: Any = source.tree
    for step in path:
        node = node[step]
    return isinstance(node, (dict, list))
