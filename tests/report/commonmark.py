"""A comment as two readers render it, and what in it would take effect on a host."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

import cmarkgfm  # type: ignore[import-untyped]
from markdown_it import MarkdownIt

OURS = {"h2", "h3", "p", "ul", "li", "strong", "em", "code", "br", "del", "details", "summary"}
VOID = {"br", "hr", "img", "input"}
ACTS = re.compile(
    r"[@#!~%&$^](?=[\w\"'])|:[\w+-]+:|\w+://|\bwww\.|\bGH-\d|\b[0-9a-f]{7,40}\b", re.I
)
"""What hosts look for in the text of a rendered page, outside code."""


@dataclass
class Page(HTMLParser):
    """A rendered page: its tags, attributes, comments, and text within and outside of code."""

    tags: list[str] = field(default_factory=list)
    attributes: list[str] = field(default_factory=list)
    comments: list[str] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)
    codes: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=lambda: [""])
    unpaired: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [name for name, _ in attrs]
        if tag == "br" or tag not in ("strong", "em", "code", "del"):
            self.lines.append("")
        if tag not in VOID:
            self._open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID:
            return
        if not self._open or self._open.pop() != tag:
            self.unpaired.append(tag)

    def handle_comment(self, data: str) -> None:
        self.comments.append(data)

    def handle_data(self, data: str) -> None:
        (self.codes if "code" in self._open else self.texts).append(data)
        self.lines[-1] += data

    def close(self) -> None:
        super().close()
        self.unpaired += self._open

    @property
    def text(self) -> str:
        """All that is read, without the marks that nobody sees."""
        lines = (" ".join(line.split()) for line in self.lines)
        return "\n".join(line for line in lines if line).replace("\u200b", "")


def pages(markdown: str) -> tuple[Page, Page]:
    """What two readers make of it: the one of a code host, and one that others use."""
    host = cmarkgfm.github_flavored_markdown_to_html(
        markdown, options=cmarkgfm.cmark.Options.CMARK_OPT_UNSAFE
    )
    other = MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"])
    rendered = other.render(markdown).replace("<s>", "<del>").replace("</s>", "</del>")
    return _page(host), _page(rendered)


def _page(html: str) -> Page:
    page = Page()
    page.feed(html)
    page.close()
    return page


def taking_effect(page: Page) -> list[str]:
    """What is no plain text of ours: foreign tags, attributes, and what a host would look for."""
    found = [tag for tag in page.tags if tag not in OURS] + page.attributes + page.unpaired
    found += [one for one in page.comments if one != " stovelint review "]
    return found + [hit[0] for text in page.texts for hit in ACTS.finditer(text)]
