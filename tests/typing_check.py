"""Strict typing of package, tests and rules in one run: `python tests/typing_check.py`.

Every rule's file is called rule.py in a folder whose name is no Python name, so mypy cannot take
the files where they lie. They are checked as copies, each under its rule's name.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        names: dict[str, str] = {}
        for path in sorted((ROOT / "rules").glob("*/rule.py")):
            copy = Path(folder) / f"rule_{path.parent.name.replace('-', '_')}.py"
            shutil.copy(path, copy)
            names[copy.name] = path.relative_to(ROOT).as_posix()
        done = subprocess.run(
            [sys.executable, "-m", "mypy", "stovelint", "tests", *map(str, Path(folder).iterdir())],
            cwd=ROOT,
            env={**os.environ, "MYPYPATH": f"{ROOT}{os.pathsep}{folder}"},
            capture_output=True,
            text=True,
            check=False,
        )
    for line in done.stdout.splitlines():
        where, colon, rest = line.partition(":")
        print(names.get(Path(where).name, where) + colon + rest)
    print(done.stderr, end="", file=sys.stderr)
    return done.returncode


if __name__ == "__main__":
    sys.exit(main())
