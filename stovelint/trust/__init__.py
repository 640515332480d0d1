"""Which folders of rules a person vouched for.

A rule is code, and it runs with all the rights of whoever reviews. A repository can therefore only
name its rules. They run when the call names the folder too, or when the user has vouched for the
folder as it is, byte for byte.
"""

from __future__ import annotations

from stovelint.trust.held import Held, TrustError, hold, of_files
from stovelint.trust.record import Record, record_path

__all__ = ["Held", "Record", "TrustError", "hold", "of_files", "record_path"]
