"""Words that may be an option as well as a plan. Imports nothing that takes time."""

from __future__ import annotations

import sys
from typing import Sequence

from stovelint.errors import UsageError


def refuse_doubtful(argv: Sequence[str] | None) -> None:
    """Refuse what reads like an option and like a plan.

    A pattern such as `*.heater.yaml` hands out names that the sender of a plan has chosen. One that
    is called `--out=x.heater.yaml` would not be reviewed, but obeyed. Behind `--` all are plans.

    Args:
        argv: the words after the command's name; those of the process when None.

    Raises:
        UsageError: there is such a word.
    """
    for word in sys.argv[1:] if argv is None else argv:
        if word == "--":
            return
        if not word.startswith("-") or ".heater." not in word:
            continue
        from stovelint.place import PLANS
        from stovelint.report.lines import plain

        if word.endswith(PLANS):
            name = plain(word)
            raise UsageError(
                f"{name} may be an option or a plan",
                f"for the plan write ./{name}, or -- before all plans",
            )
