"""Which rules of the book judge the plans: all, only some, or all without some."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable, Sequence

from stovelint.errors import UsageError

if TYPE_CHECKING:
    from stovelint.rulebook import Rule


def choose(
    book: Sequence[Rule], only: Iterable[str], without: Iterable[str]
) -> tuple[tuple[Rule, ...], tuple[str, ...]]:
    """The rules chosen, and the names of those left out.

    Args:
        book: the rulebook.
        only: names as typed, also several with commas between; empty: all.
        without: likewise, of rules to leave out.

    Raises:
        UsageError: a name is not in the book, both are given, or no rule is left.
    """
    names = [rule.name for rule in book]
    wanted = _named("--only", only, names)
    unwanted = _named("--without", without, names)
    if wanted and unwanted:
        raise UsageError(
            "--only and --without are both given", "name the rules to ask, or those to leave out"
        )
    kept = tuple(
        rule
        for rule in book
        if (not wanted or rule.name in wanted) and rule.name not in unwanted
    )
    if not kept:
        raise UsageError("--without leaves no rule", "leave out fewer")
    asked = {rule.name for rule in kept}
    return kept, tuple(name for name in names if name not in asked)


def _named(option: str, typed: Iterable[str], names: Sequence[str]) -> frozenset[str]:
    from stovelint.schema import closest

    found = [name.strip() for text in typed for name in text.split(",")]
    faults = []
    for name in dict.fromkeys(found):
        if name in names:
            continue
        near = closest(name, names) if name else ()
        fault = f"there is no rule `{name}`" if name else "a name is missing beside a comma"
        faults.append(fault + (f" (did you mean {' or '.join(near)}?)" if near else ""))
    if faults:
        raise UsageError(f"{option}: {'; '.join(faults)}", f"the rules are: {', '.join(names)}")
    return frozenset(found)
