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


@dataclass(frozen=True, kw_only=True, slots=True)
class Cut:
    """Lay a layer in smaller pieces, in the largest trade size that serves."""

    layer: Path
    loosen: bool = False
    """Set the pieces loose as well."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Loosen:
    """Set a bonded layer loose, so that its pieces can bow and slide."""

    layer: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Swap:
    """Take another material of the same thickness."""

    layer: Path
    use: str
    """Row of `stovelint/remedy/trade_sizes.toml` that names it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Reinforce:
    """Hold a casting together with something else; every temperature stays as it is."""

    layer: Path
    use: str
    """Row of `stovelint/remedy/trade_sizes.toml` that names it."""


Move = Insulate | Thicken | MoveAway | Cut | Loosen | Swap | Reinforce
