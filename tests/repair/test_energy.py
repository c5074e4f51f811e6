"""The static energy method against the falling weight and a mass striking a beam.

Timoshenko, Strength of Materials (strain energy and impact): a weight falling h on a spring
deflects it 1 + sqrt(1 + 2 h / static) times as far as at rest. Cox (1849), in Timoshenko's impact
on beams and Roark's elastic bodies under impact: 17/35 of a hinged beam moves with the mass at its
middle.
"""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.blows import energy
from refledge.airframe.blows.cases import CrashCase
from refledge.airframe.blows.energy import GRAVITY, beam_share, blow, peak_force
from refledge.analysis import sections
from refledge.analysis.assembly import matrices
from refledge.analysis.frame import BeamFrame, PointMass, frame_of, line_mesh
from refledge.analysis.modal import modes
from refledge.analysis.solve import rigid_body_mass, solve_free
from refledge.repair import kernel
from refledge.repair.marching import Crashes, Model, follow
from refledge.repair.reduced import RIGID

# Falling weight, drop over static deflection to greatest over static: derived, 1 + sqrt(1 + 2 h/d).
FALLING = {0: 2.0, 1: 2.73205, 2: 3.23607, 5: 4.31662, 10: 5.58258, 50: 11.04988}


@pytest.mark.parametrize(("ratio", "factor"), FALLING.items())
def test_a_falling_weight_presses_as_published(ratio: float, factor: float) -> None:
    mass, stiffness = 2.0, 4.0e4
    static = mass * GRAVITY / stiffness
    speed = np.sqrt(2 * GRAVITY * ratio * static)
    assert peak_force(mass, speed, stiffness) / (mass * GRAVITY) == pytest.approx(factor, rel=2e-6)


@pytest.mark.parametrize("struck", [2.0, 5.0])
def test_a_mass_that_strikes_a_beam_bends_it_as_the_formula_says(struck: float) -> None:
    """All modes of the beam with the mass on it, started by the mass alone at speed v.

    The formula keeps the static shape; what the other modes add or take at 2 and 5 times the beam's
    mass is under 0.3 %. Slender, so that shear, which the formula leaves out, adds 0.1 %.
    """
    length, side, E, rho = 0.4, 0.008, 2e9, 1200.0
    nodes, elements = line_mesh([0, 0, 0], [length, 0, 0], 24)
    beam = rho * side**2 * length
    weight = PointMass(12, struck * beam)
    square = sections.rectangle(np.array([side]), np.array([side]))
    frame = frame_of(nodes, elements, square, E, E / 2.6, rho, masses=(weight,))
    hinged = np.array([0, 1, 2, 3, 6 * 24 + 1, 6 * 24 + 2])
    frequencies, shapes = modes(frame, 30, hinged)
    middle = shapes[:, 12, 2]
    omega = 2 * np.pi * frequencies
    modal = np.array([_modal_mass(frame, shape) for shape in shapes])
    # q_k(t) = phi_k(mid) M v / (m_k w_k) sin w_k t
    time = np.linspace(0, 1.2 * np.pi / omega[np.argmax(np.abs(middle))], 4000)
    push = middle**2 * weight.mass / modal / omega
    exact = float((push[:, None] * np.sin(omega[:, None] * time)).sum(axis=0).max())
    stiffness = 48 * E * (side**4 / 12) / length**3
    # energy left once beam and mass move together
    share = beam_share(beam, weight.mass)
    formula = float(np.sqrt(weight.mass * share / stiffness))
    assert exact == pytest.approx(formula, rel=0.005)


def _modal_mass(frame: BeamFrame, shape: np.ndarray) -> float:
    _, M = matrices(frame)
    flat = shape.ravel()
    return float(flat @ (M @ flat))


def test_the_march_meets_the_energy_method_where_nothing_waves(
    model: Model, cases: dict[str, CrashCase]
) -> None:
    """One arm's tip struck slowly: the arm struck bends as the static method says, within what the
    wave in the frame adds or takes (a third, the spread between the two seen on all cases)."""
    case = cases["arm-tip"]
    hit = blow(model, case, 1.0)
    one, ones = np.ones((1, 1)), np.ones((1, len(model.parts)))
    crash = Crashes(one * case.up, one * case.velocity, one * case.turn, ones, ones)
    peak = dict(zip(model.parts, follow(model, crash, 0.02, breaks=0).peak[0], strict=True))
    arm = max(hit.uses, key=lambda part: hit.uses[part] if part.startswith("arm") else 0.0)
    assert peak[arm] == pytest.approx(hit.uses[arm], rel=0.35)


def test_force_is_in_proportion_to_speed_and_root_of_stiffness() -> None:
    """Without weight: v sqrt(k m)."""
    assert peak_force(2.0, 10.0, 4e6) == pytest.approx(10.0 * np.sqrt(2.0 * 4e6), rel=2e-3)


def test_an_aircraft_hit_off_its_centre_feels_less_mass(
    model: Model, cases: dict[str, CrashCase]
) -> None:
    """1 / m = 1 / M + (r x n) I^-1 (r x n), a rigid body hit at r from its centre along n (any
    mechanics text on impact)."""
    tip, flat = blow(model, cases["arm-tip"], 5.0), blow(model, cases["flat-drop"], 5.0)
    assert tip.mass < 0.5 * flat.mass
    whole = sum(each.mass for each in model.frame.masses)
    assert whole < flat.mass < 1.4 * whole  # lumps, and beams of arms and legs besides
    body, up = rigid_body_mass(model.frame), cases["arm-tip"].up
    low = min(model.points, key=lambda point: float(point.place @ up))
    lever = np.cross(low.place - body.centre, up)
    felt = 1 / (1 / body.mass + lever @ np.linalg.solve(body.inertia, lever))
    assert tip.mass == pytest.approx(felt, rel=1e-6)
    faster = blow(model, replace(cases["arm-tip"]), 10.0)
    assert faster.breaking_speed("plates") == pytest.approx(tip.breaking_speed("plates"), rel=0.02)


def test_stress_from_modes_and_correction_is_that_of_the_static_solve(
    model: Model, cases: dict[str, CrashCase]
) -> None:
    """A steady push on one foot: modes kept, and the correction for those left out, against inertia
    relief of the whole frame, part by part; two ways through different code, to rounding."""
    case, reduced = cases["one-leg"], model.reduced(frozenset())[0]
    touching = energy._touching(model, case)
    loads = energy._unit_loads(model, case, touching)
    wanted, _ = energy._uses(model, solve_free(model.frame, loads).displacements, 1.0)
    q = np.zeros(len(reduced.squares))
    q[RIGID:] = (loads.ravel() @ reduced.shapes)[RIGID:] / reduced.squares[RIGID:]
    contact = np.zeros(3 * len(model.points))
    for k in touching:
        contact[3 * k : 3 * k + 3] = case.up / len(touching)
    table = model.reduced(frozenset())[1]
    found, ones = np.zeros(len(model.parts)), np.ones(len(model.parts))
    kernel._uses(q, contact, reduced.recover, reduced.steady, table.normal, table.shear,
                 table.strength, table.layers, table.part_of, ones, ones, found)  # fmt: skip
    assert found == pytest.approx([wanted[part] for part in model.parts], rel=1e-6)
