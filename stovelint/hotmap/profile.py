"""Temperatures inside a patch: the cycle at any depth, from the histories of its two faces."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.layers import (
    Admittance, harmonics_rad_s, inner_temperature, joined, layer_admittance,
)  # fmt: skip
from stovelint.hotmap.records import DepthHeat, Spread

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Slice:
    """A leaf as the conduction knows it: its depths (m) and per-case R and C."""

    top_m: float
    thickness_m: float
    r_m2K_W: Floats
    c_J_m2K: Floats


class Profile:
    """The inside of one patch over one cycle. Histories have shape (members, samples), degC."""

    def __init__(self, slices: list[Slice], hot_C: Floats, cold_C: Floats, period_s: float) -> None:
        self.slices, self.hot_C, self.cold_C, self.period_s = slices, hot_C, cold_C, period_s
        self.samples = hot_C.shape[1]
        self.omega = harmonics_rad_s(period_s, self.samples)
        self.end_m = slices[-1].top_m + slices[-1].thickness_m
        self._hot, self._cold = np.fft.rfft(hot_C, axis=1), np.fft.rfft(cold_C, axis=1)
        self._known: dict[float, Floats] = {}

    def _part(self, start_m: float, end_m: float) -> Admittance | None:
        """Admittance of what lies between two depths; None when nothing does."""
        total: Admittance | None = None
        for piece in self.slices:
            low = max(start_m, piece.top_m)
            high = min(end_m, piece.top_m + piece.thickness_m)
            if high - low <= 1e-9:
                continue
            share = (high - low) / piece.thickness_m
            layer = layer_admittance(piece.r_m2K_W * share, piece.c_J_m2K * share, self.omega)
            total = layer if total is None else joined(total, layer)
        return total

    def at(self, depth_m: float) -> Floats:
        """History at a depth from the hot face, (members, samples)."""
        key = round(depth_m, 9)
        if key not in self._known:
            before, after = self._part(0.0, depth_m), self._part(depth_m, self.end_m)
            if before is None:
                self._known[key] = self.hot_C
            elif after is None:
                self._known[key] = self.cold_C
            else:
                wave = inner_temperature(before, after, self._hot, self._cold)
                self._known[key] = np.fft.irfft(wave, n=self.samples, axis=1)
        return self._known[key]


    def mean_at(self, depth_m: float) -> Floats:
        """Mean over the cycle at a depth, (members,): straight between the faces in resistance, as
        only the steady part of the heat has a mean."""
        before = np.zeros(self.hot_C.shape[0])
        total = np.zeros(self.hot_C.shape[0])
        for piece in self.slices:
            inside = min(max((depth_m - piece.top_m) / piece.thickness_m, 0.0), 1.0)
            before += inside * piece.r_m2K_W
            total += piece.r_m2K_W
        hot, cold = self.hot_C.mean(axis=1), self.cold_C.mean(axis=1)
        return np.asarray(hot + (cold - hot) * before / total)


def spread(runs: list[Floats]) -> Spread:
    """One Spread from the runs of the damper's ends: upper and lower envelope case by case."""
    if len(runs) == 1:
        return Spread(values=runs[0], floor=runs[0])
    stacked = np.stack(runs)
    return Spread(values=stacked.max(axis=0), floor=stacked.min(axis=0))


def depth_heat(profiles: list[Profile], depth_m: float) -> DepthHeat:
    """The cycle at one depth over all runs. Time of peak is that of the median case, first run."""
    histories = [profile.at(depth_m) for profile in profiles]
    peaks = [h.max(axis=1) for h in histories]
    middle = int(np.argsort(peaks[0], kind="stable")[len(peaks[0]) // 2])
    step = profiles[0].period_s / profiles[0].samples
    return DepthHeat(
        depth_m=depth_m, peak_C=spread(peaks), mean_C=spread([h.mean(axis=1) for h in histories]),
        swing_K=spread([h.max(axis=1) - h.min(axis=1) for h in histories]),
        peak_at_s=float(np.argmax(histories[0][middle])) * step,
    )  # fmt: skip


def hours_above(profiles: list[Profile], depth_m: float, limit_C: float) -> Spread:
    """Hours of one cycle that a depth spends above a temperature."""
    runs = []
    for profile in profiles:
        share = (profile.at(depth_m) > limit_C).mean(axis=1)
        runs.append(np.asarray(share * profile.period_s / 3600.0))
    return spread(runs)
