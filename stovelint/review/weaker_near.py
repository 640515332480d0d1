"""What burns near a heater, and stands farther off, better shielded or nowhere in a plan.

What is gone, or seen from another side, holds until a person has looked: there is no way to reckon
whether it is true. What is farther off, shielded, vented or no longer wood may be the very change
that a review asked for, and was reckoned; it is told as something to consider.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Callable, Sequence

from stovelint.quantity import format_area_per_length, format_length
from stovelint.review.weaker_firing import NEAR, Claim

if TYPE_CHECKING:
    from stovelint.build import Build, Gap, Layer, Surrounding
    from stovelint.rule.level import Level

Burns = Callable[[str], bool]


def milder_near(now: Build, before: Build, burns: Burns) -> list[Claim]:
    """Surroundings gone, moved or shielded, and wood that is no longer in a part.

    Args:
        now, before: the plan as it is and as it was.
        burns: whether a material of that name is combustible.
    """
    claims: list[Claim] = []
    names = _names(now, before)
    for name, old in before.surroundings.items():
        new = now.surroundings.get(names.get(name, name))
        if new is None:
            claims.append(
                Claim(
                    what=f"{name} stood {format_length(old.distance_m)} off ({old.at}), and is not "
                    "in the plan any more",
                    stakes="danger", path=("surroundings",),
                )  # fmt: skip
            )
            continue
        claims += [*_moved(new, old), *_covered(new, old, burns)]
        claims += _wood(new.name, new.layers, old.layers, (*new.path, "layers"), burns)
    for name, part in before.parts.items():
        here = now.parts.get(name)
        path = ("parts",) if here is None else (*here.path, "layers")
        claims += _wood(name, () if here is None else here.layers, part.layers, path, burns)
    return claims


def _names(now: Build, before: Build) -> dict[str, str]:
    """Old name -> new name, of what only bears another one."""
    free = [one for name, one in now.surroundings.items() if name not in before.surroundings]
    names: dict[str, str] = {}
    for name, old in before.surroundings.items():
        if name in now.surroundings:
            continue
        for new in free:
            if new.at == old.at and _materials(new.layers) == _materials(old.layers):
                names[name] = new.name
                free.remove(new)
                break
    return names


def _materials(layers: Sequence[Layer]) -> list[str | None]:
    return [layer.material for layer in layers]


def _moved(new: Surrounding, old: Surrounding) -> list[Claim]:
    claims = []

    def claim(what: str, *key: str, level: Level = "warning") -> None:
        claims.append(Claim(what=what, stakes="danger", path=(*new.path, *key), level=level))

    if new.distance_m > old.distance_m * (1.0 + NEAR):
        claim(
            f"{new.name} stood {format_length(old.distance_m)} off, and stands "
            f"{format_length(new.distance_m)} off",
            "distance", level="note",
        )  # fmt: skip
    if new.at != old.at:
        claim(f"{new.name} was at the side `{old.at}`, and is at `{new.at}`", "at")
    if new.on != old.on:
        touched = "what it saw" if old.on is None else old.on
        claim(f"{new.name} was held against {touched}, and is against {new.on or 'what it sees'}")
    if new.shield is not None and old.shield is None:
        claim(f"{new.name} had no shield before it, and has one of {new.shield.kind}",
              "shield", level="note")  # fmt: skip
    elif new.shield is not None and old.shield is not None:
        if new.shield.kind != old.shield.kind:
            claim(f"the shield of {new.name} was of {old.shield.kind}, and is of {new.shield.kind}",
                  "shield", "kind", level="note")  # fmt: skip
        if new.shield.air_m > old.shield.air_m * (1.0 + NEAR):
            claim(
                f"the air behind the shield of {new.name} was {format_length(old.shield.air_m)}, "
                f"and is {format_length(new.shield.air_m)}",
                "shield", "air", level="note",
            )  # fmt: skip
    if new.gap is not None and old.gap is not None:
        said = _wider(new.gap, old.gap)
        if said:
            claim(f"the gap before {new.name} {said}", "gap", level="note")
    return claims


def _covered(new: Surrounding, old: Surrounding, burns: Burns) -> list[Claim]:
    """More before what burns in it, or something else."""
    here, was = _cover(new.layers, burns), _cover(old.layers, burns)
    if here is None or was is None:  # nothing burns in one of them, which is told by itself
        return []
    thicker = sum(one for _, one in here) > sum(one for _, one in was) * (1.0 + NEAR)
    if not thicker and [what for what, _ in here] == [what for what, _ in was]:
        return []
    what = f"before what burns in {new.name} there was {_listed(was)}, and is {_listed(here)}"
    return [Claim(what=what, stakes="danger", path=(*new.path, "layers"), level="note")]


def _cover(layers: Sequence[Layer], burns: Burns) -> list[tuple[str, float]] | None:
    """Material and thickness of every layer before the first that burns; None: none does."""
    found: list[tuple[str, float]] = []
    for layer in layers:
        if layer.material is not None and burns(layer.material):
            return found
        found.append((layer.material or "air", layer.thickness_m))
    return None


def _listed(cover: Sequence[tuple[str, float]]) -> str:
    return ", ".join(f"{format_length(deep)} of {what}" for what, deep in cover) or "nothing"


def _wider(new: Gap, old: Gap) -> str:
    """How a gap lets more air through than it did; empty where it does not."""
    if new.kind == "vented" and old.kind == "closed":
        return "was closed, and is vented"
    for end, here, was in (
        ("bottom", new.bottom_m2_m, old.bottom_m2_m), ("top", new.top_m2_m, old.top_m2_m),
    ):  # fmt: skip
        if here is not None and was is not None and here > was * (1.0 + NEAR):
            return (
                f"was open by {format_area_per_length(was)} at the {end}, and is by "
                f"{format_area_per_length(here)}"
            )
    return ""


def _wood(
    name: str, new: Sequence[Layer], old: Sequence[Layer], path: tuple[str | int, ...],
    burns: Burns,
) -> list[Claim]:  # fmt: skip
    def count(layers: Sequence[Layer]) -> int:
        return sum(
            layer.role is None and layer.material is not None and burns(layer.material)
            for layer in layers
        )

    gone = count(old) - count(new)
    if gone <= 0:
        return []
    which = ", ".join(
        dict.fromkeys(
            layer.material
            for layer in old
            if layer.role is None and layer.material is not None and burns(layer.material)
        )
    )
    what = f"{name} held what burns ({which}), and has {'less of it' if count(new) else 'none'}"
    return [Claim(what=what, stakes="danger", path=path, level="note")]
