"""The command line: arguments, files, exit status. No traceback ever reaches a user."""

from __future__ import annotations

import os
import sys
from typing import Sequence

from stovelint.cli.arguments import parser
from stovelint.cli.dashes import refuse_doubtful
from stovelint.cli.say import say
from stovelint.errors import NOT_REVIEWED, OutputError, StovelintError, broke

CLEAR = 0


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        argv: the words after the command's name; those of the process when None.

    Returns the exit status: 0 clear or as noted, 1 revise, 2 could not be reviewed.
    """
    _harmless_output()
    try:
        return _run(argv)
    except BrokenPipeError:
        # The reader of the output has gone; there is nobody left to tell.
        _close_output()
        return NOT_REVIEWED
    except OutputError as error:
        _close_output()
        return _refuse(str(error))
    except KeyboardInterrupt:
        return _refuse("stopped before the end")
    except StovelintError as error:
        return _refuse(str(error))
    except Exception as error:  # the last net: a user gets a sentence, never a traceback
        said = "This is our fault, not the plan's; please report it together with the plan"
        print(f"stovelint itself broke: {broke(error)}. {said}", file=sys.stderr)
        return NOT_REVIEWED


def _run(argv: Sequence[str] | None) -> int:
    refuse_doubtful(argv)
    try:
        given = parser().parse_args(argv)
    except SystemExit:
        say("")  # what help and version have printed must not be lost in silence
        raise
    if given.command == "survey":
        from stovelint.cli.survey import survey_command

        return survey_command(given.plan, given.units, why=given.why)
    from stovelint.cli.review import review_command

    return review_command(
        given.paths, form=given.form, out=given.out, units=given.units,
        only=given.only or (), without=given.without or (), hold=given.hold, on=given.on,
        jobs=given.jobs, cache=given.cache, since=given.since,
    )  # fmt: skip


def _close_output() -> None:
    """Let nothing that is still held back be tried again at the end of the process."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _refuse(message: str) -> int:
    print(f"stovelint: {message}", file=sys.stderr)
    return NOT_REVIEWED


def _harmless_output() -> None:
    """A letter that the terminal cannot show must not stop a review."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")
