"""Whether what reinforces a layer can be as hot as it gets there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterator, Literal

from stovelint.rule import (
    Insulate, Measure, Move, Outcome, Reinforce, Scene, Thicken, depths, diameters, how_it_lies,
    instead, outgrowth, ranked, rule,
)  # fmt: skip

if TYPE_CHECKING:
    from stovelint.rule import (
        FiringState, Layer, LayerHeat, Limit, Material, Part, PatchHeat, Spread,
    )  # fmt: skip

    Places = list[tuple[PatchHeat, LayerHeat]]
    Seen = tuple[Measure, Spread]

Verdict = Literal["fine", "past", "open"]
MOST_PLACES = 3
WHY_BAR = (
    "hot, the {what} grows more than the body round it, pushes its cover off along its length, and "
    "rusts in the crack"
)
WHY_ZINC = "the zinc burns off, with fume, and the bare thin wire rusts through"
WHY_THIN = "it scales or weakens above that and no longer holds the body together"
WHY_TEXTILE = (
    "above that it chars or goes brittle, holds nothing any more, and leaves channels; the body "
    "must stand without it"
)
# What it is called: judged as a bar, and by what it stands itself.
THICK = {"bar": "bar", "wire": "thick wire"}
THIN = {"bar": "thin bar", "wire": "wire", "needle": "needles", "textile": "textile"}
SAY = {"diameter": "diameter: 10 mm", "cover": "cover: 25 mm"}
WALLS = frozenset({"wall", "facing", "partition"})
CAPS = frozenset({"cap", "bench-top"})
CAST = frozenset({"castable", "portland-concrete", "perlite-concrete"})


@rule(stakes="breakage")
def cast_reinforcement(scene: Scene) -> Iterator[Outcome]:
    """Bars, wire, needles and textiles in a layer.

    Looks at: every layer with reinforcement, at the depth where that lies, in every place of the
    part.
    Needs: the heat of the part in the usual and the hardest firing; cover and diameter where it
    is warm enough for them to matter.
    Silent: when a bar stays below its peak, and anything thinner within what it stands itself.
    """
    for part in scene.parts():
        for index, layer in enumerate(part.layers):
            held, body = scene.reinforcement(layer), scene.material(layer)
            if held is None or body is None:
                continue
            hard = _places(scene, part, layer, "hardest")
            mild = _places(scene, part, layer, "usual")
            if not hard or not mild:
                yield scene.no_heat(part)
                continue
            opens = [scene.layer_unjudged(part, heat) for _, heat in (*hard, *mild)]
            if any(opens):
                yield next(case for case in opens if case is not None)
                continue
            yield from _judge(scene, part, index, held, body, hard, mild)


def _judge(
    scene: Scene, part: Part, index: int, held: Material, body: Material, hard: Places,
    mild: Places,
) -> Iterator[Outcome]:  # fmt: skip
    layer = part.layers[index]
    kinds = {_is_bar(scene, layer, held, thick) for thick in diameters(layer, held) or (None,)}
    said = [
        _bar(scene, part, index, held, body, hard, mild) if bar
        else _thin(scene, part, index, held, hard, mild)
        for bar in sorted(kinds)
    ]  # fmt: skip
    if len(said) == 2 and any(said):
        yield _ask(scene, part, layer, held)
    elif said[0] is not None:
        yield said[0]


def _is_bar(scene: Scene, layer: Layer, held: Material, thick_m: float | None) -> bool:
    """Whether metal of this thickness is a bar. Textiles and needles never are; where no
    thickness is known, the form that it is sold in decides."""
    assert held.reinforces is not None
    if held.reinforces.form in ("needle", "textile"):
        return False
    if thick_m is None:
        return held.reinforces.form == "bar"
    return scene.limit("thin").is_past(thick_m)


def _bar(
    scene: Scene, part: Part, index: int, held: Material, body: Material, hard: Places,
    mild: Places,
) -> Outcome | None:  # fmt: skip
    layer = part.layers[index]
    assert held.reinforces is not None
    what = THICK[held.reinforces.form]
    verdict, seen = _look(scene, part, layer, held, hard, scene.limit("bar"), f"{what} peak")
    if verdict == "open":
        return _ask(scene, part, layer, held)
    if verdict == "fine":
        return None
    worst = scene.worst(measure for measure, _ in seen)
    peak = next(spread for measure, spread in seen if measure is worst)
    grown = outgrowth(held, body, peak, where=worst.where)
    measures = _shown(scene, seen)
    return scene.finding(
        part,
        path=(*layer.path, "reinforcement", "kind"),
        walk_to=scene.walk_to(part, worst.where, _face(index, what)),
        found=f"{held.name} in {layer.material}",
        measures=measures if grown is None else (*measures, grown.measure),
        why=WHY_BAR.format(what=what),
        notes=(
            *how_it_lies(layer),
            *ranked(layer, body, grown, what, scene.limit("crack-low"), scene.limit("crack-high")),
            instead(scene, part, layer, _heats(hard), _heats(mild), textile=True),
        ),
        moves=_moves(scene, part, index),
    )


def _thin(
    scene: Scene, part: Part, index: int, held: Material, hard: Places, mild: Places
) -> Outcome | None:
    """Thin wire, needles and textiles, by what they stand themselves."""
    layer = part.layers[index]
    assert held.reinforces is not None
    textile, zinc = held.reinforces.form == "textile", held.reinforces.coating is not None
    service = scene.own_limit(held, "service")
    # A coating that has gone does not come back, so it is held to its long-term figure at once.
    short = service if zinc else scene.own_limit(held, "peak")
    looks = [_look(scene, part, layer, held, hard, short, "peak")]
    if not zinc:
        looks.append(_look(scene, part, layer, held, mild, service, "mean"))
    verdicts = {verdict for verdict, _ in looks}
    if verdicts == {"fine"}:
        return None
    if "past" not in verdicts:
        return _ask(scene, part, layer, held)
    past = [seen for verdict, seen in looks if verdict == "past"]
    worst = scene.worst(measure for seen in past for measure, _ in seen)
    return scene.finding(
        part,
        path=(*layer.path, "reinforcement", "kind"),
        walk_to=scene.walk_to(part, worst.where, _face(index, THIN[held.reinforces.form])),
        found=f"{held.name} in {layer.material}",
        measures=tuple(measure for seen in past for measure in _shown(scene, seen)),
        why=WHY_ZINC if zinc else WHY_TEXTILE if textile else WHY_THIN,
        notes=how_it_lies(layer) if textile else (
            *how_it_lies(layer),
            instead(scene, part, layer, _heats(hard), _heats(mild), textile=False),
        ),
        moves=() if textile else _moves(scene, part, index),
        stakes="advice" if textile else None,
    )


def _look(
    scene: Scene, part: Part, layer: Layer, held: Material, places: Places, limit: Limit,
    what: str,
) -> tuple[Verdict, list[Seen]]:
    """One limit at every place, at the depth drawn or at all depths it may have.

    Past: some place is past it at every depth that the plan leaves open (or at any depth, for what
    lies everywhere). Open: some place is past it at one depth and not at another.
    """
    verdicts: set[Verdict] = set()
    shown: list[Seen] = []
    for patch, heat in places:
        lie, where = depths(layer, held), scene.place(part, patch)
        seen: list[Seen] = []
        for depth in lie.metres:
            at = heat.at(depth)
            spread = at.mean_C if what == "mean" else at.peak_C
            measure = scene.compare(
                what, spread, limit, subject=part.name, where=where, path=layer.path
            )
            seen.append((measure, spread))
        seen.sort(key=lambda one: (one[0].past, one[0].high))
        past = sum(1 for measure, _ in seen if measure.counts)
        # What is not said is taken at its mildest: a finding must hold wherever it lies.
        shown.append(seen[0] if lie.unsaid else seen[-1])
        verdicts.add("fine" if not past else "open" if lie.unsaid and past < len(seen) else "past")
    return ("past" if "past" in verdicts else "open" if "open" in verdicts else "fine"), shown


def _places(scene: Scene, part: Part, layer: Layer, state: FiringState) -> Places:
    """The layer in every patch of the part, the span before its bearing edge."""
    found = [
        (patch, heat)
        for patch in scene.patches(part, state)
        if (heat := scene.layer_heat(patch, layer)) is not None
    ]
    return sorted(found, key=lambda pair: (pair[0].where == "bearing edge", pair[0].from_m))


def _heats(places: Places) -> list[LayerHeat]:
    return [heat for _, heat in places]


def _shown(scene: Scene, seen: list[Seen]) -> tuple[Measure, ...]:
    """All places where they are few, else the worst."""
    measures = tuple(measure for measure, _ in seen)
    return measures if len(measures) <= MOST_PLACES else (scene.worst(measures),)


def _face(index: int, what: str) -> str:
    return f"{what} under the hot face" if index == 0 else f"{what} in layer {index + 1}"


def _ask(scene: Scene, part: Part, layer: Layer, held: Material) -> Outcome:
    drawn = layer.reinforcement
    assert drawn is not None and held.reinforces is not None
    unsaid = depths(layer, held).unsaid
    words = " and ".join(key for key in SAY if key in unsaid)
    line = ", ".join((f"kind: {held.name}", *(text for key, text in SAY.items() if key in unsaid)))
    return scene.not_judged(
        part,
        path=(*layer.path, "reinforcement"),
        reason=f"it is hot enough here for the depth of the {held.name} to decide, and its {words} "
        f"{'are' if len(unsaid) > 1 else 'is'} not said",
        remedy=f"add the {words} as built to its `reinforcement`, as in `{{{line}}}`; cover counts "
        "from the hot side of the layer",
        stakes="advice" if held.reinforces.form == "textile" else None,
    )


def _moves(scene: Scene, part: Part, index: int) -> tuple[Move, ...]:
    """Keep the heat from it: more of the blanket that is drawn, or one put in; brick in walls. Or
    mix something in instead, where the layer is cast."""
    layer, moves = part.layers[index], list[Move]()
    first = scene.material(part.layers[0])
    if part.kind in CAPS and index > 0 and first is not None and first.soft:
        moves.append(Thicken(layer=part.layers[0].path, use="blanket"))
    elif part.kind in CAPS:
        moves.append(Insulate(part=part.path, index=0, use="blanket"))
    elif part.kind in WALLS and index == 0:
        moves.append(Insulate(part=part.path, index=0, use="lining"))
    body = scene.material(layer)
    if body is not None and body.family in CAST:
        moves.append(Reinforce(layer=layer.path, use="needles"))
    return tuple(moves)
