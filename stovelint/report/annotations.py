"""The review as workflow commands, which a code host's runner shows beside the lines.

`::error file=,line=,endLine=,col=,endColumn=,title=::text`, also `warning` and `notice`. Hosts keep
ten of a kind from each step and drop the rest without a word. So the most important come first,
and from the tenth on all of a kind are told in one, which names each of them with its place.

Every text is escaped: `%`, carriage return and line feed everywhere, `:` and `,` in properties.
Plain lines with the outcome of every plan follow; a runner passes them on to its log.

What a variance accepts, and what stood in the older revision alike, is a notice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable, Literal, Mapping, Sequence

from stovelint.report.answer import outcome_text
from stovelint.report.lines import both_ends
from stovelint.report.points import Point, points
from stovelint.report.uris import told_path
from stovelint.report.visible import inert, visible
from stovelint.rule.level import RANK, STAKES

if TYPE_CHECKING:
    from stovelint.place import Span
    from stovelint.report.told import Notice, Told
    from stovelint.rule.level import Level

Kind = Literal["error", "warning", "notice"]
KINDS: tuple[Kind, ...] = ("error", "warning", "notice")
BY_LEVEL: Mapping[Level, Kind] = {"error": "error", "warning": "warning", "note": "notice"}
MOST = 10
"""Of one kind that a host keeps from a step."""
MOST_NAMED = 100
"""Of those that are told in one; their text stays far below what a host takes."""
ELSEWHERE = "the correction list has them all: review with --as text"


def annotations_report(told: Told) -> str:
    """All plans of a call as workflow commands, a line each, and their outcomes below."""
    found: dict[Kind, list[tuple[str, Point]]] = {kind: [] for kind in KINDS}
    for answer in told.answers:
        file = told_path(told, answer.file)
        for point in points(answer):
            found[_kind(point)].append((file, point))
    lines = [_notice(told, notice) for notice in told.notices]
    room = {kind: MOST - sum(line.startswith(f"::{kind} ") for line in lines) for kind in KINDS}
    for kind in KINDS:
        ranked = sorted(found[kind], key=lambda one: _importance(one[1]))
        lines += _of_kind(told, kind, ranked, max(1, room[kind]))
    for answer in told.answers:
        said = answer.outcome if answer.review is None else outcome_text(answer.review)
        lines += both_ends(told_path(told, answer.file), f"outcome: {said}")
    return "\n".join(lines) + "\n" if lines else ""


def _kind(point: Point) -> Kind:
    if point.accepted or point.standing == "unchanged":
        return "notice"
    return BY_LEVEL[point.level]


def _importance(point: Point) -> tuple[bool, int, int]:
    """What holds a plan comes first; the order of the plans decides among equals."""
    stakes = -1 if point.stakes is None else STAKES.index(point.stakes)
    return (not point.holds, -RANK[point.level], stakes)


def _of_kind(
    told: Told, kind: Kind, found: Sequence[tuple[str, Point]], room: int
) -> list[str]:
    alone = found if len(found) <= room else found[: room - 1]
    lines = [
        command(
            kind, f"{point.word}: {point.title}", _text(told, point),
            *_place(told, file, point.span),
        )
        for file, point in alone
    ]  # fmt: skip
    rest = found[len(alone) :]
    if rest:
        file, first = rest[0]
        named = [f"{one.word}: {one.title} ({_label(told, name, one)})" for name, one in rest]
        if len(named) > MOST_NAMED:
            named[MOST_NAMED:] = [f"and {len(named) - MOST_NAMED} more"]
        lines.append(
            command(
                kind, f"{len(rest)} more of this kind",
                "\n".join([*named, ELSEWHERE]), *_place(told, file, first.span),
            )
        )  # fmt: skip
    return lines


def _text(told: Told, point: Point) -> str:
    said = [f"{point.weight}"] if point.weight else []
    if point.standing == "unchanged":
        said.append(f"it stood alike in {visible(told.since or '')}")
    return "\n".join([*said, point.text()])


def _label(told: Told, file: str, point: Point) -> str:
    if point.span is None:
        return visible(file)
    start = point.span.start
    return f"{visible(told_path(told, point.span.file))}:{start.line + 1}:{start.column + 1}"


def _place(told: Told, file: str, span: Span | None) -> tuple[str, Span | None]:
    return (file if span is None else told_path(told, span.file)), span


def _notice(told: Told, notice: Notice) -> str:
    file = "" if notice.span is None else told_path(told, notice.span.file)
    text = f"{visible(notice.message)}\ndo: {visible(notice.remedy)}"
    kind: Kind = "error" if notice.stops or notice.holds else "warning"
    return command(kind, "settings" if file else "the call", text, file, notice.span)


def command(kind: Kind, title: str, text: str, file: str = "", span: Span | None = None) -> str:
    r"""One workflow command.

    Args:
        kind: error, warning or notice.
        title: in a few words.
        text: may hold several lines.
        file: path from the root of the repository; empty where it is about no file.
        span: where in the file.

    >>> command("notice", "at: a, b", "100 %\ndone", "a:b.heater.yaml")
    '::notice file=a%3Ab.heater.yaml,line=1,title=at%3A a%2C b::100 %25%0Adone'
    """
    said = [*_where(file, span), ("title", title)]
    properties = ",".join(f"{name}={_property(value)}" for name, value in said)
    return f"::{kind} {properties}::{_data(inert(text))}"


def _where(file: str, span: Span | None) -> Iterable[tuple[str, str]]:
    """Columns only within a line: a host takes them for no longer stretch, and shows a stretch
    only where all of its lines are part of the change."""
    if not file:
        return
    yield "file", _name(file)
    if span is None:
        yield "line", "1"
        return
    line, column = span.start.line + 1, span.start.column + 1
    yield "line", str(line)
    if span.end.line == span.start.line:
        yield "endLine", str(line)
    yield "col", str(column)
    if span.end.line == span.start.line:
        yield "endColumn", str(max(column, span.end.column))


def _name(file: str) -> str:
    """A file name as it is, but for what neither a log nor the escapes of a command can hold."""
    return "".join(c if c in "\r\n" else visible(c) for c in file)


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")
