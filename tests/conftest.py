"""Settings for the whole test run: drawn examples are the same in every run."""

from __future__ import annotations

import os

from hypothesis import settings

# No test may meet an answer that another one, or the person at this machine, left behind. Tests
# of the kept answers name a folder of their own.
os.environ["XDG_CACHE_HOME"] = "/dev/null/nowhere"

settings.register_profile("repeatable", derandomize=True, deadline=None, database=None)
settings.load_profile("repeatable")
