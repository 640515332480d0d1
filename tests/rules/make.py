"""Hand-made plans and heat for the rules, so that a rule is tested without a solver."""

from __future__ import annotations

from dataclasses import replace
from typing import Mapping, Sequence

import numpy as np

from stovelint import rulebook
from stovelint.build import (
    Bearing,
    Build,
    Chamber,
    ChamberKind,
    Courses,
    Damper,
    Firing,
    FiringState,
    Fuel,
    Gap,
    Layer,
    Part,
    PartKind,
    Shield,
    Side,
    Site,
    Size,
    Surrounding,
)
from stovelint.catalogue import Catalogue
from stovelint.hotmap.records import (
    BodyHeat,
    CombustibleHeat,
    CycleHeat,
    DepthHeat,
    HotMap,
    LayerHeat,
    OutputHeat,
    PatchHeat,
    PieceHeat,
    Spread,
    Unsolved,
)
from stovelint.place import Entry, Mark, Path, Places, Span
from stovelint.review import Run, run_rule
from stovelint.rule import Limit, Limits, LimitTable
from tests.tree import RULES

CASES = 32
RULE_NAMES = tuple(
    sorted(path.name for path in RULES.iterdir() if path.is_dir() and path.name[0] not in "_.")
)
CATALOGUE = Catalogue()


def spread(*values: float) -> Spread:
    """One value for all cases, or one for each."""
    array = np.full(CASES, values[0]) if len(values) == 1 else np.array(values, dtype=float)
    return Spread(values=array, floor=array)


def layer(
    material: str | None = None, thickness_m: float = 0.1, *, gap: str = "", cores: str = "",
    role: str = "", openings: tuple[float | None, float | None] = (None, None),
) -> Layer:  # fmt: skip
    """A layer without a path; `part` and `surrounding` give it one."""
    kind = {"closed": "closed", "vented": "vented", "": None}[gap]
    return Layer(
        material=material,
        gap=None if kind is None else Gap(
            kind="closed" if kind == "closed" else "vented",
            bottom_m2_m=openings[0], top_m2_m=openings[1], path=(),
        ),
        thickness_m=thickness_m, mortar=None, joint_m=None, set=None,
        cores={"": None, "upright": "upright", "level": "level", "filled": "filled"}[cores],
        pieces_m=None, span_m=None, held=None, carried_by=None, reinforcement=None,
        role="sacrificial" if role else None, path=(),
    )  # fmt: skip


def part(
    name: str, kind: PartKind, layers: Sequence[Layer], *, bounds: Sequence[str] = ("bell",),
    faces: str = "room", sides: Sequence[Side] = (), courses: tuple[str, int, int] | None = None,
) -> Part:  # fmt: skip
    path: Path = ("parts", name)
    return Part(
        name=name, kind=kind, bounds=tuple(bounds), faces=faces, sides=tuple(sides), from_m=None,
        to_m=None, along_m=None,
        courses=None if courses is None else Courses(
            gauge=courses[0], first=courses[1], last=courses[2], path=(*path, "courses")
        ),
        area_m2=None, bearing=Bearing(width_m=0.1, insulation_m=None, path=(*path, "bearing")),
        carried_by=None,
        layers=tuple(replace(one, path=(*path, "layers", i)) for i, one in enumerate(layers)),
        path=path,
    )  # fmt: skip


def surrounding(
    name: str, at: Side, distance_m: float, layers: Sequence[Layer], *, gap: str = "vented",
    shield: tuple[str, float] | None = None,
    openings: tuple[float | None, float | None] = (None, None),
) -> Surrounding:  # fmt: skip
    path: Path = ("surroundings", name)
    return Surrounding(
        name=name, at=at, distance_m=distance_m,
        gap=None if not gap else Gap(
            kind="closed" if gap == "closed" else "vented", bottom_m2_m=openings[0],
            top_m2_m=openings[1], path=(*path, "gap"),
        ),
        shield=None if shield is None else Shield(
            kind=shield[0], air_m=shield[1], path=(*path, "shield")
        ),
        layers=tuple(replace(one, path=(*path, "layers", i)) for i, one in enumerate(layers)),
        path=path,
    )  # fmt: skip


def chamber(
    name: str, kind: ChamberKind, *, inside: str | None = None, top_m: float = 1.5
) -> Chamber:
    return Chamber(
        name=name, kind=kind, size=Size(width_m=0.8, depth_m=0.9, height_m=top_m), bottom_m=0.0,
        inside=inside, leads_to=(), opens_to=(), leaves_at_m=None, declared=None,
        path=("chambers", name),
    )  # fmt: skip


def build(
    parts: Sequence[Part] = (), surroundings: Sequence[Surrounding] = (), *,
    chambers: Sequence[Chamber] = (), jurisdiction: str | None = "IRC-2021",
    gauges_m: Mapping[str, float] | None = None,
) -> Build:  # fmt: skip
    states: tuple[FiringState, ...] = ("usual", "hardest", "least")
    firings: dict[FiringState, Firing] = {
        state: Firing(
            state=state, charge_kg=10.0, burn_s=4800.0, every_s=43200.0,
            loads=2 if state == "hardest" else 1, assumed=state != "usual", path=("firing", state),
        )
        for state in states
    }  # fmt: skip
    rooms = {one.name: one for one in (chambers or (chamber("bell", "bell"),))}
    return Build(
        title="Kiln Cottage", drawing="KC-01", jurisdiction=jurisdiction, by_others={},
        site=Site(), fuel=Fuel(kind="softwood", moisture=0.18, path=("firing", "wood")),
        firings=firings, damper=Damper(after_burn="ajar", share=0.03, path=("firing", "damper")),
        gauges_m=gauges_m or {"block": 0.2, "brick": 0.075}, chambers=rooms,
        parts={one.name: one for one in parts},
        surroundings={one.name: one for one in surroundings}, variances={},
    )  # fmt: skip


def depth(peak: Spread, mean: Spread) -> DepthHeat:
    return DepthHeat(
        depth_m=0.01, peak_C=peak, mean_C=mean, swing_K=spread(10.0), peak_at_s=7200.0
    )


def layer_heat(
    of: Layer, peak: Spread, mean: Spread, *, unjudged: str | None = None,
    bulk: Spread | None = None, hours: float = 0.0, through: Spread | None = None,
    rise: Spread | None = None, middle: Spread | None = None, face: DepthHeat | None = None,
) -> LayerHeat:  # fmt: skip
    """The same heat at every depth, except the mean of the middle where `bulk` says so and the
    hot face where `face` does; `middle` is what stays halfway through all the cycle (the peak when not said)."""
    at, half = depth(peak, mean), depth(peak, bulk or mean)
    depths = {0.0: face or at, 0.5 * of.thickness_m: half}
    return LayerHeat(
        layer=of, thickness_m=of.thickness_m,
        at=lambda depth_m: depths.get(depth_m, at),
        hours_above=lambda depth_m, limit_C: spread(hours), judged=lambda: (unjudged, ()),
        piece=lambda: PieceHeat(
            through_K=through or spread(0.0), rise_K=rise or spread(0.0),
            middle_C=(np.repeat((middle or peak).values[:, None], 2, axis=1),),
        ),
        body=lambda: BodyHeat(
            volume_m3=of.thickness_m, mean_C=(np.repeat(peak.values[:, None], 4, axis=1),),
            held_J=(np.repeat(3.6e6 * np.ones((CASES, 1)), 4, axis=1),), period_s=43200.0,
        ),
        history=lambda depth_m: (np.repeat(depths.get(depth_m, at).peak_C.values[:, None], 4,
                                           axis=1),),
    )  # fmt: skip


def patch(
    of: Part, layers: Sequence[LayerHeat], *, chamber: str = "bell", where: str = "span",
    from_m: float = 0.0, to_m: float = 1.0, along_m: tuple[float, float] | None = None,
) -> PatchHeat:  # fmt: skip
    return PatchHeat(
        part=of.name, chamber=chamber, where=where, from_m=from_m, to_m=to_m,
        along_m=along_m, area_m2=1.0,
        heat_in_kWh=spread(1.0), layers=tuple(layers),
    )  # fmt: skip


def combustible(
    name: str, of: Layer, peak: Spread, mean: Spread, *, covered: bool, seen: str = "wall",
    skin_C: float = 60.0,
) -> CombustibleHeat:  # fmt: skip
    return CombustibleHeat(
        surrounding=name, seen_part=seen, seen_where="0.00 to 1.00 m", layer=of, covered=covered,
        surface_peak_C=peak, surface_mean_C=mean, peak_C=peak, mean_C=mean,
        skin_peak_C=spread(skin_C), skin_mean_C=spread(skin_C),
    )  # fmt: skip


def hot(
    patches: Sequence[PatchHeat] = (), combustibles: Sequence[CombustibleHeat] = (), *,
    unsolved: Sequence[Unsolved] = (),
) -> HotMap:  # fmt: skip
    """The same heat in both states."""
    states: tuple[FiringState, ...] = ("usual", "hardest")
    return HotMap(
        cycles={
            state: CycleHeat(
                state=state, period_s=43200.0, burn_s=4800.0, patches=tuple(patches),
                combustibles=tuple(combustibles), chamber_peak_C={"bell": spread(600.0)},
                exit_burn_mean_C=spread(150.0), released_kWh=spread(40.0),
                to_room_share=spread(0.8), energy_gap=0.0002,
                output=lambda: (
                    OutputHeat(
                        masonry_W=np.tile([2000.0, 4000.0, 3000.0, 1000.0], (CASES, 1)),
                        openings_W=np.zeros((CASES, 4)),
                    ),
                ),
            )
            for state in states
        },
        unsolved=tuple(unsolved), assumptions=(),
    )  # fmt: skip


def places() -> Places:
    """Places that know only the root; a path is turned into a line by `stand`."""
    here = Mark(line=0, column=0, offset=0)
    span = Span(file="kiln.heater.yaml", start=here, end=here)
    return Places(entries={(): Entry(key=None, value=span)})


def open_rule(name: str) -> rulebook.Rule:
    return rulebook.open_folder(str(RULES / name), own=True)


def run(
    rule: rulebook.Rule, plan: Build, heat: HotMap, *, strict: bool = False,
    catalogue: Catalogue = CATALOGUE,
) -> Run:  # fmt: skip
    done = run_rule(rule, build=plan, hot=heat, catalogue=catalogue, strict=strict)
    assert done.crash is None, done.crash
    return done


def moved(rule: rulebook.Rule, name: str, factor: float) -> rulebook.Rule:
    """The rule with one of its limits moved; of a table, every value."""
    rows: dict[str, Limit] = dict(rule.limits.rows)
    tables: dict[str, LimitTable] = dict(rule.limits.tables)
    if name in tables:
        values = tuple(factor * value for value in tables[name].values)
        tables[name] = replace(tables[name], values=values)
    else:
        rows[name] = rows[name].scaled(factor)
    return replace(rule, limits=Limits(rows=rows, tables=tables))


def standing(material: str, service_C: float) -> tuple[str, Catalogue]:
    """A material that is like another but for how much it stands for long, and its catalogue."""
    row = dict(CATALOGUE._row(material))
    cap = row["max_service"]
    assert isinstance(cap, dict)
    name = f"quay-{material}"
    return name, Catalogue({name: {**row, "max_service": {**cap, "C": service_C}}})


def replace_skin(case: CombustibleHeat, skin: Spread) -> CombustibleHeat:
    return replace(case, skin_peak_C=skin, skin_mean_C=skin)
