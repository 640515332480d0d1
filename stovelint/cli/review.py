"""`stovelint review PATH...`: the correction list of every plan."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, Iterable

from stovelint.cli import CLEAR, NOT_REVIEWED, broke
from stovelint.errors import BuildFileError, HeatError, UsageError
from stovelint.place import Mistake

if TYPE_CHECKING:
    from stovelint.catalogue import Catalogue
    from stovelint.rulebook import Rule

SUFFIX = ".heater.yaml"


def review_command(paths: Iterable[str]) -> int:
    """Review every plan named or found in the folders named; print one report after another."""
    from stovelint.catalogue import Catalogue
    from stovelint.rulebook import load

    plans = find_plans(paths)
    rules = load()
    catalogue = Catalogue()
    outcomes: list[str] = []
    status = CLEAR
    for index, plan in enumerate(plans):
        text, outcome, code = review_plan(plan, catalogue, rules)
        if index:
            sys.stdout.write("\n" + "-" * 100 + "\n\n")
        sys.stdout.write(text)
        outcomes.append(outcome)
        status = max(status, code)
    if len(plans) > 1:
        sys.stdout.write(f"\n{_tally(outcomes)}\n")
    sys.stdout.flush()
    return status


def review_plan(path: str, catalogue: Catalogue, rules: tuple[Rule, ...]) -> tuple[str, str, int]:
    """The report of one plan, its outcome in words, and its exit status."""
    from stovelint.report.mistakes import failure_text, mistakes_text

    shown = path.replace(os.sep, "/")
    refused = "could not be reviewed"
    try:
        text, outcome, status = _review(path, shown, catalogue, rules)
    except BuildFileError as error:
        mistakes = [m for m in error.mistakes if isinstance(m, Mistake)]
        return mistakes_text(shown, mistakes), refused, NOT_REVIEWED
    except HeatError as error:
        said = f"its heat could not be computed: {error}"
        return failure_text(shown, said), refused, NOT_REVIEWED
    except Exception as error:  # one plan that breaks us must not hide the answers for the others
        said = f"stovelint itself broke: {broke(error)}. Please report it together with the plan"
        return failure_text(shown, said), refused, NOT_REVIEWED
    return text, outcome, status


def _review(
    path: str, shown: str, catalogue: Catalogue, rules: tuple[Rule, ...]
) -> tuple[str, str, int]:
    from stovelint.assemble import assemble_tree
    from stovelint.cli.plan import open_plan
    from stovelint.remedy import Search
    from stovelint.report.text import text_report
    from stovelint.review import review

    plan = open_plan(path, catalogue)
    build, source = plan.loaded.build, plan.loaded.source
    result = review(
        file=shown, places=source.places, build=build, hot=plan.hot, catalogue=catalogue,
        rules=rules,
    )  # fmt: skip
    search = Search(
        tree=source.tree, build=build, hot=plan.hot, catalogue=catalogue, rules=rules,
        assemble=lambda tree: assemble_tree(tree, source.places),
        solve=plan.solver,
    )  # fmt: skip
    proposals = search.for_review(result)
    together = search.together(proposals)
    outcome = "could not be reviewed" if result.crashes else result.verdict
    return text_report(result, proposals, together), outcome, result.status


def find_plans(paths: Iterable[str]) -> tuple[str, ...]:
    """The plans to review: files as named, folders searched; each once, in a fixed order.

    Raises:
        UsageError: a folder holds no plan.
    """
    found: dict[str, None] = {}
    for path in paths:
        if not os.path.isdir(path):
            found.setdefault(os.path.normpath(path))
            continue
        inside = []
        for folder, names, files in os.walk(path):
            names[:] = sorted(name for name in names if not name.startswith("."))
            inside += [os.path.join(folder, file) for file in files if file.endswith(SUFFIX)]
        if not inside:
            raise UsageError(f"no plan in {path}", f"a plan's name ends in {SUFFIX}")
        for file in sorted(inside):
            found.setdefault(os.path.normpath(file))
    return tuple(found)


def _tally(outcomes: list[str]) -> str:
    words = ("clear", "as noted", "revise", "could not be reviewed")
    counts = [f"{outcomes.count(word)} {word}" for word in words if word in outcomes]
    return f"{len(outcomes)} plans: {', '.join(counts)}"
