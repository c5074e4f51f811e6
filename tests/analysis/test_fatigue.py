"""Lines of life against invented and measured bars; damage and steady shaking by hand."""

from math import sqrt

import numpy as np
import pytest

from refledge.analysis.fatigue import damage, life_line, same_damage
from refledge.analysis.frame import PointMass, frame_of
from refledge.analysis.modal import modes
from refledge.analysis.sections import rectangle
from refledge.analysis.shaken import steady, steady_ends
from refledge.errors import AnalysisError
from refledge.inputs.fatigue import fatigue_laws, fatigue_tests

SHARES = np.array([0.8, 0.5, 0.3, 0.2])
RUN_OUT = {"ASA": 8.42, "PC": 3.74, "PA12": 7.84, "PC-ABS": 4.97}
"""MPa: the highest at which a bar lasted a million cycles, in the same table."""
STRENGTH = {"ASA": 31.7, "PC": 57.1, "PA12": 37.0, "PC-ABS": 31.4}


def test_a_line_is_found_again() -> None:
    line = life_line(SHARES, 200.0 * SHARES**-5.5)
    assert (line.slope, 10**line.log_life) == pytest.approx((5.5, 200.0))
    assert line.scatter == pytest.approx(0.0, abs=1e-9)


def test_scatter_is_that_of_the_logarithm_with_two_freedoms_spent() -> None:
    """Two bars at each of two shares, a factor of ten apart: residuals of 1/2 in log10."""
    share = np.array([0.5, 0.5, 0.25, 0.25])
    line = life_line(share, np.array([1e3, 1e4, 1e5, 1e6]))
    assert line.slope == pytest.approx(2 / np.log10(2))
    assert line.scatter == pytest.approx(sqrt(4 * 0.25 / 2))


def test_lines_that_say_nothing_are_refused() -> None:
    with pytest.raises(AnalysisError, match="3 broken bars"):
        life_line(SHARES[:3], np.ones(3))
    with pytest.raises(AnalysisError, match="did not break sooner"):
        life_line(SHARES, SHARES)


@pytest.mark.parametrize("plastic", RUN_OUT)
def test_lines_err_safe_where_bars_begin_to_last(plastic: str) -> None:
    """Bars that lasted are not in the line, and it does not bend as they say it should: at a
    million cycles its safe side lies 7 (PC-ABS) to 26 % (PC) under the highest that lasted."""
    broken = [each for each in fatigue_tests() if each.material == plastic and each.broke]
    line = life_line(
        np.array([each.share for each in broken]), np.array([each.cycles for each in broken])
    )
    safe = 10 ** ((line.log_life - 2 * line.scatter - 6) / line.slope) * STRENGTH[plastic]
    assert 0.7 * RUN_OUT[plastic] < safe < RUN_OUT[plastic]
    lasted = [each for each in fatigue_tests() if each.material == plastic and not each.broke]
    assert max(each.share for each in lasted) * STRENGTH[plastic] == pytest.approx(RUN_OUT[plastic])


def test_the_given_line_of_pla_is_the_papers() -> None:
    """sigma(N) = 0.1 sigma_u (2e6 / N) ** (1 / 5.5), 90 % survival (Ezeh and Susmel 2019)."""
    (law,) = fatigue_laws()
    for cycles in (1e4, 2e6, 1e7):
        share = 0.1 * (2e6 / cycles) ** (1 / 5.5)
        assert damage([(share, cycles)], law.life, law.slope) == pytest.approx(1.0)


def test_cycles_of_one_ratio_are_their_own_equal() -> None:
    assert same_damage(0.4, 0.4 * 0.95, 0.05) == pytest.approx(0.4)
    assert same_damage(0.4, 0.1, 0.0) == pytest.approx(sqrt(0.4 * 0.1))
    assert same_damage(-0.4, 0.1, 0.0) == 0.0


def test_damage_adds() -> None:
    assert damage([(0.5, 100.0), (0.25, 800.0)], 100.0, 3.0) == pytest.approx(0.125 + 0.125)


def test_two_masses_on_a_light_rod_swing_as_by_hand() -> None:
    """Stretch F / (2 k (1 + i loss) - m w2), force in the rod k (1 + i loss) times it."""
    mass, loss, area, length, young = 0.2, 0.03, 1e-6, 0.1, 2e9
    section = rectangle(1e-3, 1e-3)
    ends = np.array([[0.0, 0.0, 0.0], [length, 0.0, 0.0]])
    masses = tuple(PointMass(node, mass, 1e-5 * np.eye(3)) for node in (0, 1))
    frame = frame_of(ends, np.array([[0, 1]]), section, young, 1e9, 1e-9, masses=masses)
    stiff = young * area / length * (1 + 1j * loss)
    loads = np.zeros((1, 2, 6), np.complex128)
    loads[0, 0, 0] = 3.0
    for omega in (50.0, 440.0, 900.0):
        moved = steady(frame, loads, omega, loss)
        stretch = 3.0 / (2 * stiff - mass * omega**2)
        assert moved[0, 0, 0] - moved[0, 1, 0] == pytest.approx(stretch, rel=1e-6)
        ends_ = steady_ends(frame, moved, omega, loss)
        assert ends_[0, 0, 0, 0] == pytest.approx(stiff * stretch, rel=1e-6)
        assert ends_[0, 0, 1, 0] == pytest.approx(-stiff * stretch, rel=1e-6)


def test_at_its_own_frequency_a_frame_swings_by_its_damping() -> None:
    """The part out of step, all of it modal, goes as 1 / loss."""
    section = rectangle(6e-3, 4e-3)
    nodes = np.array([[x, 0.0, 0.0] for x in np.linspace(0, 0.2, 5)])
    lines = np.array([[k, k + 1] for k in range(4)])
    masses = tuple(PointMass(node, 0.1, 1e-5 * np.eye(3)) for node in (0, 4))
    frame = frame_of(nodes, lines, section, 2e9, 8e8, 1200.0, masses=masses)
    frequency, _ = modes(frame, 1)
    loads = np.zeros((1, 5, 6), np.complex128)
    loads[0, 2, 2] = 1.0
    swings = [
        steady(frame, loads, 2 * np.pi * frequency[0], loss)[0, 2, 2].imag for loss in (4e-3, 2e-3)
    ]
    assert swings[1] / swings[0] == pytest.approx(2.0, rel=1e-3)


def test_beams_are_in_balance_where_they_meet() -> None:
    """Their own inertia in: at an unloaded node between two beams their ends cancel."""
    section = rectangle(6e-3, 4e-3)
    nodes = np.array([[x, 0.0, 0.0] for x in np.linspace(0, 0.2, 5)])
    frame = frame_of(nodes, np.array([[k, k + 1] for k in range(4)]), section, 2e9, 8e8, 1200.0)
    loads = np.zeros((1, 5, 6), np.complex128)
    loads[0, 0] = 1.0, 2.0, 3.0j, 0.01, 0.02j, 0.03
    moved = steady(frame, loads, 700.0, 0.02)
    ends = steady_ends(frame, moved, 700.0, 0.02)[0]
    assert ends[0, 0] == pytest.approx(loads[0, 0], abs=1e-9)
    for beam in range(3):
        assert ends[beam, 1] == pytest.approx(-ends[beam + 1, 0], abs=1e-9)
        assert np.abs(ends[beam, 1]).max() > 1e-3
    assert ends[3, 1] == pytest.approx(np.zeros(6), abs=1e-9)
