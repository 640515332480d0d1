"""The kinds of drawn plans, each from chance by number or from hypothesis."""

from __future__ import annotations

import random
from typing import Callable, Mapping

from hypothesis import strategies as st

from tests.drawn.changed import changed
from tests.drawn.pen import Pen, Tree
from tests.drawn.plans import plan

KINDS: Mapping[str, tuple[Callable[[Pen], Tree], bool]] = {
    "plausible": (plan, False), "wild": (plan, True), "changed": (changed, True),
}  # fmt: skip
"""By name: how one is drawn, and whether with figures out of all proportion."""


def numbered(kind: str, seed: int, number: int) -> Tree:
    """The plan with this number; it depends on nothing else, so each can be had alone."""
    make, wild = KINDS[kind]
    return make(Pen(random.Random(f"{kind} {seed} {number}").randint, wild=wild))


@st.composite
def drawn(draw: st.DrawFn, kind: str) -> Tree:
    """Plans of a kind."""
    make, wild = KINDS[kind]
    return make(Pen(lambda low, high: draw(st.integers(low, high)), wild=wild))
