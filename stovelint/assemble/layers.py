"""Layers, air gaps and reinforcement."""

from __future__ import annotations

from typing import Literal, cast

from stovelint.assemble import bounds
from stovelint.assemble.metal import read_tees, read_ties
from stovelint.assemble.reader import Record
from stovelint.build import Gap, Joists, Layer, Reinforcement
from stovelint.quantity import format_length
from stovelint.quantity.numbers import shown

_OF_MATERIAL = (
    "thickness", "mortar", "joint", "set", "cores", "pieces", "span", "held", "carried_by",
    "reinforcement", "role", "joists", "ties", "tees",
)  # fmt: skip
_OF_GAP = ("kind", "bottom", "top")


def read_layers(owner: Record) -> tuple[Layer, ...]:
    """The layers of a part or surrounding, as listed. At least one is of a material."""
    records = list(owner.records("layers"))
    layers = tuple(_read_layer(record) for record in records)
    for place, record in enumerate(records):
        _check_joists(owner, record, place == len(records) - 1)
    if records and all(record.has("gap") and not record.has("material") for record in records):
        owner.note("layers", "there is air only", "add a layer of a material", at_key=True)
    return layers


def read_gap(record: Record) -> Gap:
    """A gap, from a record with `kind`, `bottom` and `top`."""
    kind = record.text("kind")
    for key in ("bottom", "top"):
        if kind == "closed" and record.has(key):
            message = f"a closed gap has no open area at its {key}"
            record.note(key, message, f"delete `{key}`, or say `kind: vented`", at_key=True)
    return Gap(
        kind=cast(Literal["closed", "vented"], kind),
        bottom_m2_m=record.maybe("bottom", bounds.VENT),
        top_m2_m=record.maybe("top", bounds.VENT),
        path=record.path,
    )


def _read_layer(record: Record) -> Layer:
    if record.has("gap") and not record.has("material"):
        return _read_gap_layer(record)
    for key in _OF_GAP:
        if record.has(key) and not record.has("gap"):
            message = f"`{key}` belongs to a gap, and this layer has a material"
            remedy = "give the gap a layer of its own: {gap: 10 mm, kind: closed}"
            record.note(key, message, remedy, at_key=True)
    thickness_m = record.number("thickness", bounds.THICKNESS)
    return Layer(
        material=record.text("material"),
        gap=None,
        thickness_m=thickness_m,
        mortar=record.maybe_text("mortar"),
        joint_m=record.maybe("joint", bounds.SMALL),
        set=cast("Literal['bonded', 'loose'] | None", record.maybe_text("set")),
        cores=cast("Literal['upright', 'level', 'filled'] | None", record.maybe_text("cores")),
        pieces_m=_read_pieces(record),
        span_m=record.maybe("span", bounds.SPAN),
        held=record.maybe_text("held"),
        carried_by=record.maybe_text("carried_by"),
        reinforcement=_read_reinforcement(record, thickness_m),
        role=cast("Literal['sacrificial'] | None", record.maybe_text("role")),
        path=record.path,
        joists=_read_joists(record),
        ties=read_ties(record),
        tees=read_tees(record, thickness_m),
    )


def _read_joists(layer: Record) -> Joists | None:
    record = layer.child("joists")
    if record is None:
        return None
    found = Joists(
        width_m=record.number("width", bounds.SPAN),
        spacing_m=record.number("spacing", bounds.SPAN),
        between=record.text("between"),
        path=record.path,
    )
    if found.width_m >= found.spacing_m:
        message = "joists wider than they stand apart leave nothing between them"
        record.note("spacing", message, "give the distance from middle to middle, or no `joists`")
    return found


def _check_joists(owner: Record, layer: Record, last: bool) -> None:
    record = layer.child("joists")
    if record is None or layer.maybe_text("material") is None:
        return  # of a gap it is noted where the layer is read
    kind = owner.maybe_text("kind")
    if kind is not None and kind not in ("floor", "base"):
        remedy = "delete it; it goes with: floor, base"
        layer.note("joists", f"a {shown(kind)} has no joists", remedy, at_key=True)
        return
    between = record.text("between")
    if between == "open" and not last:
        message = "between the joists it is open, and yet a layer follows"
        record.note("between", message, "write `between: closed`, or put the joists last")
    if between == "closed" and last:
        message = "the space between the joists is closed, and nothing closes it"
        record.note("between", message, "add what is under them as a layer, or write `open`")


def _read_gap_layer(record: Record) -> Layer:
    for key in _OF_MATERIAL:
        if record.has(key):
            message = f"`{key}` belongs to a material, and this layer is a gap"
            record.note(key, message, "delete it, or name the material", at_key=True)
    return Layer(
        material=None,
        gap=read_gap(record),
        thickness_m=record.number("gap", bounds.GAP),
        mortar=None,
        joint_m=None,
        set=None,
        cores=None,
        pieces_m=None,
        span_m=None,
        held=None,
        carried_by=None,
        reinforcement=None,
        role=None,
        path=record.path,
    )


def _read_pieces(record: Record) -> tuple[float, float] | None:
    sides = record.parsed("pieces", "pieces")
    if sides is None:
        return None
    bound = bounds.SPAN
    if not bound.low <= min(sides) <= max(sides) <= bound.high:
        message = f"`pieces`: {' '.join(record.text('pieces').split())} cannot be meant"
        record.note("pieces", message, f"check numbers and units; believed is {bound.text()}")
        return None
    return float(sides[0]), float(sides[1])


def _read_reinforcement(layer: Record, thickness_m: float) -> Reinforcement | None:
    record = layer.child("reinforcement")
    if record is None:
        return None
    found = Reinforcement(
        kind=record.text("kind"),
        diameter_m=record.maybe("diameter", bounds.BAR),
        cover_m=record.maybe("cover", bounds.SMALL),
        path=record.path,
    )
    if found.cover_m is not None and found.cover_m + (found.diameter_m or 0.0) > thickness_m:
        message = f"the bar lies outside its layer of {format_length(thickness_m)}"
        remedy = "check `cover`, `diameter` and `thickness`"
        record.note("cover", message, remedy)
    return found
