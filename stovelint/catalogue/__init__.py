"""Materials with ranges, sources and grades. It refuses; it never guesses and never clamps."""

from __future__ import annotations

from stovelint.catalogue.catalogue import Catalogue
from stovelint.catalogue.curve import Curve
from stovelint.catalogue.records import Cap, ClassVerdict, Material, Triple

__all__ = ["Cap", "Catalogue", "ClassVerdict", "Curve", "Material", "Triple"]
