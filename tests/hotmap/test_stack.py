"""Layers as slices: hollow units opened, gaps, what burns out, the ground."""

from __future__ import annotations

import pytest

from stovelint.hotmap.stack import Leaf, face_shell_m, leaves
from tests.rules.make import layer

FAMILIES = {"hollow-block-normal": "concrete-block", "clay-brick-common": "fired-clay-brick"}


def stack(*layers: tuple[str | None, float, str]) -> tuple[Leaf, ...]:
    """Layers given as (material, thickness, special): gap, filled or sacrificial."""
    made = [
        layer(
            material, thickness, gap="closed" if special == "gap" else "",
            cores="filled" if special == "filled" else "",
            role="sacrificial" if special == "sacrificial" else "",
        )
        for material, thickness, special in layers
    ]  # fmt: skip
    return leaves([("wall", one) for one in made], FAMILIES, on_soil=False)


def test_leaves_lie_behind_one_another() -> None:
    found = stack(
        ("clay-brick-common", 0.1, ""), (None, 0.01, "gap"), ("hollow-block-normal", 0.2, "")
    )
    depth = 0.0
    for leaf in found:
        assert leaf.depth_m == pytest.approx(depth)
        depth += leaf.thickness_m
    assert depth == pytest.approx(0.31)


@pytest.mark.parametrize(
    ("overall", "shell"), [(0.09, 0.019), (0.14, 0.025), (0.19, 0.032), (0.29, 0.032)]
)
def test_a_hollow_unit_is_shell_core_shell(overall: float, shell: float) -> None:
    """Face shells of 3/4, 1 and 1 1/4 in by unit (ASTM C90 minimum, recalled)."""
    found = stack(("hollow-block-normal", overall, ""))
    assert [leaf.kind for leaf in found] == ["solid", "cored", "solid"]
    assert found[0].thickness_m == found[2].thickness_m == shell == face_shell_m(overall)
    assert sum(leaf.thickness_m for leaf in found) == pytest.approx(overall)


def test_filled_cores_make_a_solid_block() -> None:
    assert [leaf.kind for leaf in stack(("hollow-block-normal", 0.2, "filled"))] == ["solid"]


def test_what_burns_out_leaves_air() -> None:
    (found,) = stack(("burn-out-card", 0.003, "sacrificial"))
    assert found.kind == "air" and found.material is None and found.thickness_m == 0.003


def test_ground_lies_under_all() -> None:
    found = leaves([("base", layer("clay-brick-common", 0.1))], FAMILIES, on_soil=True)
    assert found[-1].kind == "soil" and found[-1].part is None
    # a day's wave dies to a thousandth within 7 depths of 0.12 to 0.16 m: about 1 m
    assert found[-1].thickness_m >= 0.8


def test_a_unit_too_thin_for_its_shells_keeps_a_core() -> None:
    found = stack(("hollow-block-normal", 0.045, ""))
    assert [leaf.thickness_m for leaf in found] == pytest.approx([0.015] * 3)
