"""Further places of a finding in a plan that several files make up: who else had a hand in it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Iterator

from stovelint.review.records import Related

if TYPE_CHECKING:
    from stovelint.build import Build
    from stovelint.place import Path, Places, Span
    from stovelint.rule.finding import Finding

MOST = 3
_NAME = re.compile("[a-z][a-z0-9-]*")


def related(finding: Finding, span: Span, build: Build, places: Places) -> tuple[Related, ...]:
    """Where files other than that of `span` had a hand in a finding; empty for a plan of one file.

    The part or surrounding comes first, then other parts that the finding names, then the chambers
    that it bounds, then the firing, which a finding by clause does not rest on. What stands in a
    base and was changed by nobody is followed by the line with which the plan took it over.

    Args:
        finding: the finding.
        span: its place.
        build: the plan.
        places: where everything stands.
    """
    bases = places.bases
    if bases is None:
        return ()
    found: list[Related] = []
    for record in _records(finding, build):
        near = sorted(
            bases.elsewhere(record, span.file),
            key=lambda one: -_together(one.path, finding.path),
        )  # what a file says first stays first
        for one in near:
            verb = "taken away" if one.taken_away else "set"
            words = f"{verb} here by {one.span.file}"
            found.append(Related(span=one.span, path=one.path, words=words))
    kept = found[:MOST]
    if span.file != bases.plan and all(one.span.file != bases.plan for one in found):
        words = f"taken over here from {span.file}"
        kept.append(Related(span=bases.taken_over, path=("based_on",), words=words))
    return tuple(kept)


def _records(finding: Finding, build: Build) -> Iterator[Path]:
    """Paths of the records that a finding rests on, each once, the nearest first."""
    seen: set[Path] = set()
    firing = () if finding.lead.exact else (("firing",),)
    for record in (finding.path[:2], *_named(finding, build), *_bounded(finding, build), *firing):
        if record and record not in seen:
            seen.add(record)
            yield record


def _named(finding: Finding, build: Build) -> Iterator[Path]:
    """Parts of which the finding gives figures or says something: what stands near is warmed by
    them."""
    said = [measure.where for measure in finding.measures]
    said += [note.text for note in finding.notes]
    words = {word for text in said for word in _NAME.findall(text)}
    for name in build.parts:
        if name in words:
            yield ("parts", name)


def _bounded(finding: Finding, build: Build) -> Iterator[Path]:
    """The chambers on both sides of the part that a finding is about."""
    part = build.parts.get(str(finding.path[1])) if finding.path[:1] == ("parts",) else None
    if part is not None:
        for chamber in (*part.bounds, part.faces):
            if chamber in build.chambers:
                yield ("chambers", chamber)


def _together(one: Path, other: Path) -> int:
    """How many steps two paths share from the root."""
    count = 0
    for mine, theirs in zip(one, other):
        if mine != theirs:
            break
        count += 1
    return count
