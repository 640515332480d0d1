"""What stands beside a finding: further places, and changes that a reader can make at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Sequence

from stovelint.report import units as u
from stovelint.report.lines import way
from stovelint.report.sarif.places import exact_region, related
from stovelint.report.sarif.words import Node, foreign, link, message, sentence
from stovelint.report.sentences import proposal_text
from stovelint.report.visible import visible

if TYPE_CHECKING:
    from stovelint.place import Path, Span
    from stovelint.remedy import Proposal
    from stovelint.report.answer import Answer
    from stovelint.report.sarif.places import Places
    from stovelint.report.sites import Range, Sites
    from stovelint.review import Item, Review


def related_places(
    item: Item, review: Review, sites: Sites, places: Places
) -> tuple[list[Node], list[str]]:
    """Places that have to do with a finding, and the sentence that links to them."""
    wanted: list[tuple[Span, Path, str, str]] = []
    for one in item.related:
        what = way(one.path[1:] or one.path)
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


def flows(answer: Answer, index: int, places: Places) -> list[Node]:
    """The way of the heat through the place of a finding, with the temperatures it leaves there."""
    steps = answer.sites.flows.get(index, ())
    if not steps:
        return []
    walked = [
        {
            "location": {
                **places.location(one.span, sites=answer.sites, path=one.path),
                "message": message(foreign(visible(one.words))),
            },
            "state": {"peak": message(_degrees(one.peak_C)), "mean": message(_degrees(one.mean_C))},
            "executionOrder": number,
        }
        for number, one in enumerate(steps, start=1)
    ]
    said = message("The way of the heat in the hardest firing, from the hot face to the outer one.")
    return [{"message": said, "threadFlows": [{"locations": walked}]}]


def _degrees(found: Range) -> str:
    """`301 degC (191 to 349)`."""
    low, middle, high = (u.temperature(one, "si") for one in found)
    return f"{middle} ({low.split(' ')[0]} to {high.split(' ')[0]})"
