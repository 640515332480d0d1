"""A finding, its figures and its remedies as plain records for a machine. All figures are SI."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Mapping, Sequence

from stovelint.place import Path, Span, pointer
from stovelint.report.sentences import note_text
from stovelint.rule.level import likelihood

if TYPE_CHECKING:
    from stovelint.remedy import Edit, Proposal
    from stovelint.review import Item, OpenQuestion
    from stovelint.rule.finding import Measure, Unit
    from stovelint.rule.limits import Limit

Record = dict[str, Any]

# Decimals kept: a hundredth of a kelvin, a hundredth of a millimetre. Two machines that add in
# another order differ a million times less, so they round alike.
DECIMALS: Mapping[Unit, int] = {"degC": 2, "K": 2, "m": 5, "h": 4, "count": 4, "strain": 7}


def figure(value: float, unit: Unit) -> float:
    """A figure to its fixed decimals, without a sign on zero.

    >>> figure(36 * 0.0254, "m"), figure(-0.001, "K")
    (0.9144, 0.0)
    """
    return round(value, DECIMALS[unit]) + 0.0


def place(span: Span, path: Path) -> Record:
    """Where something stands in a build file, counted from 1; the end is the column after it."""
    return {
        "path": span.file,
        "line": span.start.line + 1,
        "column": span.start.column + 1,
        "end_line": span.end.line + 1,
        "end_column": span.end.column + 1,
        "pointer": pointer(path),
    }


def finding_record(item: Item, proposals: Sequence[Proposal]) -> Record:
    """One finding of a review, with what the remedy search found for it."""
    finding = item.finding
    lead = finding.lead
    return {
        "rule": finding.rule,
        "stakes": finding.stakes,
        "level": item.level,
        "part": finding.subject,
        "place": place(item.span, finding.path),
        "related": [
            {"place": place(one.span, one.path), "words": one.words} for one in item.related
        ],
        "walk_to": finding.walk_to,
        "found": finding.found,
        "quantities": [quantity(measure) for measure in finding.measures],
        "cases": None if lead.exact else {"past": lead.past, "of": lead.cases},
        "likelihood": None if lead.exact else likelihood(lead.past, lead.cases),
        "why": finding.why,
        "notes": [
            {
                "text": note_text(note, "si"),
                "values": [{"value": figure(v, unit), "unit": unit} for v, unit in note.values],
            }
            for note in finding.notes
        ],
        "remedies": [remedy(proposal) for proposal in proposals],
        "sources": [source(limit) for limit in finding.limits],
        "accepted_by": None if item.accepted is None else item.accepted.name,
        **standing(item),
    }


def standing(said: Item | OpenQuestion) -> Record:
    """How a finding or an open question stands against an older revision."""
    before = said.before
    return {
        "standing": said.standing,
        "before": None if before is None else {
            "level": before.level,
            "accepted_by": None if before.accepted is None else before.accepted.name,
        },
    }  # fmt: skip


def quantity(measure: Measure) -> Record:
    """One value with its range, beside the limit it is held against."""
    low, mid, high = (figure(v, measure.unit) for v in (measure.low, measure.mid, measure.high))
    return {
        "what": measure.what,
        "where": measure.where,
        "unit": measure.unit,
        "low": low,
        "mid": mid,
        "high": high,
        "limit": None if measure.limit is None else _limit(measure.limit),
        "past": measure.past,
        "cases": measure.cases,
        "exact": measure.exact,
    }


def _limit(limit: Limit) -> Record:
    return {
        "value": figure(limit.base, limit.base_unit),
        "unit": limit.base_unit,
        "sense": limit.sense,
        "key": limit.key,
        "meaning": limit.meaning,
        "scope": limit.scope,
        "binds": sorted(limit.binds),
    }


def source(limit: Limit) -> Record:
    """Where a limit comes from; a dash in a row stands for nothing."""
    said = limit.source
    edition, clause = (None if text in ("", "-") else text for text in (said.edition, said.clause))
    return {
        "key": limit.key, "title": said.title, "edition": edition, "clause": clause,
        "grade": said.grade,
    }  # fmt: skip


def remedy(proposal: Proposal) -> Record:
    """One change that was tried. Every one was recomputed; `passes` says whether it serves."""
    return {
        "text": proposal.text,
        "recomputed": True,
        "passes": proposal.passes,
        "with_the_others": proposal.on_top,
        "figures": [quantity(measure) for measure in proposal.figures],
        "effects": [
            {
                "where": effect.place,
                "by_K": figure(effect.by_K, "K"),
                "peak_degC": figure(effect.peak_C, "degC"),
            }
            for effect in proposal.effects
        ],
        "brings": [{"rule": rule, "part": part} for rule, part in proposal.brings],
        "still": list(proposal.still),
        "edits": edits(proposal.edits),
    }


def edits(made: Sequence[Edit]) -> list[Record]:
    """Changes of the plan's tree as a JSON Patch (RFC 6902).

    `add` sets the member of a record, new or not, and puts a new entry into a list.
    """
    return [
        {
            "op": "add" if edit.insert or isinstance(edit.path[-1], str) else "replace",
            "path": pointer(edit.path),
            "value": edit.value,
        }
        for edit in made
    ]
