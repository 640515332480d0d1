"""The same target under a fuzzer that follows coverage; it needs the package `atheris`, which
nothing else does.

    python -m tests.fuzz.guided CORPUS -runs=20000 -max_len=4096 -seed=1

The first byte chooses the format. An input at fault ends the run and is written to the working
folder; put what follows that byte into `tests/fuzz/once`.
"""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path
from typing import Any

ENDINGS = ("yaml", "toml", "json")
FOLLOWED = ["stovelint.source", "stovelint.schema.reword", "stovelint.assemble"]


def main() -> None:
    atheris: Any = import_module("atheris")
    with atheris.instrument_imports(include=FOLLOWED):
        from tests.fuzz.seeds import seeds
        from tests.fuzz.target import ends

    def look(data: bytes) -> None:
        """One input; what is wrong with its ending is raised, all that the fuzzer sees."""
        ending = ends(data[1:], f"guided.heater.{ENDINGS[data[0] % 3 if data else 0]}")
        if ending.faults:
            raise AssertionError(ending.faults)

    folder = next((Path(word) for word in sys.argv[1:] if not word.startswith("-")), None)
    if folder is not None:
        folder.mkdir(parents=True, exist_ok=True)
        for place, seed in enumerate(seeds()):
            first = bytes([ENDINGS.index(seed.ending)])
            (folder / f"seed-{place}").write_bytes(first + seed.text.encode("utf-8"))
    atheris.Setup(sys.argv, look)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
