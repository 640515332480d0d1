"""What the YAML parser stumbled over, in a builder's words.

Both parsers (in C and in Python) word their complaints alike up to details, so a few stems
tell the kinds apart. None of their text reaches the reader.
"""

from __future__ import annotations

_STEMS: tuple[tuple[str, str, str], ...] = (
    (
        "mapping values are not allowed",
        "a second `: ` on one line, or a line set deeper than the one it belongs to",
        "line keys of one level up under each other, and put text that holds `: ` in quotes",
    ),
    (
        "could not find expected ':'",
        "this line is not `key: value`",
        "write a key, a colon, a space and the value; indent the lines of a longer text",
    ),
    (
        "expected ',' or '}'",
        "a `{` that was opened before is not closed here",
        "put a comma between the entries and close the braces",
    ),
    (
        "expected ',' or ']'",
        "a `[` that was opened before is not closed here",
        "put a comma between the entries and close the bracket",
    ),
    (
        "expected key",
        "this line is not lined up with the lines it belongs to",
        "line keys of one level up under each other",
    ),
    (
        "expected <block end>",
        "this line is not lined up with the lines it belongs to",
        "line keys of one level up under each other",
    ),
    (
        "expected '-' indicator",
        "this line is not lined up with the entries of its list",
        "begin each entry with `- `, lined up under each other",
    ),
    (
        "block sequence entries are not allowed",
        "a list entry `- ` cannot begin here",
        "put the list on lines of its own, indented under its key",
    ),
    (
        "unexpected end of stream",
        "a quotation mark was opened and never closed",
        "close it, or leave both marks off",
    ),
    (
        "unexpected document indicator",
        "a quotation mark was opened and never closed",
        "close it, or leave both marks off",
    ),
    (
        "unknown escape character",
        "a backslash in double quotes is followed by a letter that means nothing there",
        "write two backslashes, or use single quotes",
    ),
    (
        "directive",
        "a line begins with `%`",
        "a build file needs no directive: delete the line",
    ),
    (
        "tag",
        "`!` begins a tag, and build files have none",
        "delete it, or put the text in quotes",
    ),
    (
        "anchor",
        "`&` and `*` begin anchors and aliases, and build files have none",
        "write the value out, or put the text in quotes",
    ),
    (
        "alphabetic or numeric character",
        "`&` and `*` begin anchors and aliases, and build files have none",
        "write the value out, or put the text in quotes",
    ),
    (
        "<document start>",
        "nothing can follow the end of the plan",
        "keep one plan in a file, all of it lined up at the left margin",
    ),
)


def reword(problem: str, sign: str) -> tuple[str, str]:
    """Message and remedy for one complaint; `sign` is the character it stopped at.

    >>> reword("found character that cannot start any token", chr(9))[0]
    'a tab stands where only spaces can indent'
    """
    tab = "tab character" in problem  # as the parser in C says it below a value
    if tab or "cannot start any token" in problem:
        if tab or sign == "\t":
            return "a tab stands where only spaces can indent", "indent with spaces"
        return f"text cannot begin with `{sign}`", "put the text in quotes"
    for stem, message, remedy in _STEMS:
        if stem in problem:
            return message, remedy
    return (
        "from here on the text cannot be read as YAML",
        "check quotes, colons, brackets and indentation of this line and the one above",
    )
