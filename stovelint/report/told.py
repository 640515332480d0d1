"""What a report over several plans has to tell: their answers, and what they were judged by."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stovelint.errors import NOT_REVIEWED
from stovelint.hold import USUAL

if TYPE_CHECKING:
    from stovelint.hold import Hold
    from stovelint.place import Span
    from stovelint.report.answer import Answer
    from stovelint.rulebook import Rule


@dataclass(frozen=True, kw_only=True, slots=True)
class Notice:
    """Something about the call or the settings, and not about any plan."""

    message: str
    remedy: str
    span: Span | None = None
    """Where in the settings; None: nowhere in a file."""
    stops: bool = False
    """Whether because of it the call counts as not carried out."""
    holds: bool = False
    """Whether the call ends because of it as if a plan were to be revised."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Told:
    """All that one call has to tell."""

    answers: tuple[Answer, ...]
    """In the order of the names of their files."""
    book: tuple[Rule, ...]
    """The whole rulebook, for what a report tells of each rule."""
    asked: tuple[str, ...]
    left_out: tuple[str, ...]
    hold: Hold = USUAL
    on: str | None = None
    since: str | None = None
    """The revision against which the plans were compared, as it was given."""
    prefix: str = ""
    """From the root of the repository to the folder in which the command ran, with `/` between
    and at the end; empty in the root itself, and outside a repository."""
    root: str = ""
    """Absolute path of that root, to count from it a plan that was named by its absolute path. It
    is never printed. Empty outside a repository."""
    notices: tuple[Notice, ...] = ()
    settings: str = ""
    """The shop's settings that were used, as reports call the file; empty: none."""

    @property
    def status(self) -> int:
        """Exit status of the whole call."""
        stopped = NOT_REVIEWED if any(one.stops for one in self.notices) else 0
        held = int(any(one.holds for one in self.notices))
        return max((stopped, held, *(answer.status for answer in self.answers)))
