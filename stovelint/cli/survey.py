"""`stovelint survey PLAN`: how hot every part gets, and what may go there."""

from __future__ import annotations

import os
import sys

from stovelint.cli import CLEAR, NOT_REVIEWED
from stovelint.errors import BuildFileError, HeatError
from stovelint.place import Mistake


def survey_command(path: str) -> int:
    """Compute and print the heat survey of one plan."""
    from stovelint.catalogue import Catalogue
    from stovelint.cli.plan import open_plan
    from stovelint.report.mistakes import failure_text, mistakes_text
    from stovelint.report.survey import survey_text
    from stovelint.review import objector
    from stovelint.rulebook import load

    catalogue = Catalogue()
    shown = path.replace(os.sep, "/")
    try:
        plan = open_plan(path, catalogue)
    except BuildFileError as error:
        mistakes = [m for m in error.mistakes if isinstance(m, Mistake)]
        sys.stdout.write(mistakes_text(shown, mistakes, verb="surveyed"))
        return NOT_REVIEWED
    except HeatError as error:
        said = f"its heat could not be computed: {error}"
        sys.stdout.write(failure_text(shown, said, verb="surveyed"))
        return NOT_REVIEWED
    build, hot = plan.loaded.build, plan.hot
    objects = objector(load(), build, hot, catalogue)
    sys.stdout.write(survey_text(build, hot, catalogue, objects))
    sys.stdout.flush()
    return CLEAR
