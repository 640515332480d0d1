"""What is said of findings, questions and changes, in words that all reports share."""

from __future__ import annotations

from typing import TYPE_CHECKING, Sequence

from stovelint.report import units as u
from stovelint.report.agreed import agreed_text
from stovelint.report.answer import some_rules
from stovelint.report.summary import LEVEL_WORDS
from stovelint.rule.level import WEAK_GRADES, held_back

if TYPE_CHECKING:
    from stovelint.quantity import Units
    from stovelint.remedy import Proposal, Together
    from stovelint.review import Crash, Item, OpenQuestion, Review
    from stovelint.rule.finding import Finding, Measure, Note
    from stovelint.rule.limits import Limit, Source
    from stovelint.variance import Weighed

CAUTIONS = (
    "fire, carbon monoxide, collapse, burns",
    "fibre and silica dust (wet it, wear a mask, prefer soluble fibre or board)",
    "hot steam from damp stone or green castings",
)
NO_SOURCE = "common practice, no source"
"""Title of the source in such a row of `limits.toml`."""
CLOSING = "Estimates with a range; local code and licensed practice decide."


def finding_fields(
    item: Item, proposals: Sequence[Proposal], units: Units
) -> list[tuple[str, str]]:
    """What is said of a finding below its place, each statement with its label, in order."""
    finding = item.finding
    said: list[tuple[str, str]] = []
    if item.related:
        from stovelint.report.hands import hands_fields

        said += hands_fields(item)
    said.append(("found", found_text(finding, units)))
    if item.before is not None:
        from stovelint.report.standing import before_text

        said.append(("before", before_text(item, units)))
    if finding.judged:
        said.append(("may take", "; ".join(limit_text(x, units) for x in finding.judged)))
    said.append(("why", finding.why))
    said += [("also", note_text(note, units)) for note in finding.notes]
    weak = _weak(finding)
    if weak:
        said.append(("footing", weak))
    if item.accepted is not None:
        said.append(("agreed", agreed_text(item.accepted, LEVEL_WORDS[item.level])))
    for index, proposal in enumerate(proposals):
        label = ("do" if index == 0 else "or") if proposal.passes else "tried"
        said.append((label, proposal_text(proposal, units)))
    return said


def broke_text(crash: Crash) -> str:
    """What broke, as the beginning of a sentence."""
    if crash.searching:
        return "the search for what puts the findings right broke, and they stand without it"
    return f"the rule {rule_words(crash.rule)} broke and judged nothing further"


def stakes_text(finding: Finding) -> str:
    """`breakage, 32 of 32 cases`."""
    lead = finding.lead
    if lead.exact:
        return f"{finding.stakes}, by clause"
    return f"{finding.stakes}, {lead.past} of {lead.cases} cases"


def found_text(finding: Finding, units: Units) -> str:
    """`bare granite: span peak 324 degC (272 to 387), mean 99 degC; bearing edge peak ...`."""
    said = measures_text(finding.measures, units)
    return f"{finding.found}: {said}" if said else finding.found


def measures_text(measures: Sequence[Measure], units: Units) -> str:
    """`span peak 324 degC (272 to 387), mean 99 degC; bearing edge peak ...`, each value once."""
    by_place: dict[str, dict[str, Measure]] = {}
    for measure in measures:
        here = by_place.setdefault(measure.where, {})
        before = here.get(measure.what)
        # One value may be held against two limits: print it with the digits the nearer one needs.
        if before is None or u.decimals_apart(measure, units) > u.decimals_apart(before, units):
            here[measure.what] = measure
    return "; ".join(
        (f"{u.place(where, units)} " if where else "")
        + ", ".join(_measure(m, units) for m in values.values())
        for where, values in by_place.items()
    )


def _measure(measure: Measure, units: Units) -> str:
    return f"{measure.what} {u.spread(measure, units)}"


def limit_text(limit: Limit, units: Units) -> str:
    """`175 degC in excursions (CON-175, read)`."""
    return f"{u.limit_value(limit, units)} {limit.meaning} ({limit.key}, {limit.source.grade})"


def note_text(note: Note, units: Units) -> str:
    """A note with its figures in the reader's units."""
    return note.text.format(*(u.WRITERS[unit](value, units, 0) for value, unit in note.values))


def _weak(finding: Finding) -> str:
    limit = finding.lead.limit
    if limit is None or limit.source.grade not in WEAK_GRADES:
        return ""
    basis = {"recalled": "a figure from memory", "practice": "common practice, with no source"}
    held = held_back(finding.stakes, finding.lead)
    end = ", so it stops at `should change`" if held else ""
    return f"{limit.key} is {basis[limit.source.grade]}{end}"


def proposal_text(proposal: Proposal, units: Units) -> str:
    """What to do, the figures that it was recomputed to, and what it does elsewhere."""
    figures = measures_text(proposal.figures, units)
    said = u.remedy(proposal.text, units)
    if figures:
        said += f": {figures}"
    elif proposal.passes:
        # Another material may be none of this rule's business: it then compares nothing.
        said += ": computed again, and this is gone"
    if proposal.on_top:
        said = f"with the changes to the other items made, {said}"
    for effect in proposal.effects:
        moved = u.difference(abs(effect.by_K), units)
        way = "higher" if effect.by_K > 0 else "lower"
        said += (
            f"; {u.place(effect.place, units)} then peaks {moved} {way}, "
            f"at {u.temperature(effect.peak_C, units)}"
        )
    if proposal.brings:
        said += "; but it brings " + ", ".join(
            f"{rule_words(rule)} at {place}" for rule, place in proposal.brings
        )
    elif proposal.passes and proposal.effects and not proposal.still:
        said += ", and no rule objects"
    if proposal.still:
        verb = "speaks" if len(proposal.still) == 1 else "speak"
        said += f"; but {' and '.join(map(rule_words, proposal.still))} still {verb} there"
    return said


def together_text(together: Together, review: Review) -> str:
    """What remains of the plan's findings with every first change made."""
    said = f"With every first `do` made together and computed once more,{some_rules(review)} "
    if together.left:
        said += "there remains " + ", ".join(
            f"{rule_words(rule)} at {subject} ({LEVEL_WORDS[level]})"
            for rule, subject, level in together.left
        )
    else:
        said += "nothing remains that must or should change"
        beside = ["what was accepted"] if any(item.accepted for item in review.items) else []
        if review.weakened:
            beside.append(f"the weaker claim{'s' if len(review.weakened) > 1 else ''}")
        if beside:
            said += f", beside {' and '.join(beside)}"
    return f"{said}."


def stale_fields(weighed: Weighed) -> list[tuple[str, str]]:
    """What is said of a variance that should be looked at."""
    return [
        ("found", f"{weighed.state}: {weighed.found}"), ("why", weighed.why),
        ("do", weighed.remedy),
    ]  # fmt: skip


def question_fields(question: OpenQuestion, units: Units) -> list[tuple[str, str]]:
    """What is said of an open question below its place."""
    said = [("open", u.sentence(question.reason, units)), ("say", question.remedy)]
    if question.accepted is not None:
        said.append(("agreed", agreed_text(question.accepted, "open")))
    return said


def source_text(source: Source) -> str:
    """`IRC R1002.5, IRC 2012 to 2021, clearance, read`; common practice says what it is itself."""
    parts = [source.title, source.edition, source.clause]
    if source.title != NO_SOURCE:
        parts.append(source.grade)
    return ", ".join(part for part in parts if part and part != "-")


def rule_words(name: str) -> str:
    """The name of a rule as words."""
    return name.replace("-", " ")
