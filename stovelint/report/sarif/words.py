"""Message strings of SARIF: what must be written otherwise in them, and links to places.

Braces would stand for arguments and are doubled (clause 3.11.5); `[words](1)` is a link to the
place with this number (3.11.6), so nothing that comes from a plan may look like one.
"""

from __future__ import annotations

import re
from typing import Any

from stovelint.report.visible import visible

Node = dict[str, Any]
LONE = re.compile("[\ud800-\udfff]")
IN_LINK = re.compile(r"([\\\[\]])")


def message(text: str) -> Node:
    """A message object with plain text.

    >>> message("write {material: granite}")
    {'text': 'write {{material: granite}}'}
    """
    return {"text": braced(text)}


def braced(text: str) -> str:
    """The text with braces that stand for themselves."""
    return text.replace("{", "{{").replace("}", "}}")


def foreign(text: str) -> str:
    """Text that holds words of a plan, with no link in it.

    >>> foreign("a slab [see](1)")
    'a slab [see] (1)'
    """
    return text.replace("](", "] (")


def link(words: str, number: int) -> str:
    r"""A link to one of the places of the same result.

    >>> print(link("no. [2]", 1))
    [no. \[2\]](1)
    """
    escaped = IN_LINK.sub(r"\\\1", visible(words))
    return f"[{escaped}]({number})"


def sentence(text: str) -> str:
    """The text as a sentence: a capital in front, a full stop behind.

    >>> sentence("why it cracks")
    'Why it cracks.'
    """
    end = "" if text.endswith((".", "!", "?")) else "."
    return text[:1].upper() + text[1:] + end


def whole(node: Any) -> Any:
    r"""The same with every text made one that each reader of JSON takes.

    >>> whole({"file": ["caf\udce9"]}) == {"file": [r"caf\xe9"]}
    True
    """
    if isinstance(node, str):
        return LONE.sub(lambda found: visible(found[0]), node)
    if isinstance(node, dict):
        return {whole(key): whole(value) for key, value in node.items()}
    return [whole(one) for one in node] if isinstance(node, list) else node
