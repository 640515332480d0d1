"""The command line: arguments, files, exit status. No traceback ever reaches a user."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, Sequence

from stovelint.cli.arguments import parser
from stovelint.cli.dashes import refuse_doubtful
from stovelint.cli.say import say
from stovelint.errors import NOT_REVIEWED, OutputError, SettingsError, StovelintError, broke
from stovelint.report.lines import plain

if TYPE_CHECKING:
    from argparse import Namespace

CLEAR = 0
MOST_NAMED = 3
REPORT = (
    "This is our fault, not the plan's; please report it with the plan, this line and what "
    "`stovelint --version` prints"
)


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
    except SettingsError as error:
        return _refuse_settings(error)
    except StovelintError as error:
        return _refuse(str(error))
    except Exception as error:  # the last net: a user gets a sentence, never a traceback
        return _fault(error)


def _fault(error: Exception, plans: Sequence[str] = ()) -> int:
    """One line on what broke in us; `plans`: the words that named the plans."""
    of = f" at {', '.join(plans[:MOST_NAMED])}" if plans else ""
    more = f" and {len(plans) - MOST_NAMED} more" if len(plans) > MOST_NAMED else ""
    print(f"stovelint: {plain(f'stovelint itself broke{of}{more}: {broke(error)}. {REPORT}')}",
          file=sys.stderr)  # fmt: skip
    return NOT_REVIEWED


def _run(argv: Sequence[str] | None) -> int:
    refuse_doubtful(argv)
    try:
        given = parser().parse_args(argv)
    except SystemExit:
        say("")  # what help and version have printed must not be lost in silence
        raise
    try:
        return _obey(given)
    except (StovelintError, OSError):
        raise
    except Exception as error:  # as in `main`, where the names of the plans are not known
        return _fault(error, _named(given))


def _named(given: Namespace) -> list[str]:
    """The words that name what a command is about."""
    one = {"survey": "plan", "vouch": "folder"}.get(given.command)
    found = given.paths if one is None else [getattr(given, one)]
    return [word for word in found if word is not None]


def _obey(given: Namespace) -> int:
    if given.command == "survey":
        from stovelint.cli.survey import survey_command

        return survey_command(
            given.plan, given.units, why=given.why, settings=given.settings, look=given.look,
            shop_rules=given.rules or (),
        )  # fmt: skip
    if given.command == "vouch":
        from stovelint.cli.vouch import vouch_command

        return vouch_command(given.folder, tell=given.tell, withdraw=given.withdraw)
    from stovelint.cli.review import review_command

    return review_command(
        given.paths, form=given.form, out=given.out, units=given.units,
        only=given.only or (), without=given.without or (), hold=given.hold, on=given.on,
        jobs=given.jobs, cache=given.cache, since=given.since, settings=given.settings,
        look=given.look, shop_rules=given.rules or (),
    )  # fmt: skip


def _close_output() -> None:
    """Let nothing that is still held back be tried again at the end of the process."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _refuse(message: str) -> int:
    """`message` may have several lines, and repeats names that somebody else has chosen."""
    lines = "\n".join(map(plain, message.split("\n")))
    print(f"stovelint: {lines}", file=sys.stderr)
    return NOT_REVIEWED


def _refuse_settings(error: SettingsError) -> int:
    from stovelint.place import Mistake
    from stovelint.report.mistakes import mistakes_text

    found = [one for one in error.mistakes if isinstance(one, Mistake)]
    print(mistakes_text(error.file, found, verb="used"), end="", file=sys.stderr)
    return NOT_REVIEWED


def _harmless_output() -> None:
    """A letter that the terminal cannot show must not stop a review."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")
