"""Own weight: printed coefficients, hand counts, and a plate of finite elements."""

from __future__ import annotations

import numpy as np
import pytest
import skfem
from numpy.typing import NDArray
from skfem.helpers import dd, ddot, trace

from stovelint.heat import deadload
from tests.heat.close import close

PLATES = "Timoshenko and Woinowsky-Krieger, Plates and Shells, table 8, nu 0.3 (recalled)"
ROWS = np.array([
    # long / short, sag w D / (q s^4), moment of the short span M / (q s^2)
    [1.0, 0.00406, 0.0479], [1.1, 0.00485, 0.0554], [1.2, 0.00564, 0.0627],
    [1.3, 0.00638, 0.0694], [1.4, 0.00705, 0.0755], [1.5, 0.00772, 0.0812],
    [1.6, 0.00830, 0.0862], [1.7, 0.00883, 0.0908], [1.8, 0.00931, 0.0948],
    [1.9, 0.00974, 0.0985], [2.0, 0.01013, 0.1017], [3.0, 0.01223, 0.1189],
    [4.0, 0.01282, 0.1235], [5.0, 0.01297, 0.1246],
])  # fmt: skip


def coefficients(ratio: float, nu: float) -> tuple[float, float]:
    """Of sag and moment, from a plate with other sizes, so that no size cancels unseen."""
    q, s, t, young = 1700.0, 0.8, 0.05, 25e9
    found = deadload.two_way(q, (s, ratio * s), t, young, nu)
    stiff = young * t**3 / (12.0 * (1.0 - nu * nu))
    return float(found.sag_m * stiff / (q * s**4)), float(
        found.stress_Pa * t * t / 6.0 / (q * s * s)
    )


@pytest.mark.parametrize(("ratio", "sag", "moment"), ROWS.tolist())
def test_printed_coefficients_of_plates(ratio: float, sag: float, moment: float) -> None:
    """The printed sags of 1.1 and 1.4 are 0.4 % short of the series that they were summed from, as
    Navier's double series below shows too."""
    found = coefficients(ratio, 0.3)
    close(found[0], sag, within=0.006 if ratio in (1.1, 1.4) else 0.002, source=PLATES,
          because="three printed digits, the smallest 406; two rows are summed short")  # fmt: skip
    close(found[1], moment, within=0.0021, because="three printed digits, the smallest 479",
          source=PLATES)  # fmt: skip


def navier(ratio: float, nu: float) -> tuple[float, float]:
    """The same two coefficients from Navier's double sine series: no term of Levy's is in it."""
    m = 2.0 * np.arange(600) + 1.0
    sign = np.where(np.arange(600) % 2 == 0, 1.0, -1.0)
    x, y = m[:, None] ** 2, (m[None, :] / ratio) ** 2
    load = 16.0 * sign[:, None] * sign[None, :] / (m[:, None] * m[None, :]) / (x + y) ** 2
    return float(load.sum() / np.pi**6), float((load * (x + nu * y)).sum() / np.pi**4)


@pytest.mark.parametrize("ratio", [1.0, 1.1, 1.4, 2.0, 5.0])
@pytest.mark.parametrize("nu", [0.0, 0.3])
def test_against_the_double_series(ratio: float, nu: float) -> None:
    close(coefficients(ratio, nu), navier(ratio, nu), within=2e-5,
          because="600 terms each way: the moment's series falls off slowly",
          source="Navier's double series (textbook, exact)")  # fmt: skip


def test_a_long_plate_is_a_strip() -> None:
    """1/8 and 5/384: and the strip's sag over that of the beam is 1 - nu^2."""
    sag, moment = coefficients(40.0, 0.25)
    close([sag, moment], [5.0 / 384.0, 0.125], within=1e-9,
          because="exact limit of the series", source="strip between two rests")  # fmt: skip
    assert coefficients(50.0, 0.25) == coefficients(5000.0, 0.25)
    plate = deadload.two_way(900.0, (0.7, 70.0), 0.04, 9e9, 0.25)
    beam = deadload.one_way(900.0, 0.7, 0.04, 9e9)
    assert plate.stress_Pa == pytest.approx(float(beam.stress_Pa))
    assert plate.sag_m == pytest.approx(float(beam.sag_m) * (1.0 - 0.25**2))


def test_beams_by_hand() -> None:
    """1 m wide, s 2 m, t 0.1 m, 3 kN/m2: M 1.5 kNm, W 1/600 m3: 0.9 MPa; I 1/12000 m4, E 10 GPa:
    5 x 3000 x 16 / (384 x 10e9 / 12000) = 0.75 mm."""
    found = deadload.one_way(3000.0, 2.0, 0.1, 10e9)
    assert found.stress_Pa == pytest.approx(0.9e6) and found.sag_m == pytest.approx(0.75e-3)
    assert deadload.one_way(3000.0, 2.0, 0.1).sag_m == 0.0
    assert deadload.two_way(3000.0, (2.0, 1.0), 0.1).sag_m == 0.0
    assert deadload.weight_Pa(2000.0, 0.5) == 9806.65


def test_cap_strips_of_the_school() -> None:
    """Note in its plan: strips of 60 mm over 900 mm that carry 3.0 kN/m2 in all: 0.5 MPa."""
    close(deadload.one_way(3000.0, 0.9, 0.06).stress_Pa, 0.5e6, within=0.02,
          because="given to one digit, 0.506", source="note in a plan of this repository")


@pytest.mark.parametrize("nu", [0.0, 0.2, 0.3])
def test_either_side_may_come_first_and_arrays_broadcast(nu: float) -> None:
    one = deadload.two_way(1000.0, (0.6, 0.9), 0.05, 20e9, nu)
    assert one == deadload.two_way(1000.0, (0.9, 0.6), 0.05, 20e9, nu)
    many = deadload.two_way(1000.0, (np.array([0.6, 0.6]), 0.9), 0.05, 20e9, nu)
    assert many.stress_Pa.tolist() == [one.stress_Pa] * 2
    assert deadload.two_way(1.0, (1.0, 1.0), 1.0, 1.0) == deadload.two_way(
        1.0, (1.0, 1.0), 1.0, 1.0, 0.2
    )


def elements(ratio: float, nu: float, cells: int = 32) -> tuple[float, float]:
    """Sag and short-span moment in the middle of a plate of Morley's triangles, D = q = s = 1."""
    nodes = np.linspace(0.0, 1.0, cells + 1), np.linspace(0.0, ratio, cells + 1)
    mesh = skfem.MeshTri.init_tensor(*nodes)
    basis = skfem.Basis(mesh, skfem.ElementTriMorley())

    def moments(c: NDArray[np.float64]) -> NDArray[np.float64]:
        unit = np.zeros_like(c)
        unit[0, 0] = unit[1, 1] = trace(c)
        return np.asarray((1.0 - nu) * c + nu * unit)

    stiff = skfem.BilinearForm(lambda u, v, w: ddot(moments(dd(u)), dd(v))).assemble(basis)
    load = skfem.LinearForm(lambda v, w: v).assemble(basis)
    held = basis.get_dofs().all("u")
    u = skfem.solve(*skfem.condense(stiff, load, D=held))
    c = np.asarray(dd(basis.interpolate(u)))
    x = np.asarray(basis.global_coordinates())
    m = -moments(c)[0, 0]
    near = np.hypot(x[0] - 0.5, x[1] - 0.5 * ratio) < 0.06
    middle = np.argmin(np.hypot(mesh.p[0] - 0.5, mesh.p[1] - 0.5 * ratio))
    return float(u[basis.nodal_dofs[0, middle]]), float(m[near].mean())


@pytest.mark.parametrize("ratio", [1.0, 1.6])
@pytest.mark.parametrize("nu", [0.15, 0.3])
def test_plate_against_finite_elements(ratio: float, nu: float) -> None:
    close(coefficients(ratio, nu), elements(ratio, nu), within=0.01,
          because="32 cells a side; the moment is a mean over the middle",
          source="scikit-fem, Morley's plate")  # fmt: skip


def test_round_plate_by_hand_and_by_equilibrium() -> None:
    """d 2 m, t 0.1 m, 1 kN/m2, nu 0.2: M = 3.2 x 1000 x 4 / 64 = 200 N, 6 M / t2 = 0.12 MPa. Over
    half of it the moments along the cut, which fall from M to 0 along the line and to
    (1 - nu) 2 / (3 + nu) M across it at the edge, carry the load on that half."""
    assert deadload.round_plate(1000.0, 2.0, 0.1, 0.2) == pytest.approx(0.12e6)
    assert deadload.round_plate(1000.0, 2.0, 0.1) == pytest.approx(0.12e6)
    q, radius, nu = 1000.0, 1.0, 0.3
    middle = float(deadload.round_plate(q, 2.0 * radius, 0.1, nu)) * 0.1**2 / 6.0
    r = np.linspace(-radius, radius, 20001)
    hoop = middle - (1.0 + 3.0 * nu) * q * r * r / 16.0
    held = np.trapezoid(hoop, r)
    half = 0.5 * np.pi * radius**2 * q  # its load acts 4 R / 3 pi off the cut, the rest 2 R / pi
    assert held == pytest.approx(half * (2.0 / np.pi - 4.0 / (3.0 * np.pi)) * radius, rel=1e-6)
