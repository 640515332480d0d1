"""Claims of a plan that ask for less than they did in an older revision.

A finding goes away when the heater is put right, and also when the plan is made to say that less
is asked of it: a milder fire, a wall farther off, a variance. The second cannot be computed; a
person must see that it is so. Each such claim is therefore told at its line, beside what stood
there. What the heater itself is made of is no claim in this sense.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Callable, Mapping

from stovelint.review.records import Weakened
from stovelint.review.weaker_firing import Claim, milder_firing
from stovelint.review.weaker_near import milder_near

if TYPE_CHECKING:
    from stovelint.build import Build, Chamber, Variance
    from stovelint.place import Places, Span
    from stovelint.rule.level import Stakes

SEE = "see to it that somebody who may decide this has agreed, or put back what stood there"
TRUE = "see to it that it is so at the heater, or put back what stood there"


def weakened(
    now: Build,
    before: Build | None,
    *,
    places: Places,
    stakes: Mapping[str, Stakes],
    burns: Callable[[str], bool],
) -> tuple[Weakened, ...]:
    """All weaker claims of a plan, in the order of the file.

    Args:
        now: the plan as it is.
        before: the plan in the older revision; None: it was not there, or had mistakes. Then
            every variance counts as new.
        places: where everything stands in the file as it is.
        stakes: of the rules, by name.
        burns: whether a material of that name is combustible.
    """
    claims = _variances(now, before, stakes)
    if before is not None:
        claims += [*_scope(now, before), *milder_firing(now, before)]
        claims += [*milder_near(now, before, burns), *_declared(now, before)]
    found = [
        Weakened(
            what=claim.what, remedy=claim.remedy or TRUE, stakes=claim.stakes, level=claim.level,
            span=_one_line(places.key(claim.path)), path=claim.path,
        )  # fmt: skip
        for claim in claims
    ]
    return tuple(
        sorted(found, key=lambda w: (w.span.file, w.span.start.line, w.span.start.column, w.what))
    )


def _one_line(span: Span) -> Span:
    """Where a thing begins: what is missing has a whole map, or the whole file, for its place."""
    return span if span.end.line == span.start.line else replace(span, end=span.start)


def _variances(
    now: Build, before: Build | None, stakes: Mapping[str, Stakes]
) -> list[Claim]:
    old = {} if before is None else dict(before.variances)
    agreed = {(one.rule, one.part): one for one in old.values()}
    claims = []
    for one in now.variances.values():
        known = agreed.get((one.rule, one.part))
        at_stake = stakes.get(one.rule, "danger")
        if known is not None:
            if known.until is not None and (one.until is None or one.until > known.until):
                what = f"the variance {one.name} held {_until(known)} and holds {_until(one)}"
                key = ("until",) if one.until is not None else ()
                claims.append(
                    Claim(what=what, stakes=at_stake, path=(*one.path, *key), remedy=SEE)
                )
            here, was = _role(one.part, now), _role(one.part, before)
            if here and was and here != was:
                what = (
                    f"the variance {one.name} is for {one.part}, which was {was}, and is now {here}"
                )
                claims.append(Claim(what=what, stakes=at_stake, path=one.path, remedy=SEE))
            continue
        accepts = f"what {one.rule} says of {one.part}"
        renamed = old.get(one.name)
        if renamed is None:
            what = f"the variance {one.name} is new: it accepts {accepts}"
        else:
            what = (
                f"the variance {one.name} was for what {renamed.rule} says of {renamed.part}, "
                f"and accepts {accepts}"
            )
        claims.append(Claim(what=what, stakes=at_stake, path=one.path, remedy=SEE))
    return claims


def _role(name: str, build: Build | None) -> str:
    """`a cap of a bell to room`: what a part is apart from its name; empty: there is none."""
    part = None if build is None else build.parts.get(name)
    if build is None or part is None:
        return ""

    def kind(of: str) -> str:
        chamber = build.chambers.get(of)
        if chamber is None:
            return of
        return f"an {chamber.kind}" if chamber.kind[0] in "aeiou" else f"a {chamber.kind}"

    bounded = " and ".join(map(kind, part.bounds))
    return f"a {part.kind} of {bounded} to {kind(part.faces)}"


def _until(one: Variance) -> str:
    return "without an end" if one.until is None else f"until {one.until}"


def _scope(now: Build, before: Build) -> list[Claim]:
    """The code that binds the plan, and what is left to others."""
    claims = []
    if before.jurisdiction is not None and now.jurisdiction != before.jurisdiction:
        new = "none is named" if now.jurisdiction is None else f"is {now.jurisdiction}"
        claims.append(
            Claim(
                what=f"the code was {before.jurisdiction}, and {new}: clauses bind only where "
                "their code is named",
                stakes="danger", path=("jurisdiction",),
                remedy="name the code that the authority goes by",
            )  # fmt: skip
        )
    for what in sorted(set(now.by_others) - set(before.by_others)):
        claims.append(
            Claim(
                what=f"`{what}` was in this plan's own hands, and is left to others: "
                f"{now.by_others[what]}",
                stakes="danger", path=("by_others", what),
            )  # fmt: skip
        )
    return claims


def _declared(now: Build, before: Build) -> list[Claim]:
    """What a maker states of a core. Heat is reckoned with one such core, whatever its name."""
    from stovelint.quantity import format_temperature

    core, was = _bought(now), _bought(before)
    if core is None or core.declared is None:
        kept = None if was is None else now.chambers.get(was.name)
        if kept is None:
            return []
        return [
            Claim(what=f"{kept.name} had what its maker declares, and has it no more",
                  stakes="danger", path=kept.path)
        ]  # fmt: skip
    declared = core.declared
    if was is None or was.declared is None:
        return [
            Claim(what=f"the inside of {core.name} was reckoned, and its maker's word is taken for "
                  "it now", stakes="danger", path=declared.path)
        ]  # fmt: skip
    return [
        Claim(
            what=f"{word} of {core.name} was declared as {format_temperature(old)}, and is "
            f"declared as {format_temperature(new)}",
            stakes="danger", path=(*declared.path, key),
        )
        for key, word, old, new in (
            ("wall", "hottest outer face", was.declared.wall_C, declared.wall_C),
            ("exit", "gas that leaves it", was.declared.exit_C, declared.exit_C),
        )
        if new < old
    ]  # fmt: skip


def _bought(build: Build) -> Chamber | None:
    return next((one for one in build.chambers.values() if one.declared is not None), None)
