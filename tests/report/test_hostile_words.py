"""A plan whose every free text tries to act on who reads its report, in every form."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from junitparser import JUnitXml

from stovelint.cli.forms import FORMS
from tests.report import plans
from tests.report.commonmark import pages, taking_effect
from tests.report.runner import commands
from tests.tree import ROOT

BAIT = (
    "::error file=x::a ##[add-mask]b ::stop-commands::c <script>d</script> [e](http://f.example) "
    "![g](http://h.example/i.png) @mason #12 :tada: `@j` <!-- stovelint review --> </details> "
    "]]> &lt; $k$ www.l.example | %0A::error::m 0123abcdef01"
)
FREE = (
    ("title: Kiln Cottage\n", "title: {}\n"), ("drawing: KC-13\n", "drawing: {}\n"),
    ("reason: relaid in spring", "reason: {}"), ("who: owner", "who: {}"),
    ("reason: measured on two heaters of this drawing", "reason: {}"),
    ("who: the authority", "who: {}"),
)  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hostile") / "shop"
    folder.mkdir()
    words = json.dumps(BAIT)
    text = plans.agreed()
    for written, free in FREE:
        assert text.count(written) == 1
        text = text.replace(written, free.format(words))
    (folder / "agreed.heater.yaml").write_text(text, encoding="utf-8")
    # What stands in a mistake is quoted from the plan.
    wrong = text.replace("material: perlite-loose", f"material: {words}", 1)
    wrong = wrong.replace("bearing: 100 mm", f"bearing: {words}").replace("wet-stone", words)
    (folder / "mistaken.heater.yaml").write_text(f"{wrong}{words}: 1\n", encoding="utf-8")
    return folder


@pytest.mark.parametrize("form", FORMS)
def test_nothing_in_a_plan_acts_on_its_reader(folder: Path, form: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "stovelint", "review", ".", "--as", form], cwd=folder,
        capture_output=True, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": str(folder.parent)},
    )  # fmt: skip
    out = done.stdout.decode("utf-8")
    assert (done.returncode, done.stderr) == (2, b"")
    assert "stop-commands" in out, "the words are told, and not left out"
    allowed = {"error", "warning", "notice"} if form == "annotations" else set()
    assert {one.name for one in commands(out)} <= allowed
    assert {one.properties.get("file") for one in commands(out)} <= {
        "agreed.heater.yaml", "mistaken.heater.yaml",
    }  # fmt: skip
    if form in ("json", "sarif", "sarif-upload", "codequality"):
        json.loads(out)
    if form == "junit":
        assert isinstance(JUnitXml.fromstring(out.encode()), JUnitXml)
    if form == "markdown":
        host, other = pages(out)
        assert taking_effect(host) == taking_effect(other) == []
        assert host.text == other.text and out.count("<!--") == 1
