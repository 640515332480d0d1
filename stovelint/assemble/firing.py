"""Site, fuel, the three firing states and the damper."""

from __future__ import annotations

from typing import Literal, Mapping, cast

from stovelint.assemble import bounds
from stovelint.assemble.reader import Record
from stovelint.build import Damper, Firing, FiringState, Fuel, Site
from stovelint.quantity import format_duration


def read_site(plan: Record) -> Site:
    record = plan.child("site")
    if record is None:
        return Site()
    default = Site()
    return Site(
        room_C=record.number("room", bounds.CLIMATE, default.room_C),
        outdoors_C=record.number("outdoors", bounds.CLIMATE, default.outdoors_C),
        ground_C=record.number("ground", bounds.CLIMATE, default.ground_C),
        altitude_m=record.number("altitude", bounds.ALTITUDE, default.altitude_m),
    )


def read_fuel(firing: Record) -> Fuel:
    return Fuel(
        kind=cast(Literal["softwood", "hardwood"], firing.text("wood")),
        moisture=firing.number("moisture", bounds.MOISTURE),
        path=firing.path,
    )


def read_damper(firing: Record) -> Damper:
    record = firing.child("damper")
    if record is None:
        return Damper(after_burn=None, share=None, path=firing.at("damper"))
    after_burn = record.maybe_text("after_burn")
    if after_burn == "ajar" and not record.has("share"):
        record.note(
            "after_burn", "the damper is left ajar, and it is not said how far",
            "add `share`, for instance 3 %: what still passes of the flow of the burn",
        )  # fmt: skip
    if after_burn in ("open", "tight") and record.has("share"):
        message = f"`share` goes with a damper left ajar, and this one is {after_burn}"
        record.note("share", message, "delete `share`, or say `after_burn: ajar`", at_key=True)
    return Damper(
        after_burn=cast("Literal['open', 'ajar', 'tight'] | None", after_burn),
        share=record.maybe("share", bounds.SHARE),
        path=record.path,
    )


def read_firings(firing: Record) -> Mapping[FiringState, Firing]:
    """The three states. Missing `hardest`: two usual firings back to back, at the same interval.
    Missing `least`: half the usual charge at twice the interval."""
    usual = _read_state(firing, "usual")
    if usual is None:
        return {}
    hardest = _read_state(firing, "hardest")
    if hardest is None:
        hardest = _derived(usual, "hardest", charge=1.0, every=1.0, loads=2)
        if hardest.loads * hardest.burn_s > hardest.every_s >= usual.loads * usual.burn_s:
            firing.note(
                "usual", "two usual firings back to back do not fit in the interval",
                "say how the hardest firing goes: add `hardest` with charge, burn, every, loads",
                at_key=True,
            )  # fmt: skip
    else:
        _compare(firing, "hardest", usual, milder=hardest, harder=usual)
    least = _read_state(firing, "least")
    if least is None:
        least = _derived(usual, "least", charge=0.5, every=2.0, loads=1)
    else:
        _compare(firing, "least", usual, milder=usual, harder=least)
    return {"usual": usual, "hardest": hardest, "least": least}


def _read_state(firing: Record, state: FiringState) -> Firing | None:
    record = firing.child(state)
    if record is None:
        return None
    found = Firing(
        state=state,
        charge_kg=record.number("charge", bounds.CHARGE),
        burn_s=record.number("burn", bounds.BURN),
        every_s=record.number("every", bounds.INTERVAL),
        loads=record.whole("loads", 1),
        assumed=False,
        path=record.path,
    )
    if found.loads * found.burn_s > found.every_s:
        burning = format_duration(found.loads * found.burn_s)
        message = f"the fire burns {burning}, longer than the interval to the next lighting"
        record.note("every", message, "lengthen `every`, or shorten `burn` or `loads`")
    return found


def _derived(
    usual: Firing, state: FiringState, *, charge: float, every: float, loads: int
) -> Firing:
    return Firing(
        state=state,
        charge_kg=usual.charge_kg * charge,
        burn_s=usual.burn_s,
        every_s=usual.every_s * every,
        loads=usual.loads * loads,
        assumed=True,
        path=(*usual.path[:-1], state),
    )


def _compare(
    firing: Record, state: FiringState, usual: Firing, *, milder: Firing, harder: Firing
) -> None:
    """Note a hardest firing that the usual one beats both in wood at once and in wood a day, and
    a least firing that beats the usual one in both."""
    at_once = milder.charge_kg * milder.loads, harder.charge_kg * harder.loads
    a_day = at_once[0] / milder.every_s, at_once[1] / harder.every_s
    if at_once[0] < at_once[1] and a_day[0] < a_day[1]:
        word = "milder" if state == "hardest" else "harder"
        firing.note(
            state, f"the {state} firing is {word} than the usual one",
            "check charge, loads and interval of both", at_key=True,
        )  # fmt: skip
