"""A call that means nothing, refused in one line. Imports nothing that takes time."""

from __future__ import annotations

import argparse
import re
from typing import Any, NoReturn

from stovelint.errors import NOT_REVIEWED
from stovelint.report.lines import plain

_CHOICE = re.compile(r"argument (.+?): invalid choice: '(.*)' \(choose from (.*)\)", re.DOTALL)
_MISSING = re.compile(r"the following arguments are required: (.*)")
_BARE = re.compile(r"argument (.+?): expected one argument")
_TOO_MUCH = re.compile(r"argument (.+?): ignored explicit argument '(.*)'", re.DOTALL)
_UNKNOWN = re.compile(r"unrecognized arguments: (.*)", re.DOTALL)


class Parser(argparse.ArgumentParser):
    """Says what is wrong with a call in one line, and where the help is."""

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As the standard one, but the command whose option is not known says so, and not all."""
        given, more = super().parse_known_args(args, namespace)
        if more:
            self.error(f"unrecognized arguments: {' '.join(more)}")
        return given, more

    def error(self, message: str) -> NoReturn:
        """End the process. A sender may have chosen the words, so none may drive a terminal."""
        self.exit(NOT_REVIEWED, plain(f"stovelint: {said(message)}; see {self.prog} --help") + "\n")


def said(message: str) -> str:
    """What the standard parser found wrong, in our words.

    >>> said("argument --units: invalid choice: 'uss' (choose from 'si', 'us')")
    '--units: there is no `uss`, did you mean us? It is one of si, us'
    >>> said("unrecognized arguments: --colour")
    'nothing here is called --colour'
    """
    if found := _CHOICE.fullmatch(message):
        from stovelint.quantity.spelling import closest

        name, word, listed = found.groups()
        choices = [one.strip("'") for one in listed.split(", ")]
        near = closest(word, choices)
        perhaps = f", did you mean {' or '.join(near)}?" if near else "."
        return f"{name}: there is no `{word}`{perhaps} It is one of {', '.join(choices)}"
    if found := _MISSING.fullmatch(message):
        return f"{found[1]} is missing"
    if found := _BARE.fullmatch(message):
        return f"{found[1]}: nothing stands behind it that it could mean"
    if found := _TOO_MUCH.fullmatch(message):
        return f"{found[1]} takes no value, and `{found[2]}` is given"
    if found := _UNKNOWN.fullmatch(message):
        return f"nothing here is called {found[1]}"
    return message
