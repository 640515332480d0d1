"""What a limit rests on, as taxonomies (clause 3.19.3).

Works that anybody may look up (standards, codes, papers) are standard taxonomies: one component
of `run.taxonomies` for each title and edition, with a taxon for each clause, by the key that
stands beside a limit in every report. How a figure is known (read, second-hand, recalled, common
practice) is a classification of our own: taxa of the driver.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable

from stovelint.report.sarif.words import Node, message, sentence
from stovelint.rule.limits import GRADES

if TYPE_CHECKING:
    from stovelint.rule.limits import Grade, Limit, LimitTable
    from stovelint.rulebook import Rule

    Row = Limit | LimitTable

PUBLISHED: tuple[Grade, ...] = ("read", "second-hand")
OWN = "own choice"
"""How the title of a figure begins that was chosen here, whatever it leans on."""
MEANS: dict[Grade, str] = {
    "read": "the source was opened and the figure seen there",
    "second-hand": "a text that quotes the source was read",
    "recalled": "from memory, to be looked up",
    "practice": "common practice of the trade, with no source",
    "computed": "found by calculation",
}


class Taxa:
    """The taxonomies of a rulebook, and references into them."""

    def __init__(self, book: Iterable[Rule]) -> None:
        works: dict[tuple[str, str], dict[str, list[Row]]] = {}
        for rule in book:
            for row in rule.limits.all():
                if is_published(row):
                    work = works.setdefault((row.source.title, row.source.edition), {})
                    work.setdefault(row.key, []).append(row)
        self.works: list[Node] = []
        """`run.taxonomies`."""
        self.own: list[Node] = [
            {"id": grade, "shortDescription": message(sentence(MEANS[grade]))} for grade in GRADES
        ]
        """`driver.taxa`."""
        self._known: dict[str, Node] = {}
        for index, ((title, edition), keys) in enumerate(sorted(works.items())):
            self.works.append(_work(title, edition, keys))
            for place, key in enumerate(sorted(keys)):
                self._known[key] = {
                    "id": key, "index": place, "toolComponent": {"name": title, "index": index}
                }

    @property
    def supported(self) -> list[Node]:
        """`driver.supportedTaxonomies`."""
        return [{"name": work["name"], "index": at} for at, work in enumerate(self.works)]

    def references(self, rows: Iterable[Row]) -> list[Node]:
        """Taxa of some limits, each once: clauses by key, then grades from the strongest on."""
        rows = tuple(rows)
        keys = {row.key for row in rows if is_published(row)}
        grades = {row.source.grade for row in rows}
        return [
            *(self._known[key] for key in sorted(keys) if key in self._known),
            *({"id": grade, "index": at} for at, grade in enumerate(GRADES) if grade in grades),
        ]


def is_published(row: Row) -> bool:
    """Whether the source of a limit can be looked up by anybody, and was, by somebody."""
    return row.source.grade in PUBLISHED and not row.source.title.startswith(OWN)


def _work(title: str, edition: str, keys: dict[str, list[Row]]) -> Node:
    return {
        "name": title,
        "version": edition if edition not in ("", "-") else "not stated",
        "shortDescription": message(sentence(title)),
        "isComprehensive": False,
        "taxa": [
            {"id": key, "shortDescription": message(_clauses(rows))}
            for key, rows in sorted(keys.items())
        ],
    }


def _clauses(rows: list[Row]) -> str:
    clauses = dict.fromkeys(row.source.clause for row in rows if row.source.clause != "-")
    meanings = dict.fromkeys(row.meaning for row in rows)
    return sentence("; ".join([*clauses, *meanings]))
