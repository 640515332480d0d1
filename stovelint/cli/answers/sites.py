"""Collects what a report for machines needs of the build files themselves."""

from __future__ import annotations

from typing import TYPE_CHECKING, Mapping, Sequence

from stovelint.report.sites import Sites, Step

if TYPE_CHECKING:
    from stovelint.hotmap.records import HotMap
    from stovelint.remedy import Proposal
    from stovelint.remedy.replacements import Replacement
    from stovelint.review import Review
    from stovelint.source import Shelf, Source

Proposals = Mapping[int, Sequence["Proposal"]]


def sites_of(
    source: Source, review: Review, hot: HotMap, proposals: Proposals | None = None,
    shelf: Shelf | None = None,
) -> Sites:  # fmt: skip
    """The texts of a plan's files, and the changes that can be made in them exactly.

    Args:
        source: the plan as it was read.
        review: what was said of it.
        hot: its heat.
        proposals: what was found to put it right, by index of the finding.
        shelf: where its files were read from; None: the disk.
    """
    return Sites(
        texts={one.file: one.text for one in source.chain or (source,)},
        # Of a plan without findings nothing is located: its text need not be scanned for places.
        chambers={
            name: source.places.key(chamber.path)
            for name, chamber in review.build.chambers.items()
            if review.items
        },
        fixes=_fixes(source, proposals or {}, shelf),
        flows=_flows(source, review, hot) if review.items else {},
    )


def _flows(source: Source, review: Review, hot: HotMap) -> Mapping[int, tuple[Step, ...]]:
    from stovelint.cli.answers.heatpath import heat_paths

    return heat_paths(review, hot, source.places)


def _fixes(
    source: Source, proposals: Proposals, shelf: Shelf | None
) -> dict[tuple[int, int], tuple[Replacement, ...]]:
    wanted = [
        (index, number, one.edits)
        for index, tried in sorted(proposals.items())
        for number, one in enumerate(tried)
        # What passes only with the other changes made would, alone, put nothing right.
        if one.passes and one.edits and not one.on_top
    ]
    if not wanted:
        return {}
    from stovelint.remedy.replacements import replacements
    from stovelint.source import DISK, read_plan

    def reread(text: str) -> dict[str, object]:
        changed = _Changed(shelf or DISK, source, text)
        return read_plan(source.path, source.file, changed).tree

    known: dict[str, tuple[Replacement, ...] | None] = {}
    for _, _, edits in wanted:
        key = repr(edits)
        if key not in known:
            known[key] = replacements(source, edits, reread)
    return {
        (index, number): made
        for index, number, edits in wanted
        if (made := known[repr(edits)]) is not None
    }


class _Changed:
    """A shelf on which the plan has another text."""

    def __init__(self, shelf: Shelf, source: Source, text: str) -> None:
        self._shelf = shelf
        self._path = source.path
        self._data = (b"\xef\xbb\xbf" if source.bom else b"") + text.encode("utf-8")

    def read(self, path: str) -> bytes:
        """As for `Shelf`."""
        return self._data if path == self._path else self._shelf.read(path)

    def base_path(self, plan: str, by: str, named: str) -> str:
        """As for `Shelf`."""
        return self._shelf.base_path(plan, by, named)
