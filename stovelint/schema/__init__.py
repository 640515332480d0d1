"""A file against its JSON Schema: is it valid, and if not, every mistake in plain words."""

from __future__ import annotations

from stovelint.schema.check import BUILD, MATERIAL, SETTINGS, is_valid, mistakes, schema_text
from stovelint.quantity.spelling import closest

__all__ = ["BUILD", "MATERIAL", "SETTINGS", "closest", "is_valid", "mistakes", "schema_text"]
