"""Days of the calendar, as text that sorts by time."""

from __future__ import annotations

import re

from stovelint.errors import QuantityError
from stovelint.quantity.numbers import shown

_DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})\Z")
_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
REMEDY = "write year, month and day: 2027-06-30"


def parse_day(text: str) -> str:
    """A day of the calendar, written year-month-day (ISO 8601, Gregorian rule for leap years).

    The standard module for dates stays away, since it also reads the clock.

    Args: `text`: for instance `2027-06-30`, years 0001 to 9999.
    Returns the same text; two of them compare as their days do.
    Errors: `QuantityError` for another form or a day that no month has.

    >>> parse_day("2028-02-29") < parse_day("2028-03-01")
    True
    """
    found = _DAY.match(text)
    if found is None:
        raise QuantityError(f"`{shown(text)}` is no day", REMEDY)
    year, month, day = (int(part) for part in found.groups())
    leap = month == 2 and year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    if year < 1 or not 1 <= month <= 12 or not 1 <= day <= _DAYS[month - 1] + leap:
        raise QuantityError(f"there is no day {text} in the calendar", REMEDY)
    return text
