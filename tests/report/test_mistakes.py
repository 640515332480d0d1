"""Mistakes of a build file: numbered, in the order of the file, each with its remedy."""

from __future__ import annotations

from stovelint.place import Mark, Mistake, Path, Span
from stovelint.report.mistakes import failure_text, mistakes_text


def mistake(line: int, path: Path, message: str, remedy: str = "write 60 mm") -> Mistake:
    start = Mark(line=line, column=4, offset=line * 40)
    span = Span(file="kiln.heater.yaml", start=start, end=start)
    return Mistake(span=span, path=path, message=message, remedy=remedy)


def test_the_whole_picture() -> None:
    later = mistake(20, ("parts", "cap", "layers", 1, "material"), "no material is called granit",
                    "did you mean granite?")  # fmt: skip
    sooner = mistake(11, ("parts", "cap"), "60 has no unit")
    text = mistakes_text("kiln.heater.yaml", [later, sooner])
    assert text == """\
kiln.heater.yaml                                                      outcome: could not be reviewed
2 things stand in the way

 1  at      parts / cap                                                        kiln.heater.yaml:12:5
    wrong   60 has no unit
    do      write 60 mm

 2  at      parts / cap / layers / no. 2 / material                            kiln.heater.yaml:21:5
    wrong   no material is called granit
    do      did you mean granite?
"""


def test_one_mistake_of_the_whole_file() -> None:
    text = mistakes_text("kiln.heater.yaml", [mistake(0, (), "there is no such file")])
    assert "one thing stands in the way" in text and " 1  at      the file" in text


def test_another_verb_for_another_command() -> None:
    assert "could not be surveyed" in mistakes_text("x", [mistake(0, (), "m")], verb="surveyed")
    assert "could not be surveyed" in failure_text("x", "did not settle", verb="surveyed")


def test_lines_stay_on_the_page() -> None:
    text = mistakes_text("kiln.heater.yaml", [mistake(3, ("parts", "x" * 80), "long " * 60)])
    assert max(map(len, text.splitlines())) <= 100
    assert max(map(len, failure_text("kiln.heater.yaml", "long " * 60).splitlines())) <= 100
