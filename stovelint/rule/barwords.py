"""What is told beside a finding about reinforcement: how it lies, how bad that is, what to take."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable, Iterator

from stovelint.rule.bars import cover_takes, depths
from stovelint.rule.finding import Note

if TYPE_CHECKING:
    from stovelint.build import Layer, Part
    from stovelint.catalogue import Material
    from stovelint.hotmap.records import LayerHeat
    from stovelint.rule.bars import Outgrowth
    from stovelint.rule.limits import Limit
    from stovelint.rule.scene import Scene

# Bodies that the cracking strain of plain concrete says something of, and how they are called.
CRACKS = {"portland-concrete": "concrete", "castable": "castable, taken as concrete,"}
SPANS = ("cap", "bench-top", "cook-plate", "lintel", "floor", "base", "hearth-extension")
"""Kinds of parts that may have to carry themselves, or more, from edge to edge."""
# What is mixed in or laid in where a bar cannot be, by the catalogue's rows.
TEXTILE, NEEDLES = "burlap", "stainless-needles"
LAID = frozenset({
    "fired-clay-brick", "fireclay-brick", "insulating-firebrick", "natural-stone", "concrete-block",
    "aac",
})  # fmt: skip
"""Classes of bodies into which nothing can be mixed."""
NO_METAL = "a body without metal, its joints cut where it would crack"


def how_it_lies(layer: Layer) -> tuple[Note, ...]:
    """Cover and thickness as drawn; nothing where no cover is drawn."""
    drawn = layer.reinforcement
    if drawn is None or drawn.cover_m is None:
        return ()
    if drawn.diameter_m is None:
        text = "it lies {} under the hot side of its layer"
        return (Note(text=text, values=((drawn.cover_m, "m"),)),)
    text = "it is {} thick and lies {} under the hot side of its layer"
    return (Note(text=text, values=((drawn.diameter_m, "m"), (drawn.cover_m, "m"))),)


def ranked(
    layer: Layer, body: Material, grown: Outgrowth | None, what: str, low: Limit, high: Limit
) -> Iterator[Note]:
    """How bad it is in this body: words only, for the temperature has decided already.

    Args:
        layer: the layer with the bar.
        body: the catalogue's row of that layer.
        grown: how far the bar outgrows it; None where that is not known.
        what: `bar`, or what else lies there.
        low, high: strains between which plain concrete cracks.
    """
    if grown is None:
        return
    if body.family in CRACKS:
        yield _cracks(layer, body, grown, what, low, high)
        if grown.others:
            yield Note(
                text=f"up to the same peak this {what} would outgrow "
                + " and ".join(f"{words} by {{}}" for words, _ in grown.others)
                + f"; the nearer match ranks better and clears no hot {what}",
                values=tuple((strain, "strain") for _, strain in grown.others),
            )
    if grown.ends_C is not None:
        yield Note(
            text="no figure for its growth above {}: the mismatch is at least what is told",
            values=((grown.ends_C, "degC"),),
        )


def _cracks(
    layer: Layer, body: Material, grown: Outgrowth, what: str, low: Limit, high: Limit
) -> Note:
    takes = [cover_takes(layer, body, limit) for limit in (low, high)]
    ring = [limit if at is None else limit.scaled(at / limit.base)
            for limit, at in zip((low, high), takes)]  # fmt: skip
    if ring[1].is_past(grown.measure.low):
        so = "so its cover cracks in every case"
    elif ring[0].is_past(grown.measure.high):
        so = "so its cover may crack"
    else:
        so = (
            f"so this body nearly follows the {what}, which ranks it better and does not clear it"
        )
    keys = f"{low.key} and {high.key}, {low.source.grade}"
    text = f"{CRACKS[body.family]} cracks at a strain of {{}} to {{}} ({keys})"
    values = [low.base, high.base]
    if None not in takes:
        text += ", which an elastic ring of this cover reaches once outgrown by {} to {}"
        values += [limit.base for limit in ring]
    return Note(
        text=f"{text}: {so}", values=tuple((value, "strain") for value in values),
        limits=(low, high),
    )  # fmt: skip


def instead(
    scene: Scene, part: Part, layer: Layer, hard: Iterable[LayerHeat], mild: Iterable[LayerHeat],
    *, textile: bool,
) -> Note:  # fmt: skip
    """What to count on instead; only what the catalogue lets stand in this heat is named.

    Args:
        part, layer: where the reinforcement lies.
        hard, mild: the heat of the layer in the hardest and in the usual firing, at every place.
        textile: whether a textile is worth naming.
    """
    hard, mild = tuple(hard), tuple(mild)
    body = scene.material(layer)
    needles = _stands(scene, layer, NEEDLES, hard, mild)
    if body is not None and body.family in LAID:
        said = f"count on {NO_METAL}: nothing can be mixed into units that are laid"
    elif not needles:
        said = f"in such heat no metal lasts in it: count on {NO_METAL}"
    elif textile and _stands(scene, layer, TEXTILE, hard, mild):
        said = f"a textile or short thin needles need no cover; so does {NO_METAL}"
    else:
        said = f"short thin needles need no cover; so does {NO_METAL}"
        said += "; a textile would char here" if textile else ""
    if part.kind in SPANS:
        said += "; whether it then carries what it must is for others to check"
    return Note(text=said)


def _stands(
    scene: Scene, layer: Layer, name: str, hard: tuple[LayerHeat, ...],
    mild: tuple[LayerHeat, ...],
) -> bool:  # fmt: skip
    """Whether it would last in the layer, at every depth at which it may come to lie."""
    row = scene.catalogue.get(name)
    lie = depths(layer, row).metres
    peak, service = scene.own_limit(row, "peak"), scene.own_limit(row, "service")
    return not any(
        peak.is_past(heat.at(depth).peak_C.high) for heat in hard for depth in lie
    ) and not any(service.is_past(heat.at(depth).mean_C.high) for heat in mild for depth in lie)
