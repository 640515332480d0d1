"""The heater as frozen records in SI units. Each record keeps the path it was read from.

These records know nothing of file formats, temperatures or rules.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Mapping

from stovelint.place import Path

Side = Literal["front", "back", "left", "right", "end", "above", "below"]
ChamberKind = Literal[
    "firebox", "riser", "bell", "bench", "flue-run", "oven", "barrel", "buried-pipe", "chimney"
]
PartKind = Literal[
    "wall", "cap", "floor", "door", "glass", "cook-plate", "bench-top", "facing", "partition",
    "base", "lintel", "hearth-extension",
]  # fmt: skip
FiringState = Literal["usual", "hardest", "least"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Site:
    room_C: float = 20.0
    outdoors_C: float = 0.0
    ground_C: float = 10.0
    altitude_m: float = 0.0
    path: Path = ("site",)


@dataclass(frozen=True, kw_only=True, slots=True)
class Firing:
    """One firing state: `loads` batches of `charge_kg`, each burning `burn_s`, every `every_s`."""

    state: FiringState
    charge_kg: float
    burn_s: float
    every_s: float
    loads: int
    assumed: bool
    """True when the file did not give this state and it was derived from `usual`."""
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Fuel:
    kind: Literal["softwood", "hardwood"]
    moisture: float
    """Water as a fraction of the wood as fired (wet basis)."""
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Damper:
    """After the burn. `after_burn` None: not said, so both ends are computed."""

    after_burn: Literal["open", "ajar", "tight"] | None
    share: float | None
    """Share of the burn's flow that still passes when ajar."""
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Size:
    """Inside size of a chamber, m. Upright ones have width/depth or diameter, and height;
    lying ones (bench, flue run, buried pipe) have length, and width/height or diameter."""

    width_m: float | None = None
    depth_m: float | None = None
    height_m: float | None = None
    length_m: float | None = None
    diameter_m: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Port:
    """A way from one chamber to another: one-way in `leads_to`, two-way in `opens_to`."""

    to: str
    share: float | None
    """Share of the gas of the chamber that it leaves (1 when it is the only way); None: not stated,
    the gas parts by itself."""
    area_m2: float | None
    at_m: float | None
    """Elevation of the centre of the port above the datum."""
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Declared:
    """What the maker of a bought core states when its inside is not known."""

    wall_C: float
    exit_C: float
    source: str
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Chamber:
    name: str
    kind: ChamberKind
    size: Size
    bottom_m: float
    inside: str | None
    """Name of the chamber this one stands in (a core in a bell)."""
    leads_to: tuple[Port, ...]
    opens_to: tuple[Port, ...]
    leaves_at_m: float | None
    declared: Declared | None
    bends: int | None = None
    """Sharp right-angle turns of the gas on its way through a run; None: not said."""
    air_inlet_m2: float | None = None
    """Free area of the openings through which a firebox draws its air; None: not said."""
    fire: Literal["open"] | None = None
    """Of a firebox: `open` where the fire burns freely on a floor that it does not fill."""
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Reinforcement:
    kind: str
    """A catalogue name (`rebar`, `chicken-wire`, `stainless-needles` ...)."""
    diameter_m: float | None
    cover_m: float | None
    """From the hot-side surface of its layer to the surface of the bar."""
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Gap:
    """Air between two things. `bottom_m2_m` and `top_m2_m`: open area per metre of width."""

    kind: Literal["closed", "vented"]
    bottom_m2_m: float | None
    top_m2_m: float | None
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Joists:
    """A layer of joists side by side; the layer's thickness is their depth."""

    width_m: float
    spacing_m: float
    """From middle to middle."""
    between: str
    """`open`: nothing, and nothing under them; `closed`: air over the layer that follows; else
    the catalogue name of what fills the space."""
    path: Path

    @property
    def share(self) -> float:
        """Of the floor that lies over a joist."""
        return self.width_m / self.spacing_m


@dataclass(frozen=True, kw_only=True, slots=True)
class Ties:
    """Metal pins through a layer, let in on both of its sides."""

    material: str
    diameter_m: float
    each_m: float
    into_m: float | None
    """None: not said."""
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Tees:
    """Steel tees that carry a layer, their flanges on its hot face, their webs in it."""

    material: str
    web_m: float
    """Height of the web."""
    thick_m: float
    each_m: float
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Layer:
    """One layer, hot face first. Either `material` or `gap` is set, never both."""

    material: str | None
    gap: Gap | None
    thickness_m: float
    mortar: str | None
    joint_m: float | None
    set: Literal["bonded", "loose"] | None
    cores: Literal["upright", "level", "filled"] | None
    """How the cores of a hollow unit lie; level open cores let air pass."""
    pieces_m: tuple[float, float] | None
    span_m: float | None
    held: str | None
    carried_by: str | None
    reinforcement: Reinforcement | None
    role: Literal["sacrificial"] | None
    path: Path
    joists: Joists | None = None
    """Set: the material only fills the joists' own width."""
    ties: Ties | None = None
    tees: Tees | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Courses:
    """Courses `first` to `last` (1-based, inclusive) of a named gauge."""

    gauge: str
    first: int
    last: int
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Bearing:
    """How a cap rests on its wall: width of the rest, and what is left of soft insulation there."""

    width_m: float
    insulation_m: float | None
    """Thickness of the part's soft hot-side insulation where it is squeezed by the bearing;
    None: not said."""
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """What bounds one or more chambers. For `between: [a, b]`, `bounds` is (a,) and `faces` is b."""

    name: str
    kind: PartKind
    bounds: tuple[str, ...]
    faces: str
    """`room`, `outdoors`, `ground`, `cavity`, or the name of a chamber."""
    sides: tuple[Side, ...]
    """Empty: all the sides that this kind of part can have."""
    from_m: float | None
    """Elevations above the datum; None: the whole height of the chamber."""
    to_m: float | None
    along_m: tuple[float, float] | None
    courses: Courses | None
    area_m2: float | None
    bearing: Bearing | None
    carried_by: str | None
    layers: tuple[Layer, ...]
    path: Path
    shape: Literal["dome", "vault"] | None = None
    rise_m: float | None = None
    """Of a dome or vault over its springing; None: half its span."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Shield:
    kind: str
    air_m: float
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Surrounding:
    """Something near the heater, at `distance_m` from its outer face on side `at`."""

    name: str
    at: Side
    distance_m: float
    gap: Gap | None
    shield: Shield | None
    layers: tuple[Layer, ...]
    path: Path
    on: str | None = None
    """The part that it touches; None: whatever it sees on its side."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Variance:
    name: str
    rule: str
    part: str
    reason: str
    who: str
    until: str | None
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Build:
    """The whole plan."""

    title: str
    drawing: str | None
    jurisdiction: str | None
    by_others: Mapping[str, str]
    site: Site
    fuel: Fuel
    firings: Mapping[FiringState, Firing]
    """Always holds `usual`, `hardest` and `least`."""
    damper: Damper
    gauges_m: Mapping[str, float]
    chambers: Mapping[str, Chamber]
    parts: Mapping[str, Part]
    surroundings: Mapping[str, Surrounding]
    variances: Mapping[str, Variance]
    path: Path = ()
