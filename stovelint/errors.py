"""The one error family: your file is wrong / the rulebook is wrong / heat failed / we broke.

Every class also has a builtin parent, so a caller may catch either.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Sequence

NOT_REVIEWED = 2
"""Exit status of a command that could not do what it was asked for."""


def broke(error: BaseException, *, in_file: str = "") -> str:
    """What broke, and in which line of which file of ours; on one line.

    Args:
        error: what was raised.
        in_file: end of the name of the files in which the line is looked for; empty: all files
            of the package and of its rules.
    """
    trace = error.__traceback__
    place = ""
    while trace is not None:
        file = trace.tb_frame.f_code.co_filename
        ours = f"{os.sep}stovelint{os.sep}" in file or file.endswith("rule.py")
        if file.endswith(in_file) if in_file else ours:
            place = f" ({os.path.basename(file)}, line {trace.tb_lineno})"
        trace = trace.tb_next
    return f"{type(error).__name__}: {' '.join(str(error).split())}{place}"


class StovelintError(Exception):
    """Root of everything stovelint raises on purpose."""


class BuildFileError(StovelintError, ValueError):
    """The build file cannot be reviewed. Carries *all* its mistakes, located.

    `mistakes` holds `stovelint.place.Mistake` records in the order of the file.
    """

    def __init__(self, mistakes: tuple[object, ...]) -> None:
        super().__init__(f"{len(mistakes)} mistakes in the build file")
        self.mistakes = mistakes


class SettingsError(StovelintError, ValueError):
    """A shop's settings, or the materials they name, cannot be used. Carries *all* mistakes.

    `file` is the file of settings as reports call it, `mistakes` holds `stovelint.place.Mistake`
    records, also of other files.
    """

    def __init__(self, file: str, mistakes: tuple[object, ...]) -> None:
        super().__init__(f"{len(mistakes)} mistakes in the settings {file}")
        self.file = file
        self.mistakes = mistakes


class SourceError(StovelintError, OSError):
    """A file cannot be had from where it should lie; `remedy` says what to check."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(f"{message}; {remedy}")
        self.message = message
        self.remedy = remedy


class QuantityError(StovelintError, ValueError):
    """A text that should be a quantity is not one; `remedy` names the accepted forms."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(f"{message}; {remedy}")
        self.message = message
        self.remedy = remedy


class CatalogueError(StovelintError, LookupError):
    """A material or property that the catalogue does not hold, or holds not that far."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(f"{message}; {remedy}")
        self.message = message
        self.remedy = remedy


class RulebookError(StovelintError, ValueError):
    """A rule folder is not whole, or contradicts another; names the culprit and the remedy.

    With several faults, `culprit`, `message` and `remedy` are those of the first; the text has
    a line for each.
    """

    def __init__(self, culprit: str, message: str, remedy: str, *others: RulebookError) -> None:
        super().__init__("\n".join((f"{culprit}: {message}; {remedy}", *map(str, others))))
        self.culprit = culprit
        self.message = message
        self.remedy = remedy
        self.others = others

    @staticmethod
    def together(faults: Sequence[RulebookError]) -> RulebookError:
        """One error that carries all of them, in order; there must be one at least."""
        first, *rest = faults
        return RulebookError(first.culprit, first.message, first.remedy, *first.others, *rest)


class HeatError(StovelintError, ArithmeticError):
    """The temperatures of a plan could not be computed; `remedy` says what to change.

    `path` is where in the build file that is; empty where it is no single place.
    """

    def __init__(self, message: str, remedy: str = "", path: tuple[str | int, ...] = ()) -> None:
        super().__init__(f"{message}; {remedy}" if remedy else message)
        self.message = message
        self.remedy = remedy
        self.path = path


class OutputError(StovelintError, OSError):
    """What was printed cannot be written: the disk is full, or the output is closed."""


class UsageError(StovelintError, ValueError):
    """The command was called in a way that means nothing; `remedy` says what to type."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(f"{message}; {remedy}")
        self.message = message
        self.remedy = remedy
