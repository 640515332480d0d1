"""Metal that leads heat through or along masonry: fins, pins and ties, the web of a tee."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers


def fin_slope_1_m(h_W_m2K: Numbers, around_m: Numbers, k_W_mK: Numbers, area_m2: Numbers) -> Floats:
    """The m of a fin, 1/m: m = sqrt(h P / (k A)).

    h_W_m2K: film on its sides; around_m: P, girth; area_m2: A, section; all > 0, broadcast. Valid
    while the section is of one temperature: h A / (P k) < 0.1. Source: Incropera, recalled.

    >>> print(f"{fin_slope_1_m(20.0, 0.0377, 50.0, 1.131e-4):.2f}")
    11.55
    """
    return np.asarray(np.sqrt(np.asarray(h_W_m2K) * around_m / (np.asarray(k_W_mK) * area_m2)))


def fin_efficiency(slope_1_m: Numbers, length_m: Numbers) -> Floats:
    """Heat that a fin gives over what it would give if all as hot as its foot: tanh(mL) / (mL).

    slope_1_m: m, >= 0; length_m: L, > 0, with half the thickness (a pin: a quarter of its diameter)
    added when the tip gives heat too; both broadcast. Straight fins and pins of one section.

    >>> print(f"{fin_efficiency(11.55, 0.3):.3f}")
    0.288
    """
    x = np.asarray(slope_1_m, dtype=np.float64) * length_m
    small = x < 1e-4
    some = np.where(small, 1.0, x)
    return np.asarray(np.where(small, 1.0 - x * x / 3.0, np.tanh(some) / some))


def fin_W_K(
    h_W_m2K: Numbers, around_m: Numbers, k_W_mK: Numbers, area_m2: Numbers, length_m: Numbers
) -> Floats:
    """Heat that a fin takes from its foot per kelvin over what surrounds it, W/K.

    sqrt(h P k A) tanh(mL); no heat through the tip (see `fin_efficiency`). length_m may be inf.

    >>> print(f"{fin_W_K(20.0, 0.0377, 50.0, 1.131e-4, np.inf):.4f}")
    0.0653
    """
    m = fin_slope_1_m(h_W_m2K, around_m, k_W_mK, area_m2)
    root = m * np.asarray(k_W_mK) * area_m2
    return np.asarray(root * np.tanh(m * length_m))


def spot_W_K(diameter_m: Numbers, k_W_mK: Numbers) -> Floats:
    """Heat into a half space through a round spot at one temperature, W/K: 2 D k. Exact.

    The constriction where a pin ends flush on a body. Source: Carslaw and Jaeger, recalled.

    >>> print(f"{spot_W_K(0.006, 0.7):.4f}")
    0.0084
    """
    return np.asarray(2.0 * np.asarray(diameter_m) * k_W_mK)


def anchored_W_K(
    diameter_m: Numbers, into_m: Numbers, k_pin_W_mK: Numbers, k_body_W_mK: Numbers
) -> Floats:
    """Heat from the foot of a pin let into a body to the body far off, per kelvin, W/K.

    The pin is a fin whose film is the body round it: per length 2 pi k / ln(4 l / D), the shape
    factor of a rod let in at right angles to a face, with l the length that works, tanh(m L) / m.
    Never less than the flush spot 2 D k.

    diameter_m: D; into_m: L, >= 0; k_pin_W_mK much above k_body_W_mK; all broadcast. Within 10 % of
    finite elements for L > 3 D. Source: Incropera (both parts), recalled.

    >>> print(f"{anchored_W_K(0.004, 0.05, 16.0, 0.7):.4f}")
    0.0192
    """
    d, deep = np.asarray(diameter_m, dtype=np.float64), np.asarray(into_m, dtype=np.float64)
    area = 0.25 * pi * d * d
    works = deep
    for _ in range(3):  # each round moves it by a quarter of what the last did
        per_m = 2.0 * pi * np.asarray(k_body_W_mK) / np.log(np.maximum(4.0 * works / d, np.e))
        works = deep * fin_efficiency(fin_slope_1_m(per_m, 1.0, k_pin_W_mK, area), deep)
    # h P of the fin is the conductance per length
    rod = fin_W_K(per_m, 1.0, k_pin_W_mK, area, deep)
    return np.asarray(np.maximum(rod, spot_W_K(d, k_body_W_mK)))


class Tie(NamedTuple):
    """Heat through one tie from the body on its hot side to that on its cold side."""

    through_W_K: Floats
    cold_end_W_K: Floats
    """From its cold foot into the cold body: flow over this is the foot's rise over that body."""


def tie(
    diameter_m: Numbers, layer_m: Numbers, into_m: Numbers, k_tie_W_mK: Numbers,
    k_hot_W_mK: Numbers, k_cold_W_mK: Numbers,
) -> Tie:  # fmt: skip
    """A pin or tie through an insulating layer, held in the bodies on both of its sides.

    Three resistances in series: the constriction in the hot body, the shaft L / (k A), the
    constriction in the cold body (`anchored_W_K`). The layer lets no heat into the shaft.

    diameter_m, layer_m (> 0), into_m (>= 0, in either body): m; k_*: W/mK, the tie's, and of the
    bodies beside the layer; all broadcast.

    >>> one = tie(0.004, 0.05, 0.05, 16.0, 0.7, 0.7)
    >>> print(f"{one.through_W_K:.5f} W/K")
    0.00284 W/K
    """
    d = np.asarray(diameter_m, dtype=np.float64)
    shaft = np.asarray(k_tie_W_mK) * 0.25 * pi * d * d / layer_m
    hot = anchored_W_K(d, into_m, k_tie_W_mK, k_hot_W_mK)
    cold = anchored_W_K(d, into_m, k_tie_W_mK, k_cold_W_mK)
    return Tie(np.asarray(1.0 / (1.0 / hot + 1.0 / shaft + 1.0 / cold)), cold)


class Web(NamedTuple):
    """A slab with webs of metal standing in it from its hot face."""

    conductance_W_m2K: Floats
    """From the hot face to the mean of the plane in which the webs end."""
    tip: Floats
    """The web's end over the mean of that plane, as a share of the drop from the hot face (-)."""


def web_in_slab(
    web_m: Numbers, deep_m: Numbers, apart_m: Numbers, k_web_W_mK: Numbers, k_slab_W_mK: Numbers
) -> Web:
    """Webs of tees in a slab, their flanges on its hot face, as two ways side by side.

    Web and slab start at the flange's temperature and exchange heat sideways; what is left in the
    web leaves through its end, an edge in the slab. With K1 = k_web t, K2 = k_slab (w - t), K their
    sum, b = min(w - t, 4 d) as what is farther off is not felt, sideways G = 12 k_slab / b, at the
    end g = pi k_slab / ln(4 b / pi t), and m = sqrt(G (1/K1 + 1/K2)):

        u = tanh(m d) / [K2 m + (K g / K1) tanh(m d)],  conductance = K / {w [d + K1 u]}

    web_m: t, thickness of the web; deep_m: d; apart_m: w between webs, > t; m, > 0; k_*: W/mK; all
    broadcast. K1 to 0 is the plain slab. Heat through slab and web is within 3 % of finite elements
    (`tests/heat/test_fins.py`). Source: derived here.

    >>> web = web_in_slab(0.006, 0.05, 0.25, 50.0, 0.9)
    >>> print(f"{web.conductance_W_m2K:.1f} against {0.9 / 0.05:.1f}")
    23.0 against 18.0
    """
    t, d = np.asarray(web_m, dtype=np.float64), np.asarray(deep_m, dtype=np.float64)
    k, apart = np.asarray(k_slab_W_mK, dtype=np.float64), np.asarray(apart_m, dtype=np.float64)
    by_web, by_slab = np.asarray(k_web_W_mK) * t, k * (apart - t)
    felt = np.minimum(apart - t, 4.0 * d)
    m = np.sqrt(12.0 * k / felt * (1.0 / by_web + 1.0 / by_slab))
    end = pi * k / np.log(np.maximum(4.0 * felt / (pi * t), np.e))
    both, bent = by_web + by_slab, np.tanh(m * d)
    # per unit of heat flow: web over slab at the end, and from the face to the plane's mean
    excess = bent / (by_slab * m + both * end / by_web * bent)
    mean = (d + by_web * excess) / both - excess * t / apart
    return Web(np.asarray(1.0 / (apart * mean)), np.asarray((1.0 - t / apart) * excess / mean))
