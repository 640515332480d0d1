"""Days of the calendar, against the standard library's own calendar."""

from __future__ import annotations

import datetime

import pytest

from stovelint.errors import QuantityError
from stovelint.quantity.days import parse_day


@pytest.mark.parametrize("year", [1, 1900, 2000, 2023, 2024, 2100, 9999])
def test_the_calendar_has_the_days_of_the_standard_library(year: int) -> None:
    """1900 and 2100 are no leap years, 2000 is one (Gregorian rule)."""
    for month in range(14):
        for day in range(33):
            text = f"{year:04d}-{month:02d}-{day:02d}"
            try:
                datetime.date(year, month, day)
            except ValueError:
                with pytest.raises(QuantityError, match="there is no day"):
                    parse_day(text)
            else:
                assert parse_day(text) == text


def test_days_compare_as_text_like_days() -> None:
    first = datetime.date(1999, 12, 20)
    days = [(first + datetime.timedelta(days=n)).isoformat() for n in range(500)]
    assert sorted(map(parse_day, reversed(days))) == days


@pytest.mark.parametrize(
    "text",
    ["", "soon", "2027-6-30", "2027/06/30", "30.06.2027", "20270630", "2027-06-30\n", "12027-06-30",
     "2027-06-30T00:00", "0000-01-01", "\u0662\u0660\u0662\u0667-06-30"],
)  # fmt: skip
def test_another_form_is_refused_with_the_form_to_write(text: str) -> None:
    with pytest.raises(QuantityError) as fault:
        parse_day(text)
    assert "2027-06-30" in fault.value.remedy
