"""A row of text -> a Material. The only place that knows the keys of the data files.

A row holds `title`, `family` (a class of `classes.toml`), `usable_as` (layer, sacrificial or
reinforcement) and blocks. Every block has `grade`, `source` and `keys` (of `data-sources.toml`),
and may have a `note`:

- `density_kg_m3`, `emissivity`, `expansion_1e6_K`, `youngs_modulus_GPa`, `poisson`,
  `flexural_strength_MPa`, `compressive_strength_MPa`: `value = [low, typical, high]`;
- `conductivity_W_mK`, `specific_heat_J_kgK`: `points = [[degC, value], ...]`, and what
  `stovelint.catalogue.curve` says of bands, limits and what lies beyond the table;
- `free_strain`: `curve` of `structural-fire.toml`; `reinforcement`: `form` (bar, wire, needle or
  textile), `diameter_mm = [low, typical, high]` as sold, `coating`;
- `max_service`, `max_peak`: `C` and what `fails`; `combustible`: `value`;
- `thermal_shock`, `moisture`, `respirable_hazard`, `placement`, `expansion_events`,
  `strength_retention`: kept whole in `Material.raw`.

A property without a figure to stand behind is left out, never guessed.
"""

from __future__ import annotations

from typing import Literal, Mapping, cast

from stovelint.catalogue.curve import Curve, build_curve
from stovelint.catalogue.records import (
    Cap, Form, Material, Reinforces, StrainCurve, Triple, UsableAs,
)  # fmt: skip
from stovelint.errors import CatalogueError

Row = Mapping[str, object]

CURVES = {"conductivity_W_mK": "conductivity", "specific_heat_J_kgK": "specific heat"}
USES = ("layer", "sacrificial", "reinforcement")
FORMS = ("bar", "wire", "needle", "textile")
STRAIN_CURVES = ("siliceous", "calcareous", "steel")


def build_material(name: str, row: Row, classes: Mapping[str, Row]) -> Material:
    """Material of one row.

    name: its catalogue name. row: the parsed text. classes: parsed `classes.toml`.
    Raises CatalogueError, naming the material and the key, when the row is not whole.
    """
    try:
        return _material(name, row, classes)
    except (KeyError, TypeError, ValueError) as error:
        raise CatalogueError(
            f"the catalogue row of {name} is not whole: {error}",
            "give every figure its value, grade and source",
        ) from error


def _material(name: str, row: Row, classes: Mapping[str, Row]) -> Material:
    family = str(row["family"])
    class_row = classes[family]
    use = str(row["usable_as"])
    if use not in USES:
        raise ValueError(f"usable_as is {use}, not one of {', '.join(USES)}")
    burns = _block(row, "combustible")
    value = burns["value"] is True
    return Material(
        name=name,
        title=str(row["title"]),
        family=family,
        usable_as=cast(UsableAs, use),
        density_kg_m3=_triple(_block(row, "density_kg_m3")),
        conductivity=_curve(name, "conductivity_W_mK", row, class_row, classes["any"]),
        specific_heat=_curve(name, "specific_heat_J_kgK", row, class_row, classes["any"]),
        emissivity=_emissivity(row, class_row),
        expansion_1e6_K=_maybe(row, "expansion_1e6_K"),
        youngs_modulus_GPa=_maybe(row, "youngs_modulus_GPa"),
        poisson=_maybe(row, "poisson"),
        flexural_strength_MPa=_maybe(row, "flexural_strength_MPa"),
        compressive_strength_MPa=_maybe(row, "compressive_strength_MPa"),
        max_service=_cap(_block(row, "max_service")),
        max_peak=_cap(_block(row, "max_peak")),
        combustible=value,
        combustible_grade=str(burns["grade"]),
        treat_as_combustible=cast(
            Literal["no", "yes", "check listing"],
            "yes" if value else str(burns.get("treat_as_combustible", "no")),
        ),
        thermal_shock=str(_block(row, "thermal_shock")["class"]),
        moisture_risk=str(_block(row, "moisture")["risk"]),
        placement=str(_block(row, "placement")["note"]),
        hazard=str(_block(row, "respirable_hazard")["note"]),
        free_strain=_free_strain(row),
        reinforces=_reinforces(row),
        soft=row.get("soft", class_row.get("soft")) is True,
        raw=row,
    )


def _block(row: Row, key: str) -> Row:
    return cast(Row, row[key])


def _triple(block: Row) -> Triple:
    low, typical, high = (float(x) for x in cast(list[float], block["value"]))
    return Triple(
        low=low, typical=typical, high=high, grade=str(block["grade"]), source=str(block["source"])
    )


def _maybe(row: Row, key: str) -> Triple | None:
    return _triple(_block(row, key)) if key in row else None


def _emissivity(row: Row, class_row: Row) -> Triple:
    if "emissivity" in row:
        return _triple(_block(row, "emissivity"))
    own = _triple(_block(class_row, "emissivity"))
    return Triple(
        low=own.low, typical=own.typical, high=own.high, grade=own.grade,
        source=f"default of the class {class_row['title']}: {own.source}",
    )  # fmt: skip


def _free_strain(row: Row) -> StrainCurve | None:
    if "free_strain" not in row:
        return None
    curve = _block(row, "free_strain")["curve"]
    if curve not in STRAIN_CURVES:
        raise ValueError(f"free_strain is {curve}, not one of {', '.join(STRAIN_CURVES)}")
    return cast(StrainCurve, curve)


def _reinforces(row: Row) -> Reinforces | None:
    if "reinforcement" not in row:
        return None
    block = _block(row, "reinforcement")
    if block["form"] not in FORMS:
        raise ValueError(f"its form is {block['form']}, not one of {', '.join(FORMS)}")
    sold: tuple[float, float, float] | None = None
    if "diameter_mm" in block:
        low, typical, high = (float(x) for x in cast(list[float], block["diameter_mm"]))
        if not 0.0 < low <= typical <= high:
            raise ValueError("diameter_mm is not [low, typical, high]")
        sold = (low, typical, high)
    coating = block.get("coating")
    return Reinforces(
        form=cast(Form, block["form"]), diameter_mm=sold,
        coating=None if coating is None else str(coating), grade=str(block["grade"]),
        source=str(block["source"]),
    )  # fmt: skip


def _cap(block: Row) -> Cap:
    return Cap(
        C=float(cast(float, block["C"])), fails=str(block["fails"]), grade=str(block["grade"]),
        source=str(block["source"]),
    )  # fmt: skip


def _curve(name: str, key: str, row: Row, class_row: Row, any_row: Row) -> Curve | None:
    if key not in row:
        return None
    return build_curve(
        f"{CURVES[key]} of {name}", _block(row, key), _block(class_row, key), _block(any_row, key)
    )
