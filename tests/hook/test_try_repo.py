"""`try-repo`: how somebody looks at the hooks before they take them."""

from __future__ import annotations

from pathlib import Path
from typing import Mapping

from tests.hook.conftest import Source
from tests.hook.scratch import scratch
from tests.hook.test_installed import BAD, GOOD


def test_both_hooks_can_be_tried(
    environment: Mapping[str, str], source: Source, tmp_path: Path
) -> None:
    shop = scratch(tmp_path / "plans", environment)
    shop.stage("b/kiln.heater.yaml", BAD)
    shop.stage("a/kiln.heater.yaml", GOOD)
    done = shop.hooks("try-repo", source.folder, "--all-files", "--verbose")
    assert done.status == 1
    _, changed, all_of_them = done.said.split("- hook id: ")
    assert changed.startswith("stovelint\n") and all_of_them.startswith("stovelint-all\n")
    for said in (changed, all_of_them):
        assert "- exit code: 1\n" in said
        shown = [line.split() for line in said.splitlines() if line.startswith(("a/", "b/"))]
        assert shown == [
            ["a/kiln.heater.yaml", "outcome:", "clear"],
            ["b/kiln.heater.yaml", "outcome:", "revise"],
        ]
    first, second = (
        said[said.index("Kiln Cottage") : said.rindex("2 plans:")] for said in (changed, all_of_them)
    )
    assert first == second
