"""Files, lines and logical places of a run, each kept once and referred to by its index."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stovelint.place import pointer
from stovelint.report.sarif.words import Node, braced, message
from stovelint.report.sites import NO_SITES, Sites
from stovelint.report.uris import told_reference
from stovelint.report.visible import visible

if TYPE_CHECKING:
    from stovelint.place import Path, Span
    from stovelint.report.told import Told

ROOT = "%SRCROOT%"
"""What relative URIs are counted from; where that lies is not told, so that two machines write
the same bytes."""
AROUND = 2
"""Lines shown above and below."""
ROOTS: Node = {ROOT: {"description": message("The root of the repository that holds the plans.")}}


class Places:
    """Hands out locations, and remembers what they refer to."""

    def __init__(self, told: Told) -> None:
        self._told = told
        self._files: dict[str, list[Node]] = {}
        self._roles: dict[str, set[str]] = {}
        self._logical: dict[str, int] = {}
        self.logical: list[Node] = []
        """`run.logicalLocations`, parents before what lies in them."""

    def file(self, file: str, *roles: str) -> Node:
        """An artifactLocation; its index is put in by `artifacts`."""
        found = told_reference(self._told, file)
        node: Node = {"uri": found.uri}
        if found.rooted and not found.uri.startswith("../"):
            node["uriBaseId"] = ROOT
        self._files.setdefault(found.uri, []).append(node)
        self._roles.setdefault(found.uri, set()).update(roles)
        return node

    def artifacts(self) -> list[Node]:
        """`run.artifacts`, by URI; every location handed out gets its index."""
        found = []
        for index, uri in enumerate(sorted(self._files)):
            for node in self._files[uri]:
                node["index"] = index
            artifact: Node = {"location": dict(self._files[uri][0])}
            if self._roles[uri]:
                artifact["roles"] = sorted(self._roles[uri])
            artifact["encoding"] = "utf-8"
            found.append(artifact)
        return found

    def location(
        self, span: Span, *, sites: Sites = NO_SITES, path: Path = (), walk_to: str = "",
        context_too: bool = False,
    ) -> Node:  # fmt: skip
        """A location: file and region, the JSON pointer, and the place that a mason finds; where
        asked for, also the lines around it."""
        file = self.file(span.file)
        physical: Node = {"artifactLocation": file, "region": region(span, sites)}
        around = context(span, sites) if context_too else None
        if around is not None:
            physical["contextRegion"] = around
        node: Node = {"physicalLocation": physical}
        logical = [self._pointer(file["uri"], path)] if path else []
        if walk_to:
            logical.append(self._walk_to(walk_to))
        if logical:
            node["logicalLocations"] = logical
        return node

    def whole_file(self, file: str) -> Node:
        """The beginning of a file, for what is said of it as a whole."""
        return {
            "physicalLocation": {
                "artifactLocation": self.file(file),
                "region": {"startLine": 1, "startColumn": 1, "endLine": 1, "endColumn": 1},
            }
        }

    def _pointer(self, uri: str, path: Path) -> Node:
        parent = self._kept(uri, {"name": uri, "kind": "module"})
        for end in range(1, len(path) + 1):
            kind = "property" if isinstance(path[end - 1], str) else "value"
            name = f"{uri}#{pointer(path[:end])}"
            entry = {
                "name": visible(str(path[end - 1])), "fullyQualifiedName": name, "kind": kind,
                "parentIndex": parent,
            }  # fmt: skip
            parent = self._kept(name, entry)
        return {"fullyQualifiedName": name, "index": parent}

    def _walk_to(self, walk_to: str) -> Node:
        index = self._kept(f" {walk_to}", {"name": walk_to, "kind": "place"})
        return {"name": walk_to, "kind": "place", "index": index}

    def _kept(self, key: str, entry: Node) -> int:
        if key not in self._logical:
            self._logical[key] = len(self.logical)
            self.logical.append(entry)
        return self._logical[key]


def region(span: Span, sites: Sites = NO_SITES) -> Node:
    """Where a span begins, and where it ends on the same line: hosts show a result on a change
    only where all its lines are part of that change.

    Lines and columns count from 1, columns in code points; the end is the column after it.
    """
    line, column = span.start.line, span.start.column
    if span.end.line == line:
        end = span.end.column
    else:
        known = sites.line_end(span)
        end = column + 1 if known is None else max(column, known)
    found: Node = {
        "startLine": line + 1, "startColumn": column + 1, "endLine": line + 1,
        "endColumn": end + 1,
    }  # fmt: skip
    text = sites.texts.get(span.file)
    if text is not None and end > column:
        at = span.start.offset
        found["snippet"] = {"text": text[at : at + end - column]}
    return found


def context(span: Span, sites: Sites) -> Node | None:
    """The lines around the beginning of a span; None where the text is not known."""
    found = sites.around(span, AROUND)
    if found is None:
        return None
    first, text = found
    *above, last = text.split("\n")
    return {
        "startLine": first + 1, "startColumn": 1, "endLine": first + 1 + len(above),
        "endColumn": len(last) + 1, "snippet": {"text": text},
    }  # fmt: skip


def exact_region(span: Span) -> Node:
    """A span as it is, for a replacement of text."""
    return {
        "startLine": span.start.line + 1, "startColumn": span.start.column + 1,
        "endLine": span.end.line + 1, "endColumn": span.end.column + 1,
    }  # fmt: skip


def related(number: int, location: Node, words: str) -> Node:
    """A related location with the number by which a message links to it."""
    return {"id": number, **location, "message": {"text": braced(words)}}
