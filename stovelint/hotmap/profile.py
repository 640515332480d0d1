"""Temperatures inside a patch: the cycle at any depth, from the histories of its two faces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.branches import (
    Steady, between_C, steady_channel, steady_joined, steady_layer,
)  # fmt: skip
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
    branch: Floats | None = None
    """(members, 4) a, b, d and in_C of a channel (`heat.channel`)."""


class Profile:
    """The inside of one patch over one cycle. Histories have shape (members, samples), degC."""

    def __init__(
        self, slices: list[Slice], hot_C: Floats, cold_C: Floats, period_s: float,
        room_C: Floats | float = 20.0, layers: Sequence[Admittance] = (),
    ) -> None:  # fmt: skip
        """`room_C` (members,): what the rise of a temperature counts from; `layers`: the slices'
        admittances at all harmonics, where they are known already."""
        self.slices, self.hot_C, self.cold_C, self.period_s = slices, hot_C, cold_C, period_s
        self.room_C = room_C
        self.samples = hot_C.shape[1]
        self.omega = harmonics_rad_s(period_s, self.samples)
        self.end_m = slices[-1].top_m + slices[-1].thickness_m
        self._hot, self._cold = np.fft.rfft(hot_C, axis=1), np.fft.rfft(cold_C, axis=1)
        self._known: dict[float, Floats] = {}
        self._layers: dict[int, Admittance] = dict(enumerate(layers))
        """Of whole slices, by their place."""
        self._aired = any(piece.branch is not None for piece in slices)

    def _part(self, start_m: float, end_m: float) -> Admittance | None:
        """Admittance of what lies between two depths; None when nothing does."""
        total: Admittance | None = None
        for place, piece in enumerate(self.slices):
            low = max(start_m, piece.top_m)
            high = min(end_m, piece.top_m + piece.thickness_m)
            if high - low <= 1e-9:
                continue
            share = (high - low) / piece.thickness_m
            if share > 1.0 - 1e-9:
                layer = self._layer(place)
            else:
                layer = layer_admittance(piece.r_m2K_W * share, piece.c_J_m2K * share, self.omega)
            total = layer if total is None else joined(total, layer)
        return total

    def _layer(self, place: int) -> Admittance:
        """Admittance of a slice; a channel is always whole, see `at`."""
        if place not in self._layers:
            piece = self.slices[place]
            if piece.branch is None:
                layer = layer_admittance(piece.r_m2K_W, piece.c_J_m2K, self.omega)
            else:
                flat = np.ones(len(self.omega), dtype=np.complex128)
                a, b, d = (piece.branch[:, i, None] * flat for i in range(3))
                layer = (a, b, d)
            self._layers[place] = layer
        return self._layers[place]

    def at(self, depth_m: float) -> Floats:
        """History at a depth from the hot face, (members, samples)."""
        key = round(depth_m, 9)
        inside = self._channel_at(depth_m)
        if key not in self._known and inside is not None:
            share = (depth_m - inside.top_m) / inside.thickness_m
            hot, cold = self.at(inside.top_m), self.at(inside.top_m + inside.thickness_m)
            self._known[key] = hot + share * (cold - hot)
        if key not in self._known:
            before, after = self._part(0.0, depth_m), self._part(depth_m, self.end_m)
            if before is None:
                self._known[key] = self.hot_C
            elif after is None:
                self._known[key] = self.cold_C
            else:
                wave = inner_temperature(before, after, self._hot, self._cold)
                if self._aired:
                    wave[:, 0] = self.samples * self._mean_between(depth_m)
                self._known[key] = np.fft.irfft(wave, n=self.samples, axis=1)
        return self._known[key]

    def _channel_at(self, depth_m: float) -> Slice | None:
        """The channel in whose air a depth lies: there the history is straight in between."""
        for piece in self.slices:
            end = piece.top_m + piece.thickness_m
            if piece.branch is not None and piece.top_m + 1e-9 < depth_m < end - 1e-9:
                return piece
        return None

    def _mean_between(self, depth_m: float) -> Floats:
        """Mean at a depth that lies in no channel's air."""
        before: Steady | None = None
        after: Steady | None = None
        for piece in self.slices:
            share = min(max((depth_m - piece.top_m) / piece.thickness_m, 0.0), 1.0)
            for part, first in ((share, True), (1.0 - share, False)):
                if part <= 1e-9:
                    continue
                if piece.branch is None:
                    layer = steady_layer(piece.r_m2K_W * part)
                else:
                    layer = steady_channel(*(piece.branch[:, i] for i in range(4)))
                if first:
                    before = layer if before is None else steady_joined(before, layer)
                else:
                    after = layer if after is None else steady_joined(after, layer)
        assert before is not None and after is not None
        return between_C(before, after, self.hot_C.mean(axis=1), self.cold_C.mean(axis=1))

    def mean_at(self, depth_m: float) -> Floats:
        """Mean over the cycle at a depth, (members,): straight between the faces in resistance, as
        only the steady part of the heat has a mean."""
        if self._aired:
            return np.asarray(self.at(depth_m).mean(axis=1))
        before = np.zeros(self.hot_C.shape[0])
        total = np.zeros(self.hot_C.shape[0])
        for piece in self.slices:
            inside = min(max((depth_m - piece.top_m) / piece.thickness_m, 0.0), 1.0)
            before += inside * piece.r_m2K_W
            total += piece.r_m2K_W
        hot, cold = self.hot_C.mean(axis=1), self.cold_C.mean(axis=1)
        return np.asarray(hot + (cold - hot) * before / total)


def spread(runs: list[Floats], over: Floats | float | None = None) -> Spread:
    """One Spread from the runs of the damper's ends: upper and lower envelope case by case. `over`:
    what a rise counts from, of temperatures and their differences."""
    if len(runs) == 1:
        return Spread(values=runs[0], floor=runs[0], over=over)
    stacked = np.stack(runs)
    return Spread(values=stacked.max(axis=0), floor=stacked.min(axis=0), over=over)


def depth_heat(profiles: list[Profile], depth_m: float) -> DepthHeat:
    """The cycle at one depth over all runs. Time of peak is that of the median case, first run."""
    histories = [profile.at(depth_m) for profile in profiles]
    peaks = [h.max(axis=1) for h in histories]
    middle = int(np.argsort(peaks[0], kind="stable")[len(peaks[0]) // 2])
    step = profiles[0].period_s / profiles[0].samples
    room_C = profiles[0].room_C
    return DepthHeat(
        depth_m=depth_m, peak_C=spread(peaks, room_C),
        mean_C=spread([h.mean(axis=1) for h in histories], room_C),
        swing_K=spread([h.max(axis=1) - h.min(axis=1) for h in histories], 0.0),
        peak_at_s=float(np.argmax(histories[0][middle])) * step,
    )  # fmt: skip


def hours_above(profiles: list[Profile], depth_m: float, limit_C: float) -> Spread:
    """Hours of one cycle that a depth spends above a temperature."""
    runs = []
    for profile in profiles:
        share = (profile.at(depth_m) > limit_C).mean(axis=1)
        runs.append(np.asarray(share * profile.period_s / 3600.0))
    return spread(runs)
