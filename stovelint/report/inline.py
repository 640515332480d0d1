"""Text of a plan within Markdown: what it says stays readable, and nothing in it takes effect.

A comment is rendered by the host, in the name of whoever posts it. So no text of a plan may become
a heading, link, image, tag, mention, reference to an issue, merge request or commit, a picture for
a word between colons, or a command to the host's bot. What has a meaning in Markdown or HTML stands
as a character reference, which is text by the rules of CommonMark; what hosts look for in the text
of the finished page is parted by a zero-width space.
"""

from __future__ import annotations

import re

from stovelint.report.visible import visible

MOST = 2000
"""Letters of one text that are kept."""
CUT = " [cut]"
SPECIAL = re.compile(r"[&<>\\`*_{}\[\]#!|~@$^\u200b]")
LOOKED_FOR = re.compile(
    r"""[@#!$%&^~](?=[\w"'{\[(])"""  # a person, an issue, a milestone, a label, ...
    r"|:(?=//|[\w+-]+:)"  # a link, a picture
    r"|\bwww(?=\.)"
    r"|\bGH(?=-\d)"
    r"|[0-9a-f]{6}(?=[0-9a-f])",  # a commit
    re.I,
)
BEGINS = re.compile(r"^(\d*)([-+=.)])")
"""What would begin a list or a rule where a text begins a line."""
QUOTED = re.compile(r"(?<!`)`([^`]+)`(?!`)")
APART = "\u200b"


def escaped(text: str) -> str:
    """A text as it may stand anywhere within a line of Markdown.

    >>> escaped("1 <b> | `x`, 18 %")
    '1 &#60;b&#62; &#124; &#96;x&#96;, 18 %'
    >>> escaped("@mason"), escaped("http://x")
    ('&#64;&#8203;mason', 'http:&#8203;//x')
    """
    return _escaped(_flat(text))


def _escaped(said: str) -> str:
    said = LOOKED_FOR.sub(lambda found: found[0] + APART, said)
    said = SPECIAL.sub(lambda found: f"&#{ord(found[0])};", said)
    return BEGINS.sub(lambda found: f"{found[1]}&#{ord(found[2])};", said)


def prose(text: str) -> str:
    """A sentence; what stands between backticks in it is shown as code.

    >>> prose("there is no rule `wet-stown` <b>, `"), prose("`a|b`")
    ('there is no rule `wet-stown` &#60;b&#62;, &#96;', '&#96;a&#124;b&#96;')
    """
    parts = QUOTED.split(_flat(text))
    return "".join(_quoted(part) if n % 2 else _escaped(part) for n, part in enumerate(parts))


def code(text: str) -> str:
    """A name or a place as code, which hosts leave alone; else as text.

    >>> code("kiln.heater.yaml:7:3"), code("a|b")
    ('`kiln.heater.yaml:7:3`', 'a&#124;b')
    """
    said = _flat(text)
    return f"`{said}`" if _plainly(said) else _escaped(said)


def _quoted(said: str) -> str:
    return f"`{said}`" if _plainly(said) else _escaped(f"`{said}`")


def _plainly(said: str) -> bool:
    """Whether every reader takes it for code as it is."""
    return said != "" and said == said.strip() and not set(said) & set("`|\\#<>&")


def _flat(text: str) -> str:
    """Visible, of bounded length, and with single blanks: more of them would begin a block."""
    return " ".join(clipped(visible(text)).split())


def clipped(text: str) -> str:
    """A text with an end: a title of a megabyte must not push all else out of a comment."""
    return text if len(text) <= MOST else text[:MOST] + CUT
