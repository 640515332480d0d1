"""A build file as plain records in SI units, read by the referee's own eyes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

UNITS: dict[str, float] = {
    "mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254, '"': 0.0254, "ft": 0.3048, "'": 0.3048,
    "mm2": 1e-6, "cm2": 1e-4, "m2": 1.0, "in2": 0.0254**2, "ft2": 0.3048**2,
    "kg": 1.0, "g": 1e-3, "lb": 0.45359237, "s": 1.0, "min": 60.0, "h": 3600.0, "d": 86400.0,
    "%": 0.01, "degC": 1.0,
}  # fmt: skip
"""Exact factors to SI (international inch and pound)."""
UPRIGHT = ("firebox", "riser", "bell", "oven", "barrel", "chimney")


def number(text: str) -> float:
    """`4 1/2 in`, `-5 degC`, `2 ft 6 in` -> SI; degF to degC; every number has a unit."""
    plain = str(text).strip()
    sign = -1.0 if plain.startswith("-") else 1.0
    total, rest = 0.0, plain.lstrip("-")
    while rest:
        found = re.match(r"\s*([\d.]+(?:[ -]\d+/\d+)?|\d+/\d+)\s*([A-Za-z%\"'][A-Za-z]*2?)", rest)
        if found is None:
            raise ValueError(f"no quantity: {text!r}")
        value = float(sum(Fraction(part) for part in re.split("[ -]", found[1])))
        if found[2] == "degF":
            return (sign * value - 32.0) / 1.8
        total += value * UNITS[found[2]]
        rest = rest[found.end() :].strip(" -")
    return sign * total


@dataclass(frozen=True, kw_only=True)
class Layer:
    material: str | None
    """None: air."""
    thickness: float
    filled: bool


@dataclass(frozen=True, kw_only=True)
class Part:
    name: str
    kind: str
    bounds: tuple[str, ...]
    faces: str
    sides: tuple[str, ...]
    low: float | None
    high: float | None
    along: tuple[float, float] | None
    area: float | None
    layers: tuple[Layer, ...]


@dataclass(frozen=True, kw_only=True)
class Port:
    to: str
    share: float
    area: float | None
    at: float | None


@dataclass(frozen=True, kw_only=True)
class Chamber:
    """`across`: the two horizontal (lying: width and height) sides, or twice the diameter."""

    name: str
    kind: str
    round: bool
    width: float
    depth: float
    height: float
    length: float
    bottom: float
    inside: str | None
    leads_to: tuple[Port, ...]
    opens_to: tuple[Port, ...]
    leaves_at: float | None

    @property
    def lying(self) -> bool:
        return self.kind not in UPRIGHT


@dataclass(frozen=True, kw_only=True)
class Firing:
    charge: float
    burn: float
    every: float
    loads: int


@dataclass(frozen=True, kw_only=True)
class Plan:
    room: float
    outdoors: float
    ground: float
    wood: str
    moisture: float
    after_burn: str | None
    share: float | None
    firings: dict[str, Firing]
    chambers: dict[str, Chamber]
    parts: dict[str, Part]


def maybe(row: dict[str, Any], key: str) -> float | None:
    return number(row[key]) if key in row else None


def read_plan(path: Path) -> Plan:
    """Everything of a build file that heat depends on; the file is taken to be sound."""
    tree: dict[str, Any] = YAML(typ="safe", pure=True).load(path.read_text(encoding="utf-8"))
    site, firing = tree.get("site", {}), tree["firing"]
    gauges = {k: number(v) for k, v in tree.get("coursing", {}).get("gauges", {}).items()}
    damper = firing.get("damper", {})
    states = {s: _firing(firing[s]) for s in ("usual", "hardest", "least") if s in firing}
    usual = states["usual"]
    states.setdefault(
        "hardest",
        Firing(charge=usual.charge, burn=usual.burn, every=usual.every, loads=2 * usual.loads),
    )
    return Plan(
        room=number(site.get("room", "20 degC")), outdoors=number(site.get("outdoors", "0 degC")),
        ground=number(site.get("ground", "10 degC")), wood=firing["wood"],
        moisture=number(firing["moisture"]), after_burn=damper.get("after_burn"),
        share=maybe(damper, "share"), firings=states,
        chambers={name: _chamber(name, row) for name, row in tree["chambers"].items()},
        parts={name: _part(name, row, gauges) for name, row in tree["parts"].items()},
    )  # fmt: skip


def _words(value: str | list[str]) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else tuple(value)


def _firing(row: dict[str, Any]) -> Firing:
    return Firing(
        charge=number(row["charge"]), burn=number(row["burn"]), every=number(row["every"]),
        loads=int(row.get("loads", 1)),
    )  # fmt: skip


def _chamber(name: str, row: dict[str, Any]) -> Chamber:
    size = {key: number(value) for key, value in row["size"].items()}
    across = size.get("diameter", 0.0)
    lying = row["kind"] not in UPRIGHT
    leaves = maybe(row, "leaves_at")
    ways = row.get("leads_to", {})
    ways = {ways: {}} if isinstance(ways, str) else ways
    ports = [
        Port(
            to=to, share=number(way["share"]) if "share" in way else 1.0, area=maybe(way, "area"),
            at=maybe(way, "at") if "at" in way or len(ways) > 1 else leaves,
        )
        for to, way in ways.items()
    ]  # fmt: skip
    total = sum(port.share for port in ports)
    return Chamber(
        name=name, kind=row["kind"], round="diameter" in size, width=size.get("width", across),
        depth=size.get("depth", across), height=size.get("height", across),
        length=size["length"] if lying else size.get("height", across),
        bottom=number(row.get("bottom", "0 m")), inside=row.get("inside"),
        leads_to=tuple(
            Port(to=p.to, share=p.share / total, area=p.area, at=p.at) for p in ports
        ),
        opens_to=tuple(
            Port(to=to, share=0.0, area=number(way["area"]), at=maybe(way, "at"))
            for to, way in row.get("opens_to", {}).items()
        ),
        leaves_at=leaves,
    )  # fmt: skip


def _part(name: str, row: dict[str, Any], gauges: dict[str, float]) -> Part:
    low, high = maybe(row, "from"), maybe(row, "to")
    if "courses" in row:
        found = re.fullmatch(r"([a-z][a-z0-9-]*) (\d+)(?: ?- ?(\d+))?", row["courses"])
        assert found is not None, row["courses"]
        low = (int(found[2]) - 1) * gauges[found[1]]
        high = int(found[3] or found[2]) * gauges[found[1]]
    along = None
    if "along" in row:
        start, end = re.split(r" to |(?<=[\d a-z])\s*-\s*", row["along"], maxsplit=1)
        unit = re.sub(r"^[\d./ -]*", "", end)
        along = (number(start if re.search("[a-z]", start) else f"{start} {unit}"), number(end))
    pair = row.get("between")
    bounds = pair[:1] if pair else row["bounds"]
    return Part(
        name=name, kind=row["kind"], bounds=_words(bounds),
        faces=pair[1] if pair else row["faces"], sides=_words(row.get("sides", ())),
        low=low, high=high, along=along, area=maybe(row, "area"),
        layers=tuple(_layer(layer) for layer in row["layers"]),
    )  # fmt: skip


def _layer(row: dict[str, Any]) -> Layer:
    if "gap" in row:
        return Layer(material=None, thickness=number(row["gap"]), filled=False)
    burns_out = row.get("role") == "sacrificial"
    return Layer(
        material=None if burns_out else row["material"], thickness=number(row["thickness"]),
        filled=row.get("cores") == "filled",
    )  # fmt: skip
