"""What is found only when it is asked for, and only once."""

from __future__ import annotations

from stovelint.hotmap.late import Late


def test_it_is_found_once_and_not_before_it_is_asked_for() -> None:
    asked: list[int] = []

    def find() -> tuple[str, ...]:
        asked.append(1)
        return ("stud-wall", "shelf", "ceiling")

    some = Late(find)
    assert not asked
    assert list(some) == ["stud-wall", "shelf", "ceiling"]
    assert some[-1] == "ceiling" and some[1:] == ("shelf", "ceiling") and len(some) == 3
    assert len(asked) == 1


def test_nothing_found_is_nothing() -> None:
    assert not Late(lambda: ())
