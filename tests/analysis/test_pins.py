"""Pins in printed holes: Hetenyi's finite beam against limits and a frame of beams on springs."""

import numpy as np
import pytest

from refledge.analysis.pins import end_give, foundation_decay, pin_use, shear_plane_stiffness

STEEL, NYLON, PLASTIC = 205e9, 2e9, 1.6e9


def bending(E: float, d: float) -> float:
    return E * np.pi * d**4 / 64


def solved(foundation: float, EI: float, length: float, count: int = 400) -> float:
    """End give, m/N, of a free beam on a foundation by finite elements (Hermite cubics, the
    foundation's consistent matrix), written here: independent of the closed form."""
    h = length / count
    k = EI / h**3 * np.array([[12, 6*h, -12, 6*h], [6*h, 4*h*h, -6*h, 2*h*h],
                              [-12, -6*h, 12, -6*h], [6*h, 2*h*h, -6*h, 4*h*h]])  # fmt: skip
    w = foundation * h / 420 * np.array([
        [156, 22*h, 54, -13*h], [22*h, 4*h*h, 13*h, -3*h*h],
        [54, 13*h, 156, -22*h], [-13*h, -3*h*h, -22*h, 4*h*h],
    ])  # fmt: skip
    K = np.zeros((2 * count + 2, 2 * count + 2))
    for e in range(count):
        K[2 * e : 2 * e + 4, 2 * e : 2 * e + 4] += k + w
    force = np.zeros(len(K))
    force[0] = 1.0
    return float(np.linalg.solve(K, force)[0])


@pytest.mark.parametrize(("E", "d", "length"), [
    (STEEL, 3e-3, 5e-3), (STEEL, 3e-3, 17e-3), (NYLON, 5e-3, 6e-3), (NYLON, 3e-3, 30e-3),
])  # fmt: skip
def test_the_closed_form_is_that_of_beams_on_springs(E: float, d: float, length: float) -> None:
    EI = bending(E, d)
    assert float(end_give(PLASTIC, EI, length)) == pytest.approx(
        solved(PLASTIC, EI, length), rel=1e-5
    )


def test_a_stiff_pin_rocks_and_a_long_one_feels_no_far_end() -> None:
    assert float(end_give(1e9, 1e6, 0.01)) == pytest.approx(4 / (1e9 * 0.01), rel=1e-6)
    EI = bending(NYLON, 3e-3)
    beta = float(foundation_decay(PLASTIC, EI))
    assert float(end_give(PLASTIC, EI, 0.2)) == pytest.approx(2 * beta / PLASTIC, rel=1e-9)


def test_a_stiffer_or_thicker_bolt_holds_stiffer() -> None:
    def plane(E: float, d: float) -> float:
        return float(shear_plane_stiffness(PLASTIC, 15e-3, PLASTIC, 5e-3, E, d))

    rising = [plane(*each) for each in ((NYLON, 3e-3), (NYLON, 4e-3), (STEEL, 4e-3), (STEEL, 6e-3))]
    assert rising == sorted(rising)
    assert rising[0] < 0.7 * rising[2]
    # two planes of one plastic in parallel, each two gives in series
    one = float(end_give(PLASTIC, bending(STEEL, 4e-3), 5e-3))
    two = float(end_give(PLASTIC, bending(STEEL, 4e-3), 15e-3))
    assert rising[2] == pytest.approx(1 / (one + two))


def test_use_of_a_bolt_in_pure_pull_and_in_pure_shear() -> None:
    """1 kN on 10 mm2 is 100 MPa; in shear that over the root of three of the strength."""
    assert float(pin_use(1e3, 0.0, 1e-5, 200e6)) == pytest.approx(0.5)
    assert float(pin_use(0.0, 1e3, 1e-5, 200e6)) == pytest.approx(0.5 * 3**0.5)
    both = float(pin_use(1e3, 1e3, 1e-5, 200e6))  # principal: 50 + sqrt(50^2 + 100^2) MPa
    assert both == pytest.approx(max((50 + 12500**0.5) / 200, 0.5 * 3**0.5))
