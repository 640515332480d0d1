"""A small fixed run of the fuzzing, every input that once failed, and what the harness must see."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from stovelint.source import Source
from tests.fuzz import target
from tests.fuzz.many import one, portion
from tests.fuzz.mutate import made
from tests.fuzz.seeds import seeds
from tests.fuzz.target import ends

ONCE = sorted((Path(__file__).parent / "once").glob("*.heater.*"))
SEED, COUNT = 20, 2000


@pytest.mark.parametrize("first", range(1, COUNT, COUNT // 4))
def test_a_fixed_run_ends_as_it_must(first: int) -> None:
    tally = portion(SEED, first, COUNT // 4, whole=False)
    assert tally.faults == []
    assert tally.valid > 10 and sum(tally.refused.values()) > 100, "both ways to end are met"


@pytest.mark.parametrize("file", ONCE, ids=[file.name for file in ONCE])
def test_what_once_failed_stays_well(file: Path) -> None:
    assert ends(file.read_bytes(), file.name).faults == ()


def test_there_are_seeds_in_every_format_and_they_are_valid() -> None:
    assert {seed.ending for seed in seeds()} == {"yaml", "toml", "json"}
    for seed in seeds():
        assert ends(seed.text.encode("utf-8"), f"seed.heater.{seed.ending}").said == "valid"


def test_a_number_is_one_input() -> None:
    assert made(1, 17) == made(1, 17) and made(1, 17) != made(1, 18) != made(2, 18)


BAD = b"title: 1\nnotes: [\n"


def faults_of(data: bytes = BAD) -> str:
    return " ".join(ends(data, "plan.heater.yaml", seconds=0.5).faults)


def test_the_harness_sees_an_exception(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> Source:
        raise KeyError("slip")

    assert faults_of() == ""
    monkeypatch.setattr("stovelint.source.yaml.parse", broken)
    assert "KeyError: 'slip'" in faults_of()


def test_the_harness_sees_what_takes_too_long(monkeypatch: pytest.MonkeyPatch) -> None:
    def endless(*_: object, **__: object) -> Source:
        while True:
            pass

    monkeypatch.setattr("stovelint.source.yaml.parse", endless)
    assert "takes more than 0.5 s, in test_fuzz.py" in faults_of()


def test_the_harness_sees_signs_that_drive_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(target, "mistakes_text", lambda *_: "wrong \x1b[2J")
    assert "prints '\\x1b'" in faults_of()


@pytest.mark.parametrize(
    ("offset", "says"), [(10**6, "outside of the file"), (0, "no message or remedy")]
)
def test_the_harness_sees_a_mistake_without_place_or_remedy(
    offset: int, says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from stovelint.errors import BuildFileError
    from stovelint.place import Mark, Mistake, Span

    def refused(text: str, file: str, *, bom: bool) -> Source:
        mark = Mark(line=0, column=0, offset=offset)
        span = Span(file=file, start=mark, end=mark)
        remedy = "r" if offset else ""
        raise BuildFileError((Mistake(span=span, path=(), message="m", remedy=remedy),))

    monkeypatch.setattr("stovelint.source.yaml.parse", refused)
    assert says in faults_of()


def test_the_harness_sees_what_is_printed(monkeypatch: pytest.MonkeyPatch) -> None:
    def loud(data: bytes, name: str) -> target.Ending:
        print("look", file=sys.stderr)
        return target.Ending(said="valid", faults=())

    monkeypatch.setattr("tests.fuzz.many.ends", loud)
    assert "printed 'look" in " ".join(one(1, 1).faults)


def test_a_valid_plan_goes_through_the_whole_review() -> None:
    seed = next(seed for seed in seeds() if seed.ending == "toml")
    ending = ends(seed.text.encode("utf-8"), "seed.heater.toml")
    assert ending.loaded is not None
    assert target.reviewed(ending.loaded, "seed.heater.toml") == []
