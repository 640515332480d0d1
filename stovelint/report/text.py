"""The review as a numbered correction list, the way a plan reviewer writes one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Mapping, Sequence

from stovelint.report import units as u
from stovelint.report.agreed import ACCEPTED, agreed_text, not_weighed, stale
from stovelint.report.answer import some_rules
from stovelint.report.lines import INDENT, both_ends, field, way, wrap
from stovelint.report.summary import LEVEL_WORDS, count_text, head_lines
from stovelint.rule.level import WEAK_GRADES, held_back

if TYPE_CHECKING:
    from stovelint.quantity import Units
    from stovelint.remedy import Proposal, Together
    from stovelint.review import Crash, Item, OpenQuestion, Review
    from stovelint.rule.finding import Finding, Measure, Note
    from stovelint.rule.limits import Limit, Source
    from stovelint.variance import Weighed

LABEL = 10
ITEM_COLUMN = 46
CAUTIONS = (
    "fire, carbon monoxide, collapse, burns",
    "fibre and silica dust (wet it, wear a mask, prefer soluble fibre or board)",
    "hot steam from damp stone or green castings",
)
NO_SOURCE = "common practice, no source"
"""Title of the source in such a row of `limits.toml`."""
CLOSING = "Estimates with a range; local code and licensed practice decide."


def text_report(
    review: Review,
    proposals: Mapping[int, Sequence[Proposal]],
    together: Together | None = None,
    units: Units = "si",
) -> str:
    """One plan's review as text, at most 100 columns wide.

    Args:
        review: the review.
        proposals: what the remedy search found, by index of the item.
        together: the plan with all of them made, computed once more.
        units: `si` or `us`.
    """
    lines = head_lines(review, units)
    number = 0
    for index, item in enumerate(review.items):
        if item.standing != "unchanged":
            number += 1
            lines += ["", *_item(number, item, proposals.get(index, ()), units)]
    for weaker in review.weakened:
        from stovelint.report.standing import weakened_lines

        number += 1
        lines += ["", *weakened_lines(number, weaker, units)]
    for weighed in stale(review):
        number += 1
        lines += ["", *_stale(number, weighed)]
    said: list[str] = []
    if together is not None:
        said = ["", *wrap(together_text(together, review), first="", rest="")]
    if review.since is None:
        lines += said
    asked = [question for question in review.open if question.standing != "unchanged"]
    if asked:
        lines += ["", "open questions"]
    for question in asked:
        number += 1
        lines += _question(number, question, units)
    if review.since is not None:
        from stovelint.report.standing import gone_lines, unchanged_lines

        lines += unchanged_lines(review, number + 1, proposals, units)
        lines += said  # of every `do`, so below the last one
        lines += gone_lines(review, units)
    for crash in review.crashes:
        lines += ["", *wrap(
            f"{broke_text(crash)}: {crash.message}. "
            "This is our fault, not the plan's; the review is not complete.",
            first="broke     ", rest=" " * LABEL,
        )]  # fmt: skip
    lines += _footing(review, units)
    lines += ["", *wrap(f"{count_text(review)} {CLOSING}", first="", rest="")]
    lines += wrap(f"Cautions: {'; '.join(CAUTIONS)}.", first="", rest="")
    return "\n".join(lines) + "\n"


def _item(number: int, item: Item, proposals: Sequence[Proposal], units: Units) -> list[str]:
    finding = item.finding
    head = f"{number:>2}  {rule_words(finding.rule)}"
    word = LEVEL_WORDS[item.level] if item.accepted is None else ACCEPTED
    if item.standing is not None:
        word += f", {item.standing}"
    lines = [f"{head:<{ITEM_COLUMN}} {word}   ({stakes_text(finding)})"]
    lines += _place(u.place(finding.walk_to, units), item.span.label())
    for label, text in finding_fields(item, proposals, units):
        lines += _field(label, text)
    return lines


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


def _place(walk_to: str, label: str) -> list[str]:
    first = " " * INDENT + "at".ljust(LABEL)
    return both_ends(walk_to, label, first=first, rest=" " * len(first))


def _field(label: str, text: str) -> list[str]:
    return field(label, text, width=LABEL)


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
        (f"{u.place(where, units)} " if where else "") + ", ".join(_measure(m, units) for m in values.values())
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


def _stale(number: int, weighed: Weighed) -> list[str]:
    """A variance that should be looked at; it reads like advice to consider."""
    head = f"{number:>2}  variance {weighed.variance.name}"
    lines = [f"{head:<{ITEM_COLUMN}} {LEVEL_WORDS['note']}   (advice)"]
    lines += _place(way(weighed.variance.path), weighed.span.label())
    for label, text in stale_fields(weighed):
        lines += _field(label, text)
    return lines


def stale_fields(weighed: Weighed) -> list[tuple[str, str]]:
    """What is said of a variance that should be looked at."""
    return [
        ("found", f"{weighed.state}: {weighed.found}"), ("why", weighed.why),
        ("do", weighed.remedy),
    ]  # fmt: skip


def _question(number: int, question: OpenQuestion, units: Units) -> list[str]:
    name = ", ".join(map(rule_words, question.rules)) or "heat"
    if question.standing is not None:
        name += f" ({question.standing})"
    lines = both_ends(name, question.span.label(), first=f"{number:>2}  ", rest=" " * INDENT)
    lines += _field("at", question.subject)
    for label, text in question_fields(question, units):
        lines += _field(label, text)
    return lines


def question_fields(question: OpenQuestion, units: Units) -> list[tuple[str, str]]:
    """What is said of an open question below its place."""
    said = [("open", u.sentence(question.reason, units)), ("say", question.remedy)]
    if question.accepted is not None:
        said.append(("agreed", agreed_text(question.accepted, "open")))
    return said


def _footing(review: Review, units: Units) -> list[str]:
    """Sources of every limit named above, and what had to be assumed."""
    limits: dict[str, Limit] = {}
    for item in review.items:
        for limit in () if item.standing == "unchanged" else item.finding.limits:
            limits.setdefault(limit.key, limit)
    lines: list[str] = []
    if limits:
        lines += ["", "sources"]
        width = max(map(len, limits)) + 2
        for key in sorted(limits):
            first, rest = "    " + key.ljust(width), " " * (INDENT + width)
            lines += wrap(source_text(limits[key].source), first=first, rest=rest)
    assumed = (*review.assumptions, *not_weighed(review))
    if assumed:
        lines += ["", "assumed"]
        for said in assumed:
            lines += wrap(u.sentence(said, units), first="    ", rest="      ")
    return lines


def source_text(source: Source) -> str:
    """`IRC R1002.5, IRC 2012 to 2021, clearance, read`; common practice says what it is itself."""
    parts = [source.title, source.edition, source.clause]
    if source.title != NO_SOURCE:
        parts.append(source.grade)
    return ", ".join(part for part in parts if part and part != "-")


def rule_words(name: str) -> str:
    """The name of a rule as words."""
    return name.replace("-", " ")
