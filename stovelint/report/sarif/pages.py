"""The page of a rule as plain text, and as markdown that stands without its folder."""

from __future__ import annotations

import re

LINK = re.compile(r"(!?)\[((?:[^\[\]\\]|\\.)*)\]\(([^()\s]*)(?:\s+\"[^\"]*\")?\)")
ABSOLUTE = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:")
CODE = re.compile(r"(`+)(.+?)\1", re.DOTALL)
TAG = re.compile(r"<(?=[A-Za-z/!?])")
RULED = re.compile(r"\|?[\s:|-]+\|[\s:|-]*")
MARKS = re.compile(r"(\*\*|__)(?=\S)(.+?)(?<=\S)\1|(?<![\w*])([*_])(?=\S)(.+?)(?<=\S)\3(?![\w*])",
                   re.DOTALL)  # fmt: skip
MOST = 1024
"""Signs of a description that hosts keep."""


def page_text(page: str) -> str:
    """The page without its markup: headings, emphasis, code marks, tables and links as words.

    >>> print(page_text("# Caps\\n\\n**Why.** See `x` in [the book](../b.md).\\n"))
    Caps
    <BLANKLINE>
    Why. See x in the book.
    """
    lines = []
    for line in page.splitlines():
        bare = line.strip()
        if bare.startswith("|"):
            if RULED.fullmatch(bare):
                continue
            line = "; ".join(cell.strip() for cell in bare.strip("|").split("|"))
        lines.append(re.sub(r"^\s{0,3}(#{1,6}|>)\s+", "", line).rstrip())
    return _unmarked("\n".join(lines)).strip()


def page_markdown(page: str) -> str:
    """The page with nothing in it that leads nowhere elsewhere: a link to a file beside it becomes
    words, and what looks like HTML is shown as it is written.

    >>> page_markdown("see [the book](../b.md) and <b>[x](https://stovelint.example/)")
    'see the book and \\\\<b>[x](https://stovelint.example/)'
    """
    parts = []
    done = 0
    for code in CODE.finditer(page):
        parts += [_standing(page[done : code.start()]), code[0]]
        done = code.end()
    return "".join([*parts, _standing(page[done:])]).strip()


def heading(page: str) -> str:
    """The first heading; empty where there is none."""
    return next(
        (page_text(line) for line in page.splitlines() if re.match(r"#{1,6}\s", line)), ""
    )


def description(page: str) -> str:
    """What the page says before its first table, in whole paragraphs, as much as hosts keep."""
    said = ""
    for block in re.split(r"\n\s*\n", page.strip()):
        if block.startswith("#"):
            continue
        if block.startswith("|"):
            break
        more = f"{said} {' '.join(page_text(block).split())}".strip()
        if said and len(more) > MOST:
            break
        said = more
    return shortened(said)


def shortened(text: str, most: int = MOST) -> str:
    """The text up to the last sentence that fits.

    >>> shortened("One. Two is long.", 10)
    'One.'
    """
    if len(text) <= most:
        return text
    cut = text[: most - 3]
    end = max(cut.rfind(". "), cut.rfind("? "), cut.rfind("! "))
    return cut[: end + 1] if end > 0 else cut.rstrip() + "..."


def _unmarked(text: str) -> str:
    parts = []
    done = 0
    for code in CODE.finditer(text):
        parts += [_plain(text[done : code.start()]), code[2]]
        done = code.end()
    return "".join([*parts, _plain(text[done:])])


def _plain(text: str) -> str:
    text = LINK.sub(lambda found: found[2] + (f" ({found[3]})" if _leads(found) else ""), text)
    return MARKS.sub(lambda found: found[2] or found[4], text)


def _standing(text: str) -> str:
    text = LINK.sub(lambda found: found[0] if _leads(found) else found[2], text)
    return TAG.sub(r"\\<", text)


def _leads(found: re.Match[str]) -> bool:
    return not found[1] and ABSOLUTE.match(found[3]) is not None
