"""`stovelint vouch`: the user's word for folders of rules, as they are now."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from stovelint.cli import CLEAR
from stovelint.cli.find import shown_name
from stovelint.cli.say import say
from stovelint.errors import UsageError
from stovelint.report.lines import plain, wrap
from stovelint.trust import Record, TrustError, hold, record_path
from stovelint.trust.record import alone

if TYPE_CHECKING:
    from typing import Callable, Mapping

MEANS = (
    "The rules in a folder that you vouched for run as part of every review whose settings name "
    "it, with all your rights: they can read, change and send whatever you can. Nothing fences "
    "them in. When anything in the folder changes, your word no longer holds for it, and you are "
    "told so."
)
SHOWN_DIGITS = 16


def vouch_command(folder: str | None, *, tell: bool = False, withdraw: bool = False) -> int:
    """Vouch for a folder, take the word back, or tell what was vouched for.

    Args:
        folder: the folder of rules; None: to tell all.
        tell: list the folders and whether they are as they were.
        withdraw: take the word for the folder back.

    Returns the exit status 0.

    Raises:
        UsageError: the words of the call do not go together, the folder is not to be run, or the
            record cannot be read or written.
    """
    if tell:
        if folder is not None or withdraw:
            raise UsageError("--list stands alone", "leave the folder and --withdraw away")
        return _list()
    if folder is None:
        raise UsageError("no folder is named", "name one, or write --list")
    if withdraw:
        return _withdraw(folder)
    return _vouch(folder)


def _vouch(folder: str) -> int:
    shown = shown_name(os.path.normpath(folder))
    held = hold(folder, shown)
    if not held.rules:
        raise TrustError(f"{shown} holds no rule folder", "name the folder that holds them")
    key = os.path.realpath(folder)
    before: list[str | None] = []

    def add(digests: Mapping[str, str]) -> Mapping[str, str]:
        before.append(digests.get(key))
        return {**digests, key: held.digest}

    _change(add)
    word = {None: "You vouch", held.digest: "You vouched already"}.get(before[0], "You vouch anew")
    files = f"{len(held.files)} files" if len(held.files) > 1 else "one file"
    said = f"{word} for {shown} as it is now: {files}, content {held.digest[:SHOWN_DIGITS]}."
    _print(said, f"Rules: {', '.join(held.rules)}", MEANS)
    return CLEAR


def _withdraw(folder: str) -> int:
    key = os.path.realpath(folder)
    shown = shown_name(os.path.normpath(folder))

    def drop(digests: Mapping[str, str]) -> Mapping[str, str]:
        if key not in digests:
            raise UsageError(f"you have not vouched for {shown}", "see stovelint vouch --list")
        return {name: digest for name, digest in digests.items() if name != key}

    _change(drop)
    _print(f"You no longer vouch for {shown}.")
    return CLEAR


def _list() -> int:
    path = record_path()
    record = Record.read(path)
    if record.fault:
        raise _damaged(path, record.fault)
    if not record.digests:
        _print("You have vouched for no folder.")
        return CLEAR
    lines = []
    for folder, digest in sorted(record.digests.items()):
        lines += [plain(folder), f"    content {digest[:SHOWN_DIGITS]}, {_now(folder, digest)}"]
    say("\n".join(lines) + "\n")
    return CLEAR


def _now(folder: str, digest: str) -> str:
    try:
        held = hold(folder)
    except TrustError as error:
        return f"not to be run: {plain(error.message)}"
    return "as it was" if held.digest == digest else "changed since, so not vouched for"


def _change(change: Callable[[Mapping[str, str]], Mapping[str, str]]) -> None:
    path = record_path()
    try:
        with alone(path):
            record = Record.read(path)
            if record.fault:
                raise _damaged(path, record.fault)
            Record(digests=change(record.digests)).save(path)
    except OSError as error:
        raise UsageError(
            f"the record {path} cannot be written ({error.strerror})", "check its folder"
        ) from None


def _damaged(path: str, fault: str) -> UsageError:
    return UsageError(
        f"the record {path} cannot be believed: {fault}",
        "look at it, move it away, and vouch anew for what you still vouch for",
    )


def _print(*sentences: str) -> None:
    say("\n".join(line for one in sentences for line in wrap(one, first="", rest="")) + "\n")
