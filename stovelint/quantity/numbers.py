"""Texts freed of the usual slips, and numbers as exact ratios of whole numbers."""

from __future__ import annotations

import re

from stovelint.errors import QuantityError

NUMBER = r"[0-9]{1,9}(?:\.[0-9]{1,9})?"
FRACTIONAL = r"(?:[0-9]{1,4}[ -])?[0-9]{1,2}/[0-9]{1,2}"
BARE = re.compile(rf"{FRACTIONAL}|{NUMBER}")

_CURLY = re.compile("[\u2018\u2019\u201c\u201d]")
_COMMA = re.compile(r"[0-9],[0-9]")
# Signs that mean one thing only: primes, powers, the times and minus signs of typesetters.
_ALIKE = str.maketrans(
    {"\u2032": "'", "\u2033": '"', "\u00b2": "2", "\u00d7": "x", "\u2212": "-", "\u00a0": " "}
)


def shown(text: str) -> str:
    """The text as a message may repeat it: one line, not long."""
    line = " ".join(text.split())
    return line if len(line) <= 40 else line[:37] + "..."


def refused(text: str, what: str, forms: str) -> QuantityError:
    return QuantityError(f"`{shown(text)}` is not {what}", forms)


def tidy(text: str, forms: str) -> str:
    """Text in plain signs with single spaces; refuses the usual slips by name."""
    if not isinstance(text, str):
        raise QuantityError(f"{shown(str(text))} has no unit", forms)
    plain = " ".join(text.translate(_ALIKE).split())
    if not plain:
        raise QuantityError("there is no quantity", forms)
    if _CURLY.search(plain) is not None:
        raise QuantityError(f"`{shown(text)}` has curly quotes where ' and \" belong", forms)
    if _COMMA.search(plain) is not None:
        raise QuantityError(f"`{shown(text)}` has a comma in its number, not a point", forms)
    if BARE.fullmatch(plain.removeprefix("-")) is not None:
        raise QuantityError(f"`{shown(text)}` has no unit", forms)
    return plain


def ratio(number: str, text: str) -> tuple[int, int]:
    """`4 1/2`, `4-1/2`, `1/2`, `11.4` as numerator and denominator.

    >>> ratio("4-1/2", ""), ratio("11.4", "")
    ((9, 2), (114, 10))
    """
    if "/" in number:
        whole, _, fraction = number.replace("-", " ").rpartition(" ")
        above, below = (int(part) for part in fraction.split("/"))
        if not 0 < above < below <= 64:
            raise QuantityError(
                f"`{shown(text)}` has a fraction that is not between 0 and 1, or finer than 64ths",
                "write whole inches, a space, then the fraction: 4 1/2 in",
            )
        return int(whole or "0") * below + above, below
    whole, _, decimals = number.partition(".")
    return int(whole + decimals), 10 ** len(decimals)
