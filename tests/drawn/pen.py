"""How single figures, materials and layers of a plan are drawn: usual ones, or any that can be."""

from __future__ import annotations

from typing import Any, Callable, Sequence, TypeVar

from stovelint.catalogue import Catalogue

Tree = dict[str, Any]
Item = TypeVar("Item")

CATALOGUE = Catalogue()
MATERIALS = tuple(CATALOGUE.names())
REINFORCEMENT = tuple(n for n in MATERIALS if CATALOGUE.get(n).reinforces is not None)
LAYERS = tuple(n for n in MATERIALS if n not in REINFORCEMENT)
MASONRY = (
    "clay-brick-common", "firebrick-medium-duty", "firebrick-low-duty", "soapstone", "granite",
    "adobe", "cob", "hollow-block-normal", "castable-dense-fireclay", "sandstone",
    "concrete-lightweight-expanded-clay", "salvaged-brick", "river-cobble", "aac-500",
)  # fmt: skip
CORES = (
    "firebrick-medium-duty", "firebrick-high-duty", "ifb-23", "ifb-26", "castable-dense-fireclay",
    "castable-insulating", "cac-concrete-chamotte", "vermiculite-board", "ceramic-fibre-board",
    "mild-steel", "clay-brick-common",
)  # fmt: skip
SLABS = (
    "concrete-normal-siliceous", "castable-dense-fireclay", "slate", "soapstone", "flagstone",
    "granite", "ceramic-tile", "cast-iron-grey", "firebrick-medium-duty",
)  # fmt: skip
FILLS = (
    "perlite-loose", "perlite-concrete-1-6", "sand-dry", "calcium-silicate-insulation",
    "cellular-glass", "expanded-clay-loose", "gravel-dry", "vermiculite-loose", "ifb-20",
)  # fmt: skip
BLANKETS = ("ceramic-fibre-blanket-128", "aes-blanket-128", "mineral-wool", "ceramic-fibre-paper")
SKINS = ("clay-brick-common", "earth-plaster", "plaster-lime", "ceramic-tile", "soapstone")
FLOORS = ("softwood", "plywood", "concrete-normal-siliceous", "osb", "soil", "clay-brick-common")
SHEETS = ("mild-steel", "cast-iron-grey", "stainless-304", "glass-ceramic")

THICK_mm = {"metal": (2, 12), "ceramic": (4, 30), "fibre": (3, 50), "plaster": (5, 30),
            "sheet-fuel": (1, 30), "mortar": (2, 20)}  # fmt: skip
"""Usual thickness of classes that are no masonry."""


class Pen:
    """Draws figures: usual ones, and now and then, where `wild`, any from 1 mm to 20 m and so on.

    How often is drawn once for the plan: one wild figure among usual ones shows another bug than
    twenty of them. All comes from `whole`, which draws a whole number between two, both included:
    from hypothesis, or from a numbered source of chance.
    """

    def __init__(self, whole: Callable[[int, int], int], *, wild: bool) -> None:
        self.whole = whole
        self.wild = wild
        self.strange_percent = self.of((0, 1, 2, 4, 8)) if wild else 0

    def chance(self, percent: int) -> bool:
        return self.whole(0, 99) < percent

    def of(self, items: Sequence[Item]) -> Item:
        return items[self.whole(0, len(items) - 1)]

    def strange(self) -> bool:
        return self.strange_percent > 0 and self.chance(self.strange_percent)

    def between(self, low: float, high: float, least: float, most: float, unit: str) -> str:
        """A figure, evenly on a scale of powers; strange ones from `least` to `most`."""
        if self.strange():
            low, high = least, most
        place = self.whole(0, 1000) / 1000.0
        value = low * (high / low) ** place
        return f"{value:.4g} {unit}" if value < 1e4 else f"{value:.0f} {unit}"

    def mm(self, low: int, high: int) -> str:
        """A length of a chamber or a distance."""
        whole = self.wild and self.chance(1)
        return self.between(low, high, 1 if whole else 10, 20_000 if whole else 10_000, "mm")

    def elevation_mm(self, low: int, high: int) -> str:
        if self.strange():
            low, high = -2000, 6000
        return f"{self.whole(low, high)} mm"

    def percent(self, low: int, high: int, most: int = 100) -> str:
        if self.strange():
            low, high = 0, most
        return f"{self.whole(low, high)} %"

    def material(self, usual: Sequence[str]) -> str:
        return self.of(LAYERS if self.wild and self.chance(30) else usual)

    def layer(self, usual: Sequence[str], low: int, high: int) -> Tree:
        """A layer of a material, at a thickness usual for its class."""
        name = self.material(usual)
        material = CATALOGUE.get(name)
        low, high = THICK_mm.get(material.family, (low, high))
        one: Tree = {"material": name, "thickness": self.between(low, high, 1, 2000, "mm")}
        if material.family == "concrete-block" and self.chance(70):
            one["cores"] = self.of(("upright", "level", "filled"))
        if self.chance(15):
            one["mortar"] = self.of(("mortar-clay-sand", "mortar-fireclay", "mortar-portland"))
        if self.chance(15):
            one["joint"] = self.between(2, 12, 1, 400, "mm")
        if self.chance(15):
            one["set"] = self.of(("bonded", "loose"))
        if self.chance(15):
            one["pieces"] = f"{self.whole(50, 1500)} mm x {self.whole(50, 1500)} mm"
        if low >= 20 and self.chance(8):
            one["reinforcement"] = self.reinforcement(low)
        if material.family == "sheet-fuel" and self.chance(70):
            one["role"] = "sacrificial"
        return one

    def reinforcement(self, within_mm: int) -> Tree:
        one: Tree = {"kind": self.of(REINFORCEMENT)}
        if self.chance(60):
            one["diameter"] = self.between(1, within_mm / 3, 0.1, 90, "mm")
        if self.chance(60):
            one["cover"] = self.between(2, within_mm / 2, 0.1, 400, "mm")
        return one

    def gap(self) -> Tree:
        one: Tree = {"gap": self.between(3, 60, 1, 900, "mm"), "kind": "closed"}
        if self.chance(30):
            one["kind"] = "vented"
            for end in ("bottom", "top"):
                if self.chance(70):
                    one[end] = f"{self.whole(0, 400)} cm2/m"
        return one

    def backed(self, hot: Sequence[str], low: int, high: int, skin: Sequence[str]) -> list[Tree]:
        """Hot side first: a lining at times, the body, at times a gap or blanket and a skin."""
        layers = [self.layer(hot, low, high)]
        if self.chance(20):
            layers.insert(0, self.layer(BLANKETS, 10, 50))
        if self.chance(30):
            layers.append(self.gap() if self.chance(50) else self.layer(BLANKETS, 5, 50))
            layers.append(self.layer(skin, 20, 130))
        elif self.chance(30):
            layers.append(self.layer(skin, 20, 130))
        return layers
