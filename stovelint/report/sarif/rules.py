"""What may be reported, described: the rules of the book, and what is said beside them.

Beside the book stand rule ids of our own, so that hosts, which show only results, show these
matters too: a mistake in a build file, a plan that could not be reviewed, heat that could not be
computed, a variance that nobody needs any more, and a claim that asks for less than it did.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Mapping

from stovelint.report.sarif.pages import (
    MOST, description, heading, page_markdown, page_text, shortened,
)  # fmt: skip
from stovelint.report.sarif.words import Node, braced, message, sentence
from stovelint.report.sentences import rule_words
from stovelint.rule.level import BY_CLAUSE, Level
from stovelint.rule.limits import Limit
from stovelint.rulebook.vet import text_of

if TYPE_CHECKING:
    from stovelint.report.sarif.taxa import Taxa
    from stovelint.rule.limits import LimitTable
    from stovelint.rulebook import Rule

HOME = "https://stovelint.example"
WORD = re.compile("[A-Za-z0-9]+")
MOST_NAME = 255
"""Signs of a name that hosts keep."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Beside:
    """Something that is reported though no rule of the book is behind it."""

    short: str
    full: str
    level: Level
    tag: str


BUILD_FILE, NOT_REVIEWED, HEAT = "build-file", "not-reviewed", "heat"
STALE_VARIANCE, WEAKENED = "variance-stale", "weakened-claim"
BESIDE: Mapping[str, Beside] = {
    BUILD_FILE: Beside(
        short="Mistakes in a build file",
        full="The build file does not say what a plan must say, or says it in a way that can be "
        "read in more than one way. Nothing is judged before all of it is read: mend every place "
        "that is named, then review again.",
        level="error", tag="build file",
    ),
    NOT_REVIEWED: Beside(
        short="A plan that could not be reviewed",
        full="The build file is in order, and still nothing can be said about the plan: its heat "
        "could not be computed, or stovelint itself broke. What is written there says which, and "
        "what to do.",
        level="error", tag="build file",
    ),
    HEAT: Beside(
        short="Heat that could not be computed",
        full="Somewhere in the plan data are missing, so that no temperature could be computed "
        "there, and no rule could look at it. Add the line that is named.",
        level="warning", tag="performance",
    ),
    STALE_VARIANCE: Beside(
        short="A variance to look at",
        full="A variance accepts what is not there any more, or its last day has passed. It would "
        "accept, unseen, what a later change may bring. Delete it, or have it agreed anew.",
        level="note", tag="advice",
    ),
    WEAKENED: Beside(
        short="A claim that asks for less than it did",
        full="Against the older revision the plan or the settings claim something under which "
        "less is found: a milder firing, a wider variance, a rule left out. That may be right, "
        "and somebody must have meant it.",
        level="warning", tag="advice",
    ),
}  # fmt: skip


class Rules:
    """The descriptors of a run, and the index of each."""

    def __init__(self, book: tuple[Rule, ...], taxa: Taxa) -> None:
        self.nodes: list[Node] = [_of_book(rule, taxa) for rule in book]
        self.index: dict[str, int] = {rule.name: at for at, rule in enumerate(book)}
        for name, beside in BESIDE.items():
            if name not in self.index:  # a shop may have a rule of this name
                self.index[name] = len(self.nodes)
                self.nodes.append(_beside(name, beside))

    def of(self, rule: str) -> Node:
        """The members of a result that say which rule it is of."""
        return {"ruleId": rule, "ruleIndex": self.index[rule]}

    def reference(self, rule: str) -> Node:
        """A reference to a descriptor, from elsewhere than a result."""
        return {"id": rule, "index": self.index[rule]}


def _of_book(rule: Rule, taxa: Taxa) -> Node:
    page = text_of(rule.folder, "README.md")
    rows = tuple(rule.limits.all())
    head = heading(page) or rule_words(rule.name)
    relationships = [
        {"target": target, "kinds": ["relevant"]} for target in taxa.references(rows)
    ]
    node: Node = {
        "id": rule.name,
        "name": pascal(rule.name if "-" in rule.name else head),
        "shortDescription": message(shortened(sentence(head))),
        "fullDescription": message(_fitting(description(page) or sentence(head))),
        "helpUri": f"{HOME}/rules/{rule.name}",
        "help": {"text": braced(page_text(page)), "markdown": braced(page_markdown(page))},
        "defaultConfiguration": {
            "level": BY_CLAUSE[rule.stakes],
            "parameters": {row.name: _parameter(row) for row in rows},
        },
    }
    if relationships:
        node["relationships"] = relationships
    node["properties"] = {"tags": [rule.stakes]}
    return node


def _beside(name: str, beside: Beside) -> Node:
    return {
        "id": name,
        "name": pascal(beside.short),
        "shortDescription": message(sentence(beside.short)),
        "fullDescription": message(beside.full),
        "helpUri": f"{HOME}/rules/{name}",
        "help": {"text": beside.full, "markdown": f"# {beside.short}\n\n{beside.full}"},
        "defaultConfiguration": {"level": beside.level},
        "properties": {"tags": [beside.tag]},
    }


def _fitting(text: str) -> str:
    return text if len(braced(text)) <= MOST else shortened(text, 900)


def pascal(words: str) -> str:
    """Words as one identifier, each with a capital; letters that stand alone are left out.

    >>> pascal("cap-insulation"), pascal("Insulation under a cap")
    ('CapInsulation', 'InsulationUnderCap')
    """
    found = WORD.findall(words)
    return "".join(word.capitalize() for word in found if len(word) > 1)[:MOST_NAME]


def _parameter(row: Limit | LimitTable) -> Node:
    """A limit as its source prints it."""
    about = {"meaning": row.meaning, "source": row.key, "grade": row.source.grade}
    if isinstance(row, Limit):
        return {"value": row.value, "unit": row.unit, "sense": row.sense, **about}
    return {
        "columns": list(row.columns), "values": list(row.values), "unit": row.unit,
        "sense": "at least", **about,
    }  # fmt: skip
