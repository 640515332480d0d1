"""Answers kept between calls, found again by the content of all that made them."""

from __future__ import annotations

from stovelint.store.keep import Store, open_store
from stovelint.store.make import make_mark

__all__ = ["Store", "make_mark", "open_store"]
