"""One plan in three formats: one tree, one schema, the same review; only places differ."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from stovelint.cli import main
from stovelint.cli.find import find_plans
from stovelint.place import PLANS
from stovelint.source import read_plan
from stovelint.source.formats import parse_text
from tests.format.plans import EXAMPLE
from tests.fuzz.writing import STYLES, as_json, as_toml
from tests.tree import ROOT, RULES

HERE = Path(__file__).parent
SAME = "castable-cap.heater"
CLEAR = RULES / "cap-insulation" / "stands" / f"{SAME}.yaml"
NOTED = RULES / "brittle-stone" / "fails" / "uncut-slab.heater.yaml"
PLACES = ("line", "column", "end_line", "end_column", "file", "path", "fingerprint", "fingerprints")


def without_places(node: Any) -> Any:
    """A report without what tells one file from another."""
    if isinstance(node, dict):
        return {key: without_places(held) for key, held in node.items() if key not in PLACES}
    if isinstance(node, list):
        return [without_places(one) for one in node]
    if isinstance(node, str):
        for ending in PLANS:
            node = node.replace(f"plan{ending}", "plan")
    return node


def converted(folder: Path, file: Path) -> dict[str, Path]:
    """The same plan in every format."""
    tree = read_plan(str(file)).tree
    texts = {
        "plan.heater.yaml": file.read_text(encoding="utf-8"),
        "plan.heater.json": as_json(tree),
        **{f"{style}/plan.heater.toml": as_toml(tree, style) for style in STYLES},
    }
    for name, text in texts.items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return {name: folder / name for name in texts}


@pytest.mark.parametrize("file", [CLEAR, NOTED], ids=["clear", "as-noted"])
def test_a_plan_gets_the_same_review_in_every_format(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    reviews: dict[str, Any] = {}
    for name, plan in converted(tmp_path, file).items():
        main(["review", "--no-cache", "--as", "json", str(plan)])
        reviews[name] = json.loads(capsys.readouterr().out)
    first = reviews.pop("plan.heater.yaml")
    assert first["plans"][0]["outcome"] in ("clear", "as noted")
    for name, other in reviews.items():
        assert without_places(other) == without_places(first), name


@pytest.mark.parametrize("file", [CLEAR, EXAMPLE], ids=["clear", "example"])
def test_a_plan_is_one_tree_in_every_format(file: Path, tmp_path: Path) -> None:
    plans = converted(tmp_path, file)
    tree = read_plan(str(file)).tree
    for plan in plans.values():
        source = read_plan(str(plan))
        assert source.tree == tree and source.mistakes == ()


def test_findings_stand_at_their_lines(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where a report points, there the entry stands."""
    for name, plan in converted(tmp_path, NOTED).items():
        main(["review", "--no-cache", "--as", "json", str(plan)])
        (told,) = json.loads(capsys.readouterr().out)["plans"]
        lines = plan.read_text(encoding="utf-8").split("\n")
        places = [item["place"] for item in told["findings"]] if "findings" in told else []
        assert places, name
        for place in places:
            last = [step for step in place["pointer"].split("/") if not step.isdigit()][-1]
            near = "\n".join(lines[max(0, place["line"] - 3) : place["line"] + 1])
            assert last in near or name.startswith("inline"), (name, place)


def test_both_commands_read_every_format(capsys: pytest.CaptureFixture[str]) -> None:
    said = set()
    for ending in (".toml", ".json"):
        file = HERE / f"{SAME}{ending}"
        plan = dict(read_plan(str(file)).tree)
        plan.pop("$schema", None)
        assert plan == read_plan(str(CLEAR)).tree
        assert main(["survey", str(file)]) == 0
        said.add(capsys.readouterr().out)
        assert main(["review", "--no-cache", str(file)]) == 0
        assert f"{SAME}{ending}" in capsys.readouterr().out
    assert len(said) == 1, "a survey tells no places"


def test_the_ending_chooses_the_format_and_a_folder_is_searched_for_all(tmp_path: Path) -> None:
    plans = [f"a{ending}" for ending in PLANS]
    for name in (*plans, "b.toml", "c.json", "d.heater.tml"):
        (tmp_path / name).write_text("", encoding="utf-8")
    (tmp_path / "e.heater.JSON").write_text("", encoding="utf-8")
    found = find_plans([str(tmp_path)])
    assert found.plans == tuple(f"{tmp_path}/a{ending}" for ending in sorted(PLANS))
    assert found.passed_over == (f"{tmp_path}/e.heater.JSON",)


@pytest.mark.parametrize("ending", PLANS)
def test_a_report_never_takes_the_place_of_a_plan(
    ending: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / f"kiln{ending}"
    assert main(["review", str(CLEAR), "--out", str(out)]) == 2
    assert "would write over a plan" in capsys.readouterr().err and not out.exists()


@pytest.mark.parametrize(
    ("ending", "wanted", "other"),
    [
        (".yaml", "yaml", ("stovelint.source.json", "stovelint.source.toml", "json")),
        (".toml", "toml", ("stovelint.source.yaml", "stovelint.source.json", "json")),
        (".json", "json", ("stovelint.source.yaml", "stovelint.source.toml")),
    ],
)
def test_a_format_brings_its_own_library_and_no_other(
    ending: str, wanted: str, other: tuple[str, ...]
) -> None:
    file = CLEAR if ending == ".yaml" else HERE / f"{SAME}{ending}"
    script = (
        "import sys\nfrom stovelint.source import read_plan\nread_plan(sys.argv[1])\n"
        "print('\\n'.join(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(file)],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    loaded = set(done.stdout.split("\n"))
    assert f"stovelint.source.{wanted}" in loaded and not loaded.intersection(other)


@pytest.mark.parametrize("form", ["text", "json", "sarif"])
@pytest.mark.parametrize("ending", [".toml", ".json"])
def test_a_clear_plan_is_not_scanned_for_places(
    ending: str, form: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Only what must be located is looked for in the text."""

    def scan(*_: object) -> object:
        raise RuntimeError("scanned")

    monkeypatch.setattr(f"stovelint.source{ending}._raw", scan)
    assert main(["review", str(HERE / f"{SAME}{ending}"), "--as", form]) == 0
    assert "scanned" not in capsys.readouterr().out


def test_places_in_the_examples_are_those_an_editor_shows() -> None:
    toml = read_plan(str(HERE / f"{SAME}.toml"))
    lines = toml.text.split("\n")
    for header, path in (("[chambers.bell]", ("chambers", "bell")), ("[parts]", ("parts",))):
        line = lines.index(header) + 1
        column = header.rindex(str(path[-1])) + 1
        assert toml.places.key(path).label().endswith(f".toml:{line}:{column}")
        assert toml.places.value((*path, "nothing")).label().endswith(f".toml:{line}:{column}")
        assert toml.places.value(path).label().endswith(f".toml:{line}:1")
    header = "[[parts.bell-cap.layers]]"
    layers = [number for number, line in enumerate(lines, start=1) if line == header]
    assert layers
    for place, line in enumerate(layers):
        layer = ("parts", "bell-cap", "layers", place)
        assert toml.places.value(layer).label().endswith(f".toml:{line}:1")
    json_ = read_plan(str(HERE / f"{SAME}.json"))
    line = json_.text.split("\n").index('    "bell": {') + 1
    assert json_.places.key(("chambers", "bell")).label().endswith(f".json:{line}:5")
    assert json_.places.value(("chambers", "bell")).label().endswith(f".json:{line}:13")


def test_a_table_named_later_is_found_at_its_own_header() -> None:
    """What belongs to a table may stand before it."""
    source = parse_text("a.toml", "[parts.cap]\nkind = 'cap'\n[parts]\nx = 1\n", "a.toml")
    assert source.places.key(("parts",)).label() == "a.toml:3:2"
    assert source.places.value(("parts",)).label() == "a.toml:1:1"


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("ending", [".toml", ".json"])
def test_line_ends_and_a_byte_order_mark_move_nothing(
    ending: str, mark: bytes, ends: str, tmp_path: Path
) -> None:
    given = read_plan(str(HERE / f"{SAME}{ending}"))
    plan = tmp_path / f"plan{ending}"
    plan.write_bytes(mark + given.text.replace("\n", ends).encode("utf-8"))
    moved = read_plan(str(plan))
    assert moved.tree == given.tree and moved.bom == bool(mark)
    for path, entry in given.places.entries.items():
        other = moved.places.entries[path].value.start
        assert (other.line, other.column) == (entry.value.start.line, entry.value.start.column)
