"""From a file on disk to (plain tree, places): formats live here and nowhere else."""

from __future__ import annotations

from stovelint.source.read import read_plan
from stovelint.source.record import Source
from stovelint.source.shelf import DISK, Cabinet, Disk, Shelf

__all__ = ["DISK", "Cabinet", "Disk", "Shelf", "Source", "read_plan"]
