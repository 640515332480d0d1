"""A shop's choices for all its plans: the file `stovelint.toml` above them.

Settings can only name what is looked into. Materials are data and are read; rules are code, and
whether any of it may run is not decided here.
"""

from __future__ import annotations

from stovelint.settings.read import NAME, Settings, no_settings, read_settings

__all__ = ["NAME", "Settings", "no_settings", "read_settings"]
