"""What git holds of an older revision. Nothing is checked out, and nothing of it can run a program.

Only commands that read objects are called. None of them looks at the index or at the files of the
work tree, so that no filter, hook or monitor that a checkout may name has its turn.
"""

from __future__ import annotations

from stovelint.history.renames import renamed
from stovelint.history.repository import Repository, open_repository
from stovelint.history.revision import Entry, Revision, open_revision

__all__ = [
    "Entry", "Repository", "Revision", "open_repository", "open_revision", "renamed",
]  # fmt: skip
