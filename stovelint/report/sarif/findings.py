"""What stands beside a finding: further places, and changes that a reader can make at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Sequence

from stovelint.report.sarif.places import exact_region, related
from stovelint.report.sarif.words import Node, foreign, link, message, sentence
from stovelint.report.text import proposal_text
from stovelint.report.visible import visible

if TYPE_CHECKING:
    from stovelint.place import Path, Span
    from stovelint.remedy import Proposal
    from stovelint.report.answer import Answer
    from stovelint.report.sarif.places import Places
    from stovelint.report.sites import Sites
    from stovelint.review import Item, Review


def related_places(
    item: Item, review: Review, sites: Sites, places: Places
) -> tuple[list[Node], list[str]]:
    """Places that have to do with a finding, and the sentence that links to them."""
    wanted: list[tuple[Span, Path, str, str]] = []
    for one in item.related:
        what = " / ".join(map(str, one.path[1:] or one.path))
        wanted.append((one.span, one.path, f"{what} in {one.span.file}", one.words))
    for name in _chambers(item, review):
        if name in sites.chambers:
            path: Path = ("chambers", name)
            wanted.append(
                (sites.chambers[name], path, f"chamber {name}", f"the chamber {name} beside it")
            )
    if item.accepted is not None:
        for weighed in review.variances:
            if weighed.variance.name == item.accepted.name:
                name = f"variance {item.accepted.name}"
                wanted.append((weighed.span, item.accepted.path, name, f"{name} accepts it"))
    around = [
        related(number, places.location(span, sites=sites, path=path), visible(words))
        for number, (span, path, _, words) in enumerate(wanted, start=1)
    ]
    links = [link(name, number) for number, (_, _, name, _) in enumerate(wanted, start=1)]
    return around, [f"See {', '.join(links)}."] if links else []


def _chambers(item: Item, review: Review) -> list[str]:
    """The chambers that the part of a finding bounds."""
    part = review.build.parts.get(item.finding.subject)
    if part is None:
        return []
    return list(dict.fromkeys(one for one in (*part.bounds, part.faces)))


def fixes(
    answer: Answer, index: int, tried: Sequence[Proposal], places: Places
) -> list[Node]:
    """The proposals that can be made exactly in the text of the plan."""
    found = []
    for number, proposal in enumerate(tried):
        made = answer.sites.fixes.get((index, number))
        if made is None:
            continue
        said = sentence(foreign(visible(proposal_text(proposal, "si"))))
        replacements = [
            {"deletedRegion": exact_region(one.span), "insertedContent": {"text": one.text}}
            for one in made
        ]
        found.append(
            {
                "description": message(said),
                "artifactChanges": [
                    {
                        "artifactLocation": places.file(made[0].span.file),
                        "replacements": replacements,
                    }
                ],
            }
        )
    return found
