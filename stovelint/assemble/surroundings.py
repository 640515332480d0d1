"""What stands near the heater."""

from __future__ import annotations

from typing import cast

from stovelint.assemble import bounds
from stovelint.assemble.layers import read_gap, read_layers
from stovelint.assemble.reader import Record
from stovelint.build import Shield, Side, Surrounding


def read_surroundings(plan: Record) -> dict[str, Surrounding]:
    parts = plan.names("parts")
    return {name: _read_one(name, record, parts) for name, record in plan.entries("surroundings")}


def _read_one(name: str, record: Record, parts: tuple[str, ...]) -> Surrounding:
    distance_m = record.number("distance", bounds.DISTANCE)
    gap = record.child("gap")
    shield = record.child("shield")
    on = record.maybe_text("on")
    if on is not None and on not in parts:
        record.sheet.unknown(record.at("on"), on, "part", parts)
    elif on is not None and distance_m > 0.0:
        message = f"`{name}` lies on `{on}` and stands away from it"
        record.note("distance", message, "write `distance: 0 mm`, or delete `on`")
    for key in ("gap", "shield"):
        if on in parts and record.has(key):
            message = f"what lies on `{on}` has no {key} before it"
            record.note(key, message, f"delete `{key}`, or `on`", at_key=True)
    return Surrounding(
        name=name,
        at=cast(Side, record.text("at")),
        distance_m=distance_m,
        gap=None if gap is None else read_gap(gap),
        shield=None if shield is None else _read_shield(shield, distance_m, on),
        layers=read_layers(record),
        path=record.path,
        on=on,
    )


def _read_shield(shield: Record, distance_m: float, on: str | None) -> Shield:
    air_m = shield.number("air", bounds.GAP)
    if air_m > distance_m and on is None:  # what lies on a part has no shield at all
        message = "the shield stands farther out than the heater's face"
        shield.note("air", message, "check `air` against the `distance`")
    return Shield(kind=shield.text("kind"), air_m=air_m, path=shield.path)
