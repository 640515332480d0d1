"""The validator of the format's makers takes our SARIF, for the standard and for a code host.

Its exit status means nothing: it is 0 with errors as well. So its own report is read, in which a
result without a level is a warning. The notes that are left are known:

| note | why it stays |
| --- | --- |
| SARIF2002 | hosts need the text of a message, not a key into the rule |
| SARIF2003 | which revision was reviewed is the host's knowledge |
| SARIF2006 | it asks the network for the schema |
| SARIF2009 | our rules bear words, not letters and digits |
| SARIF2010 | the text of a place stands only where its file was read |
| SARIF2011 | lines around a result stand only where something is to be seen |
| SARIF2013 | files are not copied into the report |
"""

from __future__ import annotations

import json
import os
import subprocess
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from stovelint.report.sarif import sarif_report
from tests.report import sarif_make

Node = dict[str, Any]
HERE = Path(__file__).parent
PROGRAM = HERE / "node_modules" / "@microsoft" / "sarif-multitool-linux" / "Sarif.Multitool"
KNOWN = frozenset(f"SARIF20{number}" for number in ("02", "03", "06", "09", "10", "11", "13"))
pytestmark = pytest.mark.skipif(
    not PROGRAM.exists() and "STOVELINT_READERS" not in os.environ,
    reason="`npm ci` in tests/readers brings the reader",
)


def validated(text: str, folder: Path) -> list[tuple[str, str]]:
    """Rule and level of everything that the validator says of a document."""
    # By name of the program itself: its wrapper in npm goes through a shell, which would take the
    # `;` below for the end of the command. Its own script, which would do this, never ran.
    os.chmod(PROGRAM, 0o755)
    (folder / "out.sarif").write_text(text, encoding="utf-8")
    done = subprocess.run(
        [str(PROGRAM), "validate", "out.sarif", "--rule-kind", "Sarif;Ghas",
         "--level", "Error;Warning;Note", "-o", "said.sarif", "--log", "ForceOverwrite"],
        cwd=folder, capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    report = json.loads((folder / "said.sarif").read_text(encoding="utf-8-sig"))
    (run,) = report["runs"]
    for invocation in run.get("invocations", ()):
        assert not invocation.get("toolExecutionNotifications"), done.stdout
        assert not invocation.get("toolConfigurationNotifications"), done.stdout
    return [
        (one["ruleId"].split("/")[0], one.get("level", "warning")) for one in run["results"]
    ]


@pytest.mark.parametrize("upload", [False, True])
@pytest.mark.parametrize("compared", [False, True])
def test_it_finds_nothing_but_the_notes_that_are_known(
    upload: bool, compared: bool, tmp_path: Path
) -> None:
    told = sarif_make.compared() if compared else sarif_make.everything()
    found = Counter(validated(sarif_report(told, upload=upload), tmp_path))
    assert {rule for rule, level in found if level == "note"} <= KNOWN
    assert [one for one in found if one[1] != "note"] == []
    assert found["SARIF2002", "note"], "it looked at our results"


@pytest.mark.parametrize("spoil, rule", [
    (lambda run: run["results"][0]["locations"][0]["physicalLocation"]["region"].update(
        startLine=0), "SARIF1007"),
    (lambda run: run["tool"]["driver"]["rules"][0].pop("help"), "GH2012"),
    (lambda run: run["results"][0].update(ruleIndex=900), "SARIF1009"),
])  # fmt: skip
def test_it_sees_faults(spoil: Any, rule: str, tmp_path: Path) -> None:
    log = json.loads(sarif_report(sarif_make.everything()))
    spoil(log["runs"][0])
    found = validated(json.dumps(log), tmp_path)
    assert rule in {name for name, level in found if level != "note"}, found
