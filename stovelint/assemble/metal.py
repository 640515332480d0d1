"""Ties through a layer, and tees that carry it."""

from __future__ import annotations

from stovelint.assemble import bounds
from stovelint.assemble.reader import Record
from stovelint.build import Tees, Ties
from stovelint.quantity import format_length


def read_ties(layer: Record) -> Ties | None:
    record = layer.child("ties")
    if record is None:
        return None
    found = Ties(
        material=record.text("material"),
        diameter_m=record.number("diameter", bounds.BAR),
        each_m=record.number("each", bounds.SPAN),
        into_m=record.maybe("into", bounds.SMALL),
        path=record.path,
    )
    if found.diameter_m >= found.each_m:
        message = "ties thicker than they stand apart leave nothing between them"
        record.note("each", message, "give the distance from middle to middle")
    return found


def read_tees(layer: Record, thickness_m: float) -> Tees | None:
    record = layer.child("tees")
    if record is None:
        return None
    found = Tees(
        material=record.text("material"),
        web_m=record.number("web", bounds.THICKNESS),
        thick_m=record.number("thick", bounds.BAR),
        each_m=record.number("each", bounds.SPAN),
        path=record.path,
    )
    if found.web_m > thickness_m:
        message = f"the web stands out of its layer of {format_length(thickness_m)}"
        record.note("web", message, "check `web` and `thickness`")
    if found.thick_m >= found.each_m:
        message = "webs thicker than they stand apart leave nothing between them"
        record.note("each", message, "give the distance from middle to middle")
    if layer.has("ties"):
        message = "a layer has `ties` or `tees`, not both"
        layer.note("tees", message, "keep what leads more heat", at_key=True)
    return found
