"""What a failing example says that its rule must find: `fails/*.expect.toml`."""

from __future__ import annotations

from typing import Collection, Iterator

import tomli

from stovelint.errors import RulebookError
from stovelint.rule.level import RANK

SAYS = ("path", "quantity", "limit")
MAY = (*SAYS, "level")
# The limits that a material brings along: `granite peak`, `burlap service`.
OWN_LIMITS = (" service", " peak")


def vet_expected(path: str, text: str, keys: Collection[str]) -> Iterator[RulebookError]:
    """What is wrong with the text of an `expect.toml`.

    Args:
        path: the file, for messages.
        text: its text.
        keys: of the rule's limits; none where they could not be read.
    """
    try:
        tree = tomli.loads(text)
    except tomli.TOMLDecodeError as error:
        yield RulebookError(path, f"is not TOML: {error}", "mend the file")
        return
    rows = tree.get("finding")
    if list(tree) != ["finding"] or not isinstance(rows, list) or not rows:
        yield RulebookError(
            path, "does not hold findings and nothing else", "write one [[finding]] or more"
        )
        return
    for number, row in enumerate(rows, start=1):
        which = f"finding {number}"
        if not isinstance(row, dict):
            yield RulebookError(path, f"{which} is no table", "write [[finding]]")
            continue
        said = {key: text for key, text in row.items() if isinstance(text, str) and text.strip()}
        for key in SAYS:
            if key not in said:
                yield RulebookError(path, f"{which} has no `{key}`", "add it as a text in quotes")
        for key in row:
            if key not in MAY:
                yield RulebookError(
                    path, f"{which} has an unknown key `{key}`", f"known: {', '.join(MAY)}"
                )
        if not said.get("path", "/").startswith("/"):
            yield RulebookError(
                path, f"{which}: the path {said['path']} does not start at the top",
                "start it with `/`",
            )  # fmt: skip
        limit = said.get("limit")
        if limit is not None and keys and limit not in keys and not limit.endswith(OWN_LIMITS):
            yield RulebookError(
                path, f"{which} names the limit `{limit}`, which limits.toml does not hold",
                f"one of {', '.join(sorted(set(keys)))}, or a material's own, as `granite peak`",
            )  # fmt: skip
        if "level" in row and said.get("level") not in RANK:
            yield RulebookError(
                path, f"{which}: level is {row['level']!r}", f"one of {', '.join(RANK)}"
            )
