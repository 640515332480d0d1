"""The one search for the smallest change that recomputes clean."""

from __future__ import annotations

from stovelint.remedy.proposal import Effect, Proposal, Together
from stovelint.remedy.rows import Edit
from stovelint.remedy.search import Search

__all__ = ["Edit", "Effect", "Proposal", "Search", "Together"]
