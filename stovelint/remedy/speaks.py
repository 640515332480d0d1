"""What all rules say of a plan, to be held against what they say of it with a change made."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Iterable, Sequence

from stovelint.place import Path
from stovelint.remedy.places import alike, drawn
from stovelint.review import run_rule
from stovelint.rule.finding import Finding, Outcome
from stovelint.rule.level import RANK

if TYPE_CHECKING:
    from stovelint.build import Build
    from stovelint.catalogue import Catalogue
    from stovelint.hotmap.records import HotMap
    from stovelint.remedy.rows import Edit
    from stovelint.rule.level import Level
    from stovelint.rulebook import Rule


@dataclass(frozen=True, kw_only=True, slots=True)
class Said:
    """One finding or open question that is more than a note."""

    rule: str
    subject: str
    path: Path | None
    """Where it stands in the plan as drawn; None in a layer that the change puts in."""
    level: Level
    found: bool
    """False for an open question."""

    def repeats(self, other: Said) -> bool:
        """Whether the other says the same of the same."""
        return (
            (self.rule, self.subject) == (other.rule, other.subject)
            and self.path is not None and other.path is not None and alike(self.path, other.path)
        )  # fmt: skip


def speaks(
    rules: Iterable[Rule], build: Build, hot: HotMap, catalogue: Catalogue, edits: Sequence[Edit]
) -> tuple[Said, ...]:
    """Everything that is more than a note, open questions included.

    Args:
        rules: those that are asked.
        build, hot: the changed plan and its heat.
        catalogue: the materials.
        edits: what was changed.
    """
    said = []
    for rule in rules:
        run = run_rule(rule, build=build, hot=hot, catalogue=catalogue)
        outcomes: tuple[Outcome, ...] = (*run.findings, *run.unjudged)
        said += [
            Said(
                rule=one.rule, subject=one.subject, path=drawn(one.path, edits), level=one.level,
                found=isinstance(one, Finding),
            )
            for one in outcomes
            if one.level is not None and RANK[one.level] > RANK["note"]
        ]  # fmt: skip
    return tuple(said)
