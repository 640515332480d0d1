"""`python -m stovelint` is the same as the command `stovelint`."""

from __future__ import annotations

import sys

from stovelint.cli import main

if __name__ == "__main__":
    sys.exit(main())
