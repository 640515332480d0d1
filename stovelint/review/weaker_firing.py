"""A fire that a plan makes milder than it was in an older revision."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stovelint.quantity import (
    format_duration,
    format_fraction,
    format_mass,
    format_temperature,
)

if TYPE_CHECKING:
    from stovelint.build import Build, Damper, Firing, FiringState
    from stovelint.place import Path
    from stovelint.rule.level import Level, Stakes

NEAR = 1e-9
"""Relative; the same quantity in another unit is no change."""
STATES: tuple[FiringState, ...] = ("usual", "hardest", "least")
OPENNESS = {"tight": 0, "ajar": 1, "open": 2}
"""More of what the fire left in the heater is carried off."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Claim:
    """A weaker claim, before it has a place in the file."""

    what: str
    stakes: Stakes
    path: Path
    remedy: str = ""
    level: Level = "warning"
    """A note is told and holds nothing: what a remedy of ours may have asked for."""


def milder_firing(now: Build, before: Build) -> list[Claim]:
    """Fires, wood, room and damper that ask less of the heater than they did.

    Peaks and dangers are judged by the hardest fire, means by the usual one: smaller is milder.
    The least fire is judged for draught and wet chimneys: there a larger one is milder.
    """
    claims = []
    for state in STATES:
        new, old = now.firings[state], before.firings[state]
        if state != "usual" and new.assumed and old.assumed:
            continue  # it follows from the usual one, where the change is told
        key = _milder(new, old, -1.0 if state == "least" else 1.0)
        dropped = new.assumed and not old.assumed
        if key is None and not dropped:
            continue
        end = " (assumed, since the plan does not say it any more)" if dropped else ""
        claims.append(
            Claim(
                what=f"the {state} firing was {_fire(old)}"
                f"{' (assumed)' if old.assumed else ''}, and is {_fire(new)}{end}",
                stakes="performance" if state == "least" else "danger",
                path=(*new.path, key) if key is not None and not dropped else new.path,
            )  # fmt: skip
        )
    claims += [*_wood(now, before), *_room(now, before), *_damper(now.damper, before.damper)]
    return claims


def _milder(new: Firing, old: Firing, sense: float) -> str | None:
    """The first key by which one firing is milder than the other."""
    for key, here, was in (
        ("charge", new.charge_kg, old.charge_kg), ("loads", new.loads, old.loads),
        ("every", -new.every_s, -old.every_s), ("burn", -new.burn_s, -old.burn_s),
    ):  # fmt: skip
        if sense * (here - was) < -NEAR * abs(was):
            return key
    return None


def _fire(firing: Firing) -> str:
    return (
        f"{firing.loads} x {format_mass(firing.charge_kg)} every "
        f"{format_duration(firing.every_s)}, each burning {format_duration(firing.burn_s)}"
    )


def _wood(now: Build, before: Build) -> list[Claim]:
    new, old = now.fuel.moisture, before.fuel.moisture
    if abs(new - old) <= NEAR * old:
        return []
    # Wet wood burns cooler; dry wood leaves less water for the chimney.
    wetter = new > old
    why = "the fire is cooler" if wetter else "less water is left for the chimney"
    return [
        Claim(
            what=f"the wood held {format_fraction(old)} of water, and holds "
            f"{format_fraction(new)}: {why}",
            stakes="danger" if wetter else "performance", path=(*now.fuel.path, "moisture"),
        )  # fmt: skip
    ]


def _room(now: Build, before: Build) -> list[Claim]:
    new, old = now.site.room_C, before.site.room_C
    if new >= old:
        return []
    return [
        Claim(
            what=f"the room was at {format_temperature(old)}, and is at {format_temperature(new)}: "
            "all that stands in it is cooler",
            stakes="danger", path=(*now.site.path, "room"),
        )  # fmt: skip
    ]


def _damper(new: Damper, old: Damper) -> list[Claim]:
    if new.after_burn is None:
        return []
    path = (*new.path, "after_burn")
    if old.after_burn is None:
        return [
            Claim(
                what="it was not said how the damper is left after the burn, and both ends were "
                f"computed; now it is {_left(new)}",
                stakes="danger", path=path,
            )  # fmt: skip
        ]
    opener = OPENNESS[new.after_burn] > OPENNESS[old.after_burn]
    share = new.after_burn == old.after_burn and (new.share or 0.0) > (old.share or 0.0) + NEAR
    if not (opener or share):
        return []
    return [
        Claim(
            what=f"the damper was {_left(old)} after the burn, and is {_left(new)}: more heat is "
            "carried off",
            stakes="danger", path=(*new.path, "share") if share else path,
        )  # fmt: skip
    ]


def _left(damper: Damper) -> str:
    if damper.after_burn == "ajar" and damper.share is not None:
        return f"left ajar by {format_fraction(damper.share)}"
    return f"left {damper.after_burn}"
