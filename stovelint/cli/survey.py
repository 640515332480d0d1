"""`stovelint survey PLAN`: how hot every part gets, and what may go there, or why one is hot."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import TYPE_CHECKING, Sequence

from stovelint.cli import CLEAR
from stovelint.cli.say import say
from stovelint.errors import NOT_REVIEWED, BuildFileError, HeatError, UsageError
from stovelint.place import Mistake

if TYPE_CHECKING:
    from stovelint.catalogue import Catalogue
    from stovelint.cli.answers.plan import OpenPlan
    from stovelint.quantity import Units


def survey_command(
    path: str,
    units: Units | None = None,
    why: str | None = None,
    *,
    settings: str | None = None,
    look: bool = True,
    shop_rules: Sequence[str] = (),
) -> int:
    """Compute and print the heat survey of one plan.

    Args:
        path: the build file.
        units: `si` or `us`; None: as the settings say, or `si`.
        why: a part; print what moves its peak instead.
        settings, look, shop_rules: as for `review_command`.

    Returns the exit status: 0, also where one firing could not be computed; 2 where none could.

    Raises:
        UsageError: the plan has no part of that name.
    """
    from stovelint.cli.answers.plan import located, open_plan
    from stovelint.cli.choice.settle import Wish, settle
    from stovelint.hotmap.draught import chimney_draught
    from stovelint.report.mistakes import failure_text, mistakes_text
    from stovelint.report.survey import survey_text
    from stovelint.review import objector

    wish = Wish(settings=settings, look=look, rules=tuple(shop_rules), units=units)
    chosen = settle(wish, (path,))
    catalogue, book, units = chosen.catalogue, chosen.book, chosen.units
    names = (*(rule.name for rule in book), *chosen.left_out)
    shown = path.replace(os.sep, "/")
    try:
        plan = open_plan(path, catalogue, names, shop=chosen.shop)
        try:
            reasons = None if why is None else _why(plan, catalogue, why, units)
        except HeatError as error:
            raise located(error, plan.loaded.source.places) from error
    except BuildFileError as error:
        mistakes = [m for m in error.mistakes if isinstance(m, Mistake)]
        say(mistakes_text(shown, mistakes, verb="surveyed"))
        return NOT_REVIEWED
    except HeatError as error:
        said = f"its heat could not be computed: {error}"
        say(failure_text(shown, said, verb="surveyed"))
        return NOT_REVIEWED
    if reasons is not None:
        say(reasons)
        return CLEAR
    build, hot = plan.loaded.build, plan.hot
    objects = objector(book, build, hot, catalogue)
    chimney = chimney_draught(build, plan.solver)
    text = survey_text(build, hot, catalogue, objects, units, chimney)
    named = chosen.shop.named_in(text, build)
    if named:  # materials of the shop's own are proposed: say whose figures they are
        hot = replace(hot, assumptions=(*hot.assumptions, *named))
        text = survey_text(build, hot, catalogue, objects, units, chimney)
    say(text)
    return CLEAR if hot.cycles else NOT_REVIEWED


def _why(plan: OpenPlan, catalogue: Catalogue, part: str, units: Units) -> str:
    build = plan.loaded.build
    if part not in build.parts:
        from stovelint.schema import closest

        near = closest(part, build.parts)
        raise UsageError(
            f"--why: there is no part `{part}`"
            + (f" (did you mean {' or '.join(near)}?)" if near else ""),
            f"the parts are: {', '.join(build.parts)}",
        )
    from stovelint.hotmap.influence import influences
    from stovelint.report.why import why_text

    return why_text(build, part, influences(build, plan.hot, catalogue, part), catalogue, units)
