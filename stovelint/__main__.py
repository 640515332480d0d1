"""`python -m stovelint` is the same as the command `stovelint`."""

from __future__ import annotations

import os
import sys

if __name__ == "__main__":
    # `-m` has put the current folder in front of all others, and a `numpy.py` that lies among the
    # plans would be run. What is a part of this package is found without it.
    if not sys.flags.safe_path and sys.path[:1] == [os.path.abspath(os.curdir)]:
        del sys.path[0]
    from stovelint.cli import main

    sys.exit(main())
