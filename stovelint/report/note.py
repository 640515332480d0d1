"""The note on one plan, as part of a comment on a change request."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable, Sequence

from stovelint.report import units as u
from stovelint.report.agreed import not_weighed
from stovelint.report.inline import code, escaped, prose
from stovelint.report.points import OPEN, STOPS, Point, points
from stovelint.report.sections import Section
from stovelint.report.sentences import found_text, rule_words, source_text, together_text
from stovelint.report.summary import cautions, compared_text, facts, title_text
from stovelint.report.uris import told_path

if TYPE_CHECKING:
    from stovelint.quantity import Units
    from stovelint.report.answer import Answer
    from stovelint.report.told import Told
    from stovelint.review import Review

OUTCOME, DANGER, STOPPED, MUST, SHOULD, ASKED, REST, BEHIND = range(8)
"""What gives way first where not all has room: the last."""
INLINE = (
    "also set", "based on", "found", "open", "wrong", "broke", "before", "may take", "why",
    "agreed", "do", "say",
)  # fmt: skip
"""What is said of an item in the list itself; the rest is folded below."""


class Note:
    """The note on one plan."""

    def __init__(self, told: Told, answer: Answer, units: Units) -> None:
        self._told = told
        self._answer = answer
        self._units = units
        self._points = points(answer, units)
        self._file = told_path(told, answer.file)

    def sections(self) -> list[Section]:
        """All that is told of the plan, in order."""
        review = self._answer.review
        stopped = [one for one in self._points if one.kind in STOPS]
        counted = [one for one in self._points if one not in stopped and not one.accepted]
        new = [one for one in counted if one.standing != "unchanged"]
        accepted = [one for one in self._points if one.accepted]
        dangers = [one for one in accepted if one.stakes == "danger"]
        open_ = [one for one in new if one.kind == OPEN]
        found = [one for one in new if one.kind != OPEN]
        asked = [one for one in open_ if one.level != "note" or one.holds]
        title = "New, {}".format if _compared(self._answer) else str.capitalize
        told = [
            self._list("Could not be reviewed", stopped, STOPPED, "reasons"),
            self._list("Dangers accepted", dangers, DANGER, "accepted dangers"),
        ]
        for word, rank in (("must change", MUST), ("should change", SHOULD)):
            here = [one for one in found if one.word == word]
            told.append(self._list(title(word), here, rank, f"that {word}"))
        told.append(self._list(title("could not be judged"), asked, ASKED, "open questions"))
        if review is not None:
            told += self._together(review)
            told.append(self._gone(review))
        folded = [
            self._list(f"{len(rest)} {said}", rest, REST, said, fold=True)
            for said, rest in (
                ("to consider", [one for one in found if one.word == "consider"]),
                ("not judged, and no danger", [one for one in open_ if one not in asked]),
                ("stand as they stood", [one for one in counted if one.standing == "unchanged"]),
                ("accepted, and no danger", [one for one in accepted if one not in dangers]),
            )
        ]  # fmt: skip
        parts = [*told, *folded, self._reasons([*found, *dangers])]
        if review is not None:
            parts += self._behind(review)
        parts = [one for one in parts if one.blocks]
        # The head has room where the first thing below it has, and is worth none without.
        return [self._head(min((one.rank for one in parts), default=OUTCOME)), *parts]

    def _head(self, rank: int) -> Section:
        review = self._answer.review
        file = code(self._file)
        alone = len(self._told.answers) == 1  # its name and title stand already above
        if review is None:
            lines = [] if alone else [f"### {file}\n"]
            return Section(rank=rank, noun="heads of plans", blocks=tuple(lines))
        said = escaped("; ".join(facts(review, self._units)))
        if alone:
            lines = [f"{said}\n"]
        else:
            lines = [f"### {escaped(title_text(review))}\n\n{file}; {said}\n"]
        if review.based_on:
            bases = ", ".join(code(told_path(self._told, base)) for base in review.based_on)
            lines.append(f"\nbased on {bases}\n")
        if review.since is not None:
            lines.append(f"\n{prose(compared_text(review))}\n")
        lines += [f"\n**{prose(one)}**\n" for one in cautions(review)]
        return Section(rank=rank, noun="heads of plans", blocks=("".join(lines),))

    def _list(
        self, title: str, found: Sequence[Point], rank: int, noun: str, *, fold: bool = False
    ) -> Section:
        return Section(
            rank=rank, noun=noun, title="" if fold else title, fold=title if fold else "",
            blocks=tuple(map(self._item, found)),
        )  # fmt: skip

    def _item(self, point: Point) -> str:
        weight = f", {escaped(point.weight)}" if point.weight else ""
        worse = ", worse than it stood" if point.standing == "worse" else ""
        lines = [f"- **{_numbered(point)}**{weight}{worse}"]
        where = ", ".join(said for said in (escaped(point.where), self._label(point)) if said)
        if point.kind == "mistake":  # what it is about, the title above it says
            lines = [f"- **{point.number}** at {where}"]
        elif where:
            lines.append(f"at {where}")
        lines += [
            _statement(label, text)
            for label, text in point.fields
            if _inline(point, label)
        ]
        return "\\\n  ".join(lines) + "\n\n"

    def _label(self, point: Point) -> str:
        """The line in the plan; of another file also its name."""
        if point.span is None:
            return ""
        start = point.span.start
        file = told_path(self._told, point.span.file)
        if file == self._file:
            return f"line {start.line + 1}"
        return code(f"{file}:{start.line + 1}:{start.column + 1}")

    def _together(self, review: Review) -> list[Section]:
        together = self._answer.together
        if together is None:
            return []
        said = prose(together_text(together, review))
        return [Section(rank=SHOULD, noun="summaries", blocks=(f"{said}\n",))]

    def _gone(self, review: Review) -> Section:
        return Section(
            rank=SHOULD, noun="that are gone", title="Gone",
            blocks=tuple(
                f"- ~~{escaped(rule_words(one.finding.rule))}~~ at "
                f"{escaped(u.place(one.finding.walk_to, self._units))}: "
                f"{escaped(found_text(one.finding, self._units))}\n"
                for one in review.gone
            ),
        )  # fmt: skip

    def _reasons(self, found: Iterable[Point]) -> Section:
        """What else is said of the items above: what is also so, what else would serve."""
        blocks = []
        for point in found:
            said = [
                _statement(label, text)
                for label, text in point.fields
                if not _inline(point, label)
            ]
            if said:
                blocks.append("\\\n  ".join([f"- **{_numbered(point)}**", *said]) + "\n\n")
        return Section(
            rank=BEHIND, noun="further facts", fold="What else is known of these items",
            blocks=tuple(blocks),
        )  # fmt: skip

    def _behind(self, review: Review) -> list[Section]:
        limits = {
            limit.key: limit.source for item in review.items for limit in item.finding.limits
        }
        sources = [
            f"- {code(key)} {escaped(source_text(one))}\n" for key, one in sorted(limits.items())
        ]
        assumed = [
            f"- {prose(u.sentence(said, self._units))}\n"
            for said in (*review.assumptions, *not_weighed(review))
        ]
        return [
            Section(
                rank=BEHIND, noun="sources", fold="Sources of the limits", blocks=tuple(sources)
            ),
            Section(rank=BEHIND, noun="assumptions", fold="Assumed", blocks=tuple(assumed)),
        ]


def _statement(label: str, text: str) -> str:
    """What to do stands out, since it is what the plan's owner looks for."""
    return f"**{label}** {prose(text)}" if label in ("do", "say") else f"*{label}* {prose(text)}"


def _inline(point: Point, label: str) -> bool:
    """Whether a statement stands in the list itself: of what was tried, only if nothing serves."""
    return label in INLINE or (label == "tried" and not point.field("do", "say"))


def _numbered(point: Point) -> str:
    """As the correction list counts them, so that both can be spoken of by number."""
    name = escaped(point.name)
    return name if point.number is None else f"{point.number} {name}"


def _compared(answer: Answer) -> bool:
    return answer.review is not None and answer.review.since is not None
