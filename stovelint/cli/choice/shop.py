"""What a shop's settings add to every plan of a call, and what reports have to say of it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Mapping

if TYPE_CHECKING:
    from stovelint.build import Build
    from stovelint.hotmap.records import HotMap


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """What is the same for every plan of one shop."""

    file: str = ""
    """Its settings, as reports call the file; empty: there are none."""
    jurisdiction: str | None = None
    """Code of the plans that name none."""
    own: Mapping[str, str] = field(default_factory=dict)
    """A sentence for each material of its own, by name."""
    head: tuple[str, ...] = ()
    """Sentences for the head of a review."""
    marks: tuple[str, ...] = ()
    """All that may change an answer: contents of its files, and what of them was used."""

    def fitted(self, build: Build) -> Build:
        """The plan by the shop's code, where it names none of its own."""
        if build.jurisdiction is not None or self.jurisdiction is None:
            return build
        return replace(build, jurisdiction=self.jurisdiction)

    def noted(self, hot: HotMap, build: Build) -> HotMap:
        """The heat of a plan, with what of it rests on the shop's choices among its assumptions.

        Args:
            hot: its heat.
            build: the plan as it was read.
        """
        said = []
        if self.fitted(build) is not build:
            said.append(f"the plan names no code; {self.jurisdiction} is the shop's ({self.file})")
        if self.own:
            from stovelint.review import materials_of

            said += [self.own[name] for name in materials_of(build) if name in self.own]
        return replace(hot, assumptions=(*hot.assumptions, *said)) if said else hot

    def named_in(self, text: str, build: Build) -> tuple[str, ...]:
        """Sentences for the materials of its own that a text names and the plan does not hold."""
        if not self.own:
            return ()
        import re

        from stovelint.review import materials_of

        words = set(re.findall(r"[a-z0-9-]+", text)) - set(materials_of(build))
        return tuple(said for name, said in self.own.items() if name in words)


NO_SHOP = Shop()
