"""A layered wall whose hot face is known by the hour, as one day of many alike.

Hot face: straight between the readings; after them as the fixture says. The wall answers by
`heat.layers`; the outer film is `heat.films`, its change with temperature carried as forcing in a
few rounds. The 32 cases take their places from `hotmap.cases`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.films import outside_film_W_m2K
from stovelint.heat.layers import (
    chain, face_temperatures, harmonics_rad_s, layer_admittance,
)  # fmt: skip
from stovelint.hotmap.cases import between, inputs, places
from tests.experiments.point import Point, fixture, point

CASE = "wall-behind-open-fire"
DAY_S, SAMPLES = 86400.0, 480
STIFF_W_m2K = 1e7  # a film so strong that the face is where it was measured
ROUNDS = 12

Floats = NDArray[np.float64]


def hot_face_C(times_h: Floats, readings_C: Floats, ends_h: Floats) -> Floats:
    """(M, SAMPLES) from 8:00 on; `ends_h` (M,) when the fire goes out."""
    hours = times_h[0] + np.arange(SAMPLES) * 24.0 / SAMPLES
    read = np.interp(hours, times_h, readings_C)
    rest = np.maximum(hours - ends_h[:, None], 0.0)
    # reaches the morning's reading, which lies this far above the house air, a day after the first
    air_C = 21.0
    left = np.log((readings_C[-1] - air_C) / (readings_C[0] - air_C))
    rate = left / (times_h[0] + 24.0 - ends_h[:, None])
    return np.asarray(air_C + (read - air_C) * np.exp(-rate * rest), dtype=np.float64)


def back_C() -> tuple[Floats, Floats]:
    """Hours of the day and the back face of all cases at them, (M, SAMPLES)."""
    case = fixture(CASE)
    wall, left_open = case["wall"], case["open"]
    at = places()
    value = inputs(at)

    def spread(name: str, place: str) -> Floats:
        low, mid, high = left_open[name]
        return between(low, mid, high, at[place])

    front = spread("fire_brick_m", "charge")
    rest = wall["thickness_m"] - front
    block = np.arange(len(front)) % 2 == 1
    k = np.where(block, spread("block_k_W_mK", "k:portland-concrete"),
                 spread("brick_k_W_mK", "k:fired-clay-brick"))  # fmt: skip
    c = np.where(block, spread("block_c_J_m3K", "film"), spread("brick_c_J_m3K", "film"))
    layers = (
        (front / spread("fire_brick_k_W_mK", "k:fireclay-brick"),
         front * spread("fire_brick_c_J_m3K", "moisture")),
        (rest / k, rest * c),
    )  # fmt: skip
    omega = harmonics_rad_s(DAY_S, SAMPLES)
    admittance = chain([layer_admittance(r, c, omega) for r, c in layers])
    times = np.array(wall["times_h"], dtype=np.float64)
    face = hot_face_C(times, np.array(wall["fireback_C"]), spread("fire_ends_h", "burn_time"))
    air = float(np.mean(wall["house_air_C"])) + value["room"]
    hot = np.full(len(front), STIFF_W_m2K)
    film = np.full(len(front), 9.0)
    drive = np.broadcast_to(air, face.shape)
    back = drive + 10.0
    for _ in range(ROUNDS):
        own = outside_film_W_m2K(
            back, air, left_open["emissivity"], left_open["height_m"], "vertical"
        )
        own = own * value["room_film"]
        film = own.mean(axis=1)
        # own (t - air) = film (t - drive)
        drive = back - own / film[:, None] * (back - air)
        _, cold = face_temperatures(
            admittance, hot, np.fft.rfft(face), film, np.fft.rfft(drive)
        )
        back = np.fft.irfft(cold, n=SAMPLES)
    return times[0] + np.arange(SAMPLES) * 24.0 / SAMPLES, back


def points() -> tuple[Point, ...]:
    """The back face by the hour; the rise is over the house air."""
    wall = fixture(CASE)["wall"]
    hours, back = back_C()
    air = float(np.mean(wall["house_air_C"]))
    return tuple(
        point(f"back face at {hour}:00", "degC", air, measured,
              back[:, int(np.argmin(np.abs(hours - hour)))])
        for hour, measured in zip(wall["times_h"], wall["back_C"])
    )  # fmt: skip
