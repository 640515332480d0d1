"""One plan, answered: read, solved, judged, and with what puts it right."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Mapping, Sequence

from stovelint.cli import REPORT
from stovelint.cli.answers.sites import sites_of
from stovelint.cli.choice.shop import NO_SHOP
from stovelint.errors import BuildFileError, HeatError, broke
from stovelint.place import Mistake
from stovelint.report.answer import Answer

if TYPE_CHECKING:
    from stovelint.catalogue import Catalogue
    from stovelint.cli.choice.shop import Shop
    from stovelint.hold import Hold
    from stovelint.remedy import Proposal, Search, Together
    from stovelint.review import Review
    from stovelint.rulebook import Rule
    from stovelint.source import Shelf


@dataclass(frozen=True, kw_only=True, slots=True)
class Desk:
    """All that is the same for every plan of one call."""

    catalogue: Catalogue
    book: tuple[Rule, ...]
    rules: tuple[Rule, ...]
    """Those that judge; remedies must please the whole book."""
    left_out: tuple[str, ...]
    hold: Hold
    on: str | None
    remedies: bool = True
    """False: what puts a finding right is not searched for."""
    shop: Shop = NO_SHOP


def review_plan(path: str, shown: str, desk: Desk, shelf: Shelf | None = None) -> Answer:
    """One plan, answered; whatever goes wrong with it becomes part of the answer.

    Args:
        path: the build file.
        shown: how reports call it.
        desk: what it is judged by.
        shelf: where build files are read from; None: the disk.
    """
    try:
        return _review(path, shown, desk, shelf)
    except BuildFileError as error:
        mistakes = tuple(m for m in error.mistakes if isinstance(m, Mistake))
        return Answer(file=shown, mistakes=mistakes)
    except HeatError as error:
        return Answer(file=shown, failure=f"its heat could not be computed: {error}")
    except Exception as error:  # one plan that breaks us must not hide the answers for the others
        said = f"stovelint itself broke: {broke(error)}. {REPORT}"
        return Answer(file=shown, failure=said)


def _review(path: str, shown: str, desk: Desk, shelf: Shelf | None) -> Answer:
    from stovelint.assemble import assemble_tree
    from stovelint.cli.answers.plan import open_plan
    from stovelint.review import review

    names = (*(rule.name for rule in desk.book), *desk.left_out)
    plan = open_plan(path, desk.catalogue, names, shown=shown, shelf=shelf, shop=desk.shop)
    build, source = plan.loaded.build, plan.loaded.source
    result = review(
        file=shown, places=source.places, build=build, hot=plan.hot, catalogue=desk.catalogue,
        rules=desk.rules, left_out=desk.left_out, hold=desk.hold, on=desk.on,
    )  # fmt: skip
    result = replace(result, shop=desk.shop.head)
    unknown = any(case.state is not None for case in plan.hot.unsolved)
    if unknown or not result.items or not desk.remedies:
        # nothing to search for, or no change could be seen to pass in every firing
        return Answer(file=shown, review=result, sites=sites_of(source, result, plan.hot))
    from stovelint.remedy import Search

    search = Search(
        tree=source.tree, build=build, hot=plan.hot, catalogue=desk.catalogue, rules=desk.book,
        assemble=lambda tree: desk.shop.fitted(assemble_tree(tree, source.places)),
        solve=plan.solver,
    )  # fmt: skip
    proposals, together = _remedies(result, search)
    whole = replace(result, crashes=(*result.crashes, *search.crashes))
    return Answer(
        file=shown, review=whole, proposals=proposals, together=together,
        sites=sites_of(source, result, plan.hot, proposals, shelf),
    )  # fmt: skip


def _remedies(
    result: Review, search: Search
) -> tuple[Mapping[int, Sequence[Proposal]], Together | None]:
    """Remedies for all that was not accepted, by index of the review's items."""
    from stovelint.variance import granted

    wanted = [index for index, item in enumerate(result.items) if item.accepted is None]
    found = search.for_review(
        replace(result, items=tuple(result.items[index] for index in wanted))
    )
    proposals = {wanted[index]: told for index, told in found.items()}
    together = search.together(proposals)
    if together is None:
        return proposals, None
    agreed = granted(result.build, result.on)
    left = tuple(
        (rule, part, level)
        for rule, part, level in together.left
        if (rule, part) not in agreed and rule not in result.left_out
    )
    return proposals, replace(together, left=left)
