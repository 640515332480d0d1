"""Changes that a rule holds worth trying, as data. Only the remedy search carries them out."""

from __future__ import annotations

from dataclasses import dataclass

from stovelint.place import Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Insulate:
    """Put a layer of insulation into a part, in the smallest trade size that serves."""

    part: Path
    index: int
    """Position in the layers, counted from the hot face, that the new layer takes."""
    use: str
    """Row of `stovelint/remedy/trade_sizes.toml`: what is bought, and in which sizes."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Thicken:
    """Make a layer that is already drawn thicker, in the smallest trade size that serves."""

    layer: Path
    use: str


@dataclass(frozen=True, kw_only=True, slots=True)
class MoveAway:
    """Set a surrounding further off."""

    surrounding: Path
    least_m: float
    """No distance below this needs trying: a clause asks for it anyway."""


Move = Insulate | Thicken | MoveAway
