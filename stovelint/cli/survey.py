"""`stovelint survey PLAN`: how hot every part gets, and what may go there."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from stovelint.cli import CLEAR
from stovelint.cli.say import say
from stovelint.errors import NOT_REVIEWED, BuildFileError, HeatError
from stovelint.place import Mistake

if TYPE_CHECKING:
    from stovelint.quantity import Units


def survey_command(path: str, units: Units = "si") -> int:
    """Compute and print the heat survey of one plan."""
    from stovelint.catalogue import Catalogue
    from stovelint.cli.plan import open_plan
    from stovelint.report.mistakes import failure_text, mistakes_text
    from stovelint.report.survey import survey_text
    from stovelint.review import objector
    from stovelint.rulebook import load

    catalogue = Catalogue()
    book = load()
    shown = path.replace(os.sep, "/")
    try:
        plan = open_plan(path, catalogue, (rule.name for rule in book))
    except BuildFileError as error:
        mistakes = [m for m in error.mistakes if isinstance(m, Mistake)]
        say(mistakes_text(shown, mistakes, verb="surveyed"))
        return NOT_REVIEWED
    except HeatError as error:
        said = f"its heat could not be computed: {error}"
        say(failure_text(shown, said, verb="surveyed"))
        return NOT_REVIEWED
    build, hot = plan.loaded.build, plan.hot
    objects = objector(book, build, hot, catalogue)
    say(survey_text(build, hot, catalogue, objects, units))
    return CLEAR
