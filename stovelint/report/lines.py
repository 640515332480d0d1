"""Laying text out in lines of at most 100 columns; plain, and harmless in a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable, Sequence

from stovelint.report.visible import inert, visible

if TYPE_CHECKING:
    from stovelint.place import Path

WIDTH = 100


def plain(text: str) -> str:
    """Text as it may stand in a line: it drives no terminal, and is no command to a host's runner.

    >>> print(plain("Kiln\\x1b[31m Cottage"))
    Kiln\\x1b[31m Cottage
    """
    return inert(visible(text))


def wrap(text: str, *, first: str, rest: str, width: int = WIDTH) -> list[str]:
    """Words of `text` filled into lines; `first` and `rest` stand in front of them.

    A word longer than a line (a path) stays whole.

    >>> wrap("bell / cap / hot face", first="  at  ", rest="      ", width=18)
    ['  at  bell / cap /', '      hot face']
    """
    lines: list[str] = []
    line, bare = first, True
    for word in plain(text).split():
        if not bare and len(line) + 1 + len(word) > width:
            lines.append(line)
            line, bare = rest, True
        line = line + word if bare else f"{line} {word}"
        bare = False
    lines.append(line.rstrip())
    return lines


def way(path: Path) -> str:
    """The way to something in the file, as a reader counts; empty for the file as a whole.

    >>> way(("parts", "bell-cap", "layers", 0))
    'parts / bell-cap / layers / no. 1'
    """
    return " / ".join(step if isinstance(step, str) else f"no. {step + 1}" for step in path)


INDENT = 4


def field(label: str, text: str, *, width: int) -> list[str]:
    """A labelled statement below a numbered head; `width` columns are kept for the label.

    >>> field("do", "write 60 mm", width=8)
    ['    do      write 60 mm']
    """
    return wrap(text, first=" " * INDENT + label.ljust(width), rest=" " * (INDENT + width))


def both_ends(
    left: str, right: str, *, first: str = "", rest: str = "", width: int = WIDTH
) -> list[str]:
    """`left` and `right` on one line, the second at the margin; on two where they do not fit.

    `first` stands in front of the first line, `rest` in front of further ones.

    >>> both_ends("Ferry House", "outcome: revise", width=30)
    ['Ferry House    outcome: revise']
    """
    left, right = first + plain(left), plain(right)
    room = width - len(left) - len(right)
    if room >= 2:
        return [left + " " * room + right]
    return [*wrap(left[len(first) :], first=first, rest=rest, width=width), right.rjust(width)]


def spaced(parts: Sequence[str], *, width: int = WIDTH) -> list[str]:
    """Short statements with four blanks between; what does not fit goes on the next line.

    >>> spaced(["code: IRC-2021", "by others: chimney"], width=30)
    ['code: IRC-2021', 'by others: chimney']
    """
    lines: list[str] = []
    for part in map(plain, parts):
        if lines and len(lines[-1]) + 4 + len(part) <= width:
            lines[-1] += f"    {part}"
        else:
            lines += wrap(part, first="", rest="  ", width=width)
    return lines


def labelled(rows: Sequence[tuple[str, ...]], *, right: frozenset[int]) -> list[str]:
    """A table whose first column is a name; a name for which there is no room in the line stands
    above its figures.

    >>> labelled([("part", "mass"), ("x" * 98, "9 kg")], right=frozenset({1}))[1:] == [
    ...     "x" * 98, "      9 kg"]
    True
    """
    figures = len(rows[0]) - 1
    taken = sum(2 + max(len(plain(row[1 + i])) for row in rows) for i in range(figures))
    room = WIDTH - taken
    long = [len(plain(row[0])) > room for row in rows]
    laid = table([("", *row[1:]) if wide else row for row, wide in zip(rows, long)], right=right)
    lines: list[str] = []
    for row, wide, line in zip(rows, long, laid):
        lines += [*wrap(row[0], first="", rest="  "), line] if wide else [line]
    return lines


def table(rows: Iterable[tuple[str, ...]], *, right: frozenset[int] = frozenset()) -> list[str]:
    """Columns as wide as their widest cell, two blanks between; those in `right` set flush right.

    >>> table([("layer", "peak"), ("granite", "98")], right=frozenset({1}))
    ['layer    peak', 'granite    98']
    """
    cells = [tuple(plain(cell) for cell in row) for row in rows]
    if not cells:
        return []
    widths = [max(len(row[i]) for row in cells) for i in range(len(cells[0]))]
    return [
        "  ".join(
            cell.rjust(widths[i]) if i in right else cell.ljust(widths[i])
            for i, cell in enumerate(row)
        ).rstrip()
        for row in cells
    ]
