"""The variances: deviations that somebody agreed to, each for one rule at one thing."""

from __future__ import annotations

from stovelint.assemble.reader import Record
from stovelint.build import Variance
from stovelint.errors import QuantityError
from stovelint.quantity.days import parse_day


def read_variances(plan: Record) -> dict[str, Variance]:
    """The variances of a plan. Whether their rules exist only the rulebook can tell."""
    found: dict[str, Variance] = {}
    parts = [name for name, _ in plan.entries("parts")]
    near = [name for name, _ in plan.entries("surroundings")]
    for name, record in plan.entries("variances"):
        variance = Variance(
            name=name,
            rule=record.text("rule"),
            part=record.text("part"),
            reason=record.text("reason"),
            who=record.text("who"),
            until=record.maybe_text("until"),
            path=record.path,
        )
        _check_part(record, variance.part, parts, near)
        _check_until(record, variance.until)
        for other in found.values():
            if variance.rule and (other.rule, other.part) == (variance.rule, variance.part):
                record.note(
                    "rule",
                    f"`{name}` is for {variance.rule} at {variance.part}, as `{other.name}` is",
                    "keep one of the two",
                )
        found[name] = variance
    return found


def _check_part(record: Record, part: str, parts: list[str], near: list[str]) -> None:
    if not record.maybe_text("part"):
        return  # the schema has said so
    if part not in parts and part not in near:
        record.sheet.unknown(record.at("part"), part, "part or surrounding", [*parts, *near])
    elif part in parts and part in near:
        record.note(
            "part",
            f"`{part}` is the name of a part and of a surrounding",
            "give one of the two another name, so that it is plain what was agreed",
        )


def _check_until(record: Record, until: str | None) -> None:
    try:
        if until is not None:
            parse_day(until)
    except QuantityError as fault:
        record.note("until", f"`until`: {fault.message}", fault.remedy)
