"""The command line: arguments, files, exit status. No traceback ever reaches a user."""

from __future__ import annotations

import argparse
import os
import sys
from typing import Sequence

from stovelint import __version__
from stovelint.errors import StovelintError

CLEAR, NOT_REVIEWED = 0, 2

HELP = """\
Reviews build files of site-built masonry heaters: computes how hot every layer gets, and says
what must change, why, and which small change puts it right."""
STATUS = """\
exit status: 0 clear or as noted, 1 revise, 2 could not be reviewed"""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        argv: the words after the command's name; those of the process when None.

    Returns the exit status: 0 clear or as noted, 1 revise, 2 could not be reviewed.
    """
    _harmless_output()
    try:
        given = _parser().parse_args(argv)
        if given.command == "survey":
            from stovelint.cli.survey import survey_command

            return survey_command(given.plan)
        from stovelint.cli.review import review_command

        return review_command(given.paths)
    except BrokenPipeError:
        # The reader of the output has gone; there is nobody left to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NOT_REVIEWED
    except KeyboardInterrupt:
        return _refuse("stopped before the end")
    except StovelintError as error:
        return _refuse(str(error))
    except Exception as error:  # the last net: a user gets a sentence, never a traceback
        said = "This is our fault, not the plan's; please report it together with the plan"
        print(f"stovelint itself broke: {broke(error)}. {said}", file=sys.stderr)
        return NOT_REVIEWED


def broke(error: BaseException) -> str:
    """What broke, and in which line of which file of ours."""
    trace = error.__traceback__
    place = ""
    while trace is not None:
        file = trace.tb_frame.f_code.co_filename
        if f"{os.sep}stovelint{os.sep}" in file or file.endswith("rule.py"):
            place = f" ({os.path.basename(file)}, line {trace.tb_lineno})"
        trace = trace.tb_next
    return f"{type(error).__name__}: {error}{place}"


def _refuse(message: str) -> int:
    print(f"stovelint: {message}", file=sys.stderr)
    return NOT_REVIEWED


def _harmless_output() -> None:
    """A letter that the terminal cannot show must not stop a review."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="stovelint", description=HELP, epilog=STATUS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    parser.add_argument("--version", action="version", version=f"stovelint {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    review = commands.add_parser(
        "review",
        help="review plans and print a correction list",
        description="Reviews each plan: what must change, where, why, and what puts it right.",
        epilog=STATUS,
    )
    review.add_argument(
        "paths",
        nargs="+",
        metavar="PATH",
        help="a build file, or a folder in which every *.heater.yaml is reviewed",
    )
    survey = commands.add_parser(
        "survey",
        help="print how hot every part gets, and what may go there",
        description="Computes the heat of one plan and prints it part by part: peak, mean, swing, "
        "their range, and which classes of material may go there.",
        epilog="exit status: 0 surveyed, 2 could not be surveyed",
    )
    survey.add_argument("plan", metavar="PLAN", help="a build file")
    return parser
