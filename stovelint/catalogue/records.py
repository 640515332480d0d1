"""What the catalogue hands out: frozen records, each figure with its grade and source."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Mapping

from stovelint.catalogue.curve import Curve

UsableAs = Literal["layer", "sacrificial", "reinforcement"]
Form = Literal["bar", "wire", "needle", "textile"]
StrainCurve = Literal["siliceous", "calcareous", "steel"]


@dataclass(frozen=True, kw_only=True)
class Triple:
    """A figure that does not follow temperature, with its range. Unit as its field name says."""

    low: float
    typical: float
    high: float
    grade: str
    source: str


@dataclass(frozen=True, kw_only=True)
class Cap:
    """A design cap on temperature and what fails above it. A test temperature is no cap."""

    C: float
    fails: str
    grade: str
    source: str


@dataclass(frozen=True, kw_only=True)
class Reinforces:
    """In what shape a material lies in the body that it holds together."""

    form: Form
    """`needle`: short pieces spread through the mix, so there is no depth to name."""
    diameter_mm: tuple[float, float, float] | None
    """[low, typical, high] as sold; None where thickness decides nothing."""
    coating: str | None
    """What covers it and may burn off: `zinc`."""
    grade: str
    source: str


@dataclass(frozen=True, kw_only=True, repr=False, eq=False)
class Material:
    """One material of the catalogue. A property that is None has no figure to stand behind."""

    name: str
    title: str
    family: str
    """Its class: `natural-stone`, `portland-concrete` ..."""
    usable_as: UsableAs
    density_kg_m3: Triple
    conductivity: Curve | None
    """W/(m K). For hollow blocks: of an equal solid, cores empty."""
    specific_heat: Curve | None
    """J/(kg K), dry."""
    emissivity: Triple
    """Its own, or else that of its class (then the source says so)."""
    expansion_1e6_K: Triple | None
    youngs_modulus_GPa: Triple | None
    poisson: Triple | None
    flexural_strength_MPa: Triple | None
    compressive_strength_MPa: Triple | None
    max_service: Cap
    """Held for long: compare the mean."""
    max_peak: Cap
    """Short excursions: compare the peak."""
    combustible: bool
    combustible_grade: str
    treat_as_combustible: Literal["no", "yes", "check listing"]
    """Clearance rules may count more as combustible than burns (paper-faced board)."""
    thermal_shock: str
    """`very-high`, `high`, `medium-high`, `medium`, `low-medium`, `low`, `not-brittle` or
    `not-applicable`; set from literature or practice, never from a formula."""
    moisture_risk: str
    placement: str
    hazard: str
    free_strain: StrainCurve | None
    """Curve of `structural-fire.toml` that it grows by; None: by its mean expansion alone."""
    reinforces: Reinforces | None
    """None: not sold to hold a body together."""
    soft: bool
    """Gives way when squeezed: thinner under a bearing than in the span."""
    raw: Mapping[str, object]
    """The whole row as read."""


@dataclass(frozen=True, kw_only=True)
class ClassVerdict:
    """Which members of one class stand given temperatures, names in order."""

    family: str
    title: str
    may: tuple[str, ...]
    may_not: tuple[str, ...]
