"""What may be typed: commands, options, and their help. Imports nothing that takes time."""

from __future__ import annotations

import argparse

from stovelint import __version__
from stovelint.cli.forms import FORMS, SAID_OF, TEXT
from stovelint.cli.mistyped import Parser
from stovelint.hold import LEAST, SAID, USUAL

HELP = """\
Reviews build files of site-built masonry heaters: computes how hot every layer gets, and says
what must change, why, and which small change puts it right."""
STATUS = """\
exit status: 0 clear or as noted, 1 revise, 2 could not be reviewed"""
PLAIN = argparse.RawDescriptionHelpFormatter


def parser() -> argparse.ArgumentParser:
    """The whole command line. Options cannot be shortened: a later one might then mean another."""
    top = Parser(
        prog="stovelint", description=HELP, epilog=STATUS, formatter_class=PLAIN,
        allow_abbrev=False,
    )  # fmt: skip
    top.add_argument("--version", action="version", version=f"stovelint {__version__}")
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    review = commands.add_parser(
        "review",
        help="review plans and print a correction list",
        description="Reviews each plan: what must change, where, why, and what puts it right.",
        epilog=_review_end(), formatter_class=PLAIN, allow_abbrev=False,
    )  # fmt: skip
    _review(review)
    survey = commands.add_parser(
        "survey",
        help="print how hot every part gets, and what may go there",
        description="Computes the heat of one plan and prints it part by part: peak, mean, swing, "
        "their range, and which classes of material may go there.",
        epilog="exit status: 0 surveyed, 2 could not be surveyed",
        allow_abbrev=False,
    )
    survey.add_argument("plan", metavar="PLAN", help="a build file")
    survey.add_argument(
        "--why", metavar="PART",
        help="tell instead which uncertain inputs move the peak of this part, the strongest first",
    )  # fmt: skip
    _units(survey)
    _settings(survey)
    _vouch(
        commands.add_parser(
            "vouch",
            help="vouch for a folder of a shop's own rules, so that they run",
            description="Rules are code. A repository can only name the folders of its own; they "
            "run when a call names the folder with --rules, or when you have vouched for it. Your "
            "word holds for the folder as it is now, byte for byte. Its code then runs with all "
            "your rights; nothing fences it in.",
            epilog="exit status: 0 done, 2 not done",
            allow_abbrev=False,
        )
    )
    return top


def _review(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "paths", nargs="+", metavar="PATH",
        help="a build file, or a folder in which every *.heater.yaml, *.heater.toml and "
        "*.heater.json is reviewed",
    )  # fmt: skip
    command.add_argument(
        "--as", dest="form", choices=FORMS, default=TEXT, metavar="FORM",
        help="form of the report, see below",
    )  # fmt: skip
    command.add_argument(
        "--out", metavar="FILE",
        help="write the report to FILE, all or nothing, and print only the outcomes",
    )
    _units(command)
    command.add_argument(
        "--only", metavar="RULE[,RULE]", action="append", help="ask only these rules"
    )
    command.add_argument(
        "--without", metavar="RULE[,RULE]", action="append", help="leave these rules out"
    )
    command.add_argument(
        "--hold-at", dest="hold", choices=tuple(LEAST),
        help="what holds a plan, see below",
    )  # fmt: skip
    command.add_argument(
        "--on", metavar="DAY",
        help="day of the review, 2027-06-30, against which the ends of variances are held",
    )
    command.add_argument(
        "--since", metavar="REV",
        help="tell what is new against this revision in git, and let only that hold a plan; "
        "compared are the files on disk",
    )  # fmt: skip
    _settings(command)
    command.add_argument(
        "--jobs", metavar="N",
        help="plans to compute at a time, each in a process of its own; usually one for each core, "
        "and none for fewer than four plans",
    )  # fmt: skip
    command.add_argument(
        "--no-cache", dest="cache", action="store_false",
        help="compute every plan, and keep no answer for the next call",
    )


def _settings(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--settings", metavar="FILE",
        help="a shop's settings, instead of the stovelint.toml above the plans",
    )
    command.add_argument(
        "--no-settings", dest="look", action="store_false", help="go by no settings at all"
    )
    command.add_argument(
        "--rules", metavar="FOLDER", action="append",
        help="a folder of a shop's own rules; naming it here runs their code with your rights",
    )  # fmt: skip


def _vouch(command: argparse.ArgumentParser) -> None:
    command.add_argument("folder", nargs="?", metavar="FOLDER", help="a folder of rule folders")
    command.add_argument(
        "--list", dest="tell", action="store_true",
        help="tell what you vouched for, and whether it is as it was",
    )  # fmt: skip
    command.add_argument(
        "--withdraw", action="store_true", help="take your word for FOLDER back"
    )


def _units(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--units", choices=("si", "us"),
        help="si: degC and millimetres (usual); us: degF, feet and inches",
    )  # fmt: skip


def _review_end() -> str:
    rows = [
        f"  {hold:<10}{SAID[hold]}{' (usual)' if hold == USUAL else ''}" for hold in LEAST
    ]
    forms = [f"  {form:<14}{SAID_OF[form]}{' (usual)' if form == TEXT else ''}" for form in FORMS]
    return "\n".join(
        [
            "forms of the report, by --as; figures are SI, of text and markdown as --units says:",
            *forms, "", "what holds a plan (outcome: revise), by --hold-at:", *rows, "", STATUS,
        ]
    )  # fmt: skip
