"""What is wrong with a build file, as a numbered list to work through."""

from __future__ import annotations

from typing import TYPE_CHECKING, Sequence

from stovelint.report.lines import both_ends, field, way

if TYPE_CHECKING:
    from stovelint.place import Mistake

LABEL = 8


def mistakes_text(file: str, mistakes: Sequence[Mistake], *, verb: str = "reviewed") -> str:
    """Every mistake of one build file: where, what, and what to do about it.

    Args:
        file: the build file, as the user named it.
        mistakes: all of them; they are put in the order of the file.
        verb: what could not be done with the plan.
    """
    count = len(mistakes)
    noun = "one thing stands" if count == 1 else f"{count} things stand"
    lines = both_ends(file, f"outcome: could not be {verb}")
    lines += [f"{noun} in the way"]
    for number, mistake in enumerate(sorted(mistakes, key=lambda m: m.sort_key()), start=1):
        where = way(mistake.path) or "the file"
        first = f"{number:>2}  " + "at".ljust(LABEL)
        rest = " " * len(first)
        lines += ["", *both_ends(where, mistake.span.label(), first=first, rest=rest)]
        lines += _field("wrong", mistake.message)
        lines += _field("do", mistake.remedy)
    return "\n".join(lines) + "\n"


def failure_text(file: str, message: str, *, verb: str = "reviewed") -> str:
    """A plan that is well-formed and still could not be worked through."""
    lines = both_ends(file, f"outcome: could not be {verb}")
    return "\n".join([*lines, *_field("wrong", message)]) + "\n"


def _field(label: str, text: str) -> list[str]:
    return field(label, text, width=LABEL)
