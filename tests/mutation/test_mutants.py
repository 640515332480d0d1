"""The tool itself: it finds what it should change, changes that alone, and can tell a kill."""

from __future__ import annotations

import ast
import tomllib
from pathlib import Path

import pytest

from tests.mutation.mutants import mutants
from tests.mutation.suites import HEAT, ROOT, modules, suite
from tests.mutation.trial import PASSED, Outcome, Trial, run

SOURCE = '''"""Doc 1."""
from __future__ import annotations
import math
LIMIT: float = 2.0
def f(x: "float", deep: int = 3) -> float:
    """Doc 2."""
    assert x > 5.0
    if x <= LIMIT and not deep:
        raise ValueError(f"{x} below {1.0}")
    x *= min(x, -1)
    return math.sqrt(x[0:-1])
'''


def whats(source: str) -> list[tuple[int, str]]:
    return [(mutant.line, mutant.what) for mutant in mutants(source)]


def test_every_kind_of_change_is_made_once() -> None:
    assert whats(SOURCE) == [
        (4, "2.0 -> 2.2"), (4, "2.0 -> -2.0"), (5, "3 -> 4"), (5, "3 -> -3"),
        (8, "x <= LIMIT and (not deep) -> not (x <= LIMIT and (not deep))"),
        (8, "x <= LIMIT and (not deep) -> x <= LIMIT or not deep"),
        (8, "x <= LIMIT -> x < LIMIT"), (8, "x <= LIMIT -> x > LIMIT"), (8, "not deep -> deep"),
        (9, "raise -> pass"),
        (10, "x *= min(x, -1) -> x /= min(x, -1)"), (10, "x *= min(x, -1) -> pass"),
        (10, "min(x, -1) -> max(x, -1)"), (10, "-1 -> 1"), (10, "1 -> 2"),
        (11, "return None"), (11, "return -(...)"), (11, "math.sqrt(x[0:-1]) -> x[0:-1]"),
        (11, "0 -> 1"), (11, "-1 -> 1"), (11, "1 -> 2"),
    ]  # fmt: skip


@pytest.mark.parametrize("module", modules())
def test_a_mutant_differs_in_one_place_and_can_be_read(module: str) -> None:
    source = (ROOT / HEAT / f"{module}.py").read_text(encoding="utf-8")
    true = ast.dump(ast.parse(source))
    found = mutants(source)
    assert len({mutant.text for mutant in found}) == len(found)
    for mutant in found[::40]:
        assert ast.dump(ast.parse(mutant.text)) != true, (mutant.line, mutant.what)


def test_every_module_has_tests_and_every_judgement_its_module() -> None:
    names = modules()
    for name in names:
        assert any(Path(path).name.startswith("test_") for path in suite(name)), name
    with (Path(__file__).parent / "judged.toml").open("rb") as file:
        rows = tomllib.load(file)["judged"]
    for row in rows:
        assert row["module"] in names
        assert len(row["reason"].split()) >= 4 and row["whats"]


def test_a_mistake_that_a_test_sees_is_killed_and_the_copy_is_put_right(tmp_path: Path) -> None:
    (tmp_path / "pyproject.toml").write_text("", encoding="utf-8")
    (tmp_path / "answer.py").write_text("ANSWER = 6.0 * 7.0\n", encoding="utf-8")
    (tmp_path / "test_answer.py").write_text(
        "import answer\ndef test() -> None:\n    assert answer.ANSWER == 42.0\n", encoding="utf-8"
    )
    texts = ["ANSWER = 6.0 * 7.0\n", "ANSWER = 6.0 / 7.0\n", "ANSWER = 7.0 * 6.0\n", "while 1: 0\n"]
    found: dict[int, Outcome] = {}
    run(
        [Trial(path="answer.py", text=text, suite=("test_answer.py",),
               limit_s=60.0 if number < 3 else 1.5) for number, text in enumerate(texts)],
        [tmp_path], found.__setitem__,
    )  # fmt: skip
    assert [found[number].status for number in range(4)] == [PASSED, 1, PASSED, None]
    assert [found[number].killed for number in range(4)] == [False, True, False, True]
    assert (tmp_path / "answer.py").read_text(encoding="utf-8") == texts[0]
