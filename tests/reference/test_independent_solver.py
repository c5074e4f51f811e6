"""A whole six-arm airframe against an independent frame solver, pystran 0.3 (PyPI, MIT; P. Krysl).

Same nodes, sections, tip masses and body; pystran knows Euler-Bernoulli beams with polar inertia,
so shear and rotary inertia in bending are off here. The bar is 0.5 %; both are cubic elements, so
they must agree to rounding, and 1e-6 is asserted.
"""

import sys
from unittest.mock import MagicMock, patch

import numpy as np

from refledge.analysis.beam import PointMass, all_dofs, frame_of, modes, solve_static
from tests.reference.models import slender
from tests.reference.six_arms import six_arms

# pystran's drawing module wants matplotlib, which nothing here needs: a stand-in is imported.
with patch.dict(sys.modules, {"pystran.plots": MagicMock()}):
    import pystran.model as other
    from pystran.section import beam_3d_section


def ours(case):
    motor = case.motor_inertia * np.eye(3)
    masses = [PointMass(tip, case.motor, motor) for tip in case.tips]
    masses.append(PointMass(0, case.body, np.diag(case.body_inertia)))
    return slender(
        frame_of(
            case.nodes, case.elements, case.section, case.E, case.G, case.rho, masses=tuple(masses)
        )
    )


def theirs(case, held=()):
    m = other.create(3)
    s = case.section
    beam = beam_3d_section(
        "arm",
        E=case.E,
        G=case.G,
        A=float(s.area),
        Ix=float(s.Iy + s.Iz),
        Iy=float(s.Iy),
        Iz=float(s.Iz),
        J=float(s.J),
        rho=case.rho,
        xz_vector=[0, 0, 1],
    )
    for i, xyz in enumerate(case.nodes):
        other.add_joint(m, i, list(xyz))
    for i, (a, b) in enumerate(case.elements):
        other.add_beam_member(m, i, [int(a), int(b)], beam)
    lumps = dict.fromkeys(case.tips, (case.motor, (case.motor_inertia,) * 3))
    lumps[0] = (case.body, case.body_inertia)
    for node, (mass, inertia) in lumps.items():
        for d in range(3):
            other.add_mass(m["joints"][node], d, mass)
            other.add_mass(m["joints"][node], 3 + d, inertia[d])
    for node in held:
        other.add_support(m["joints"][node], range(6))
    return m


def test_modes_of_the_free_airframe():
    case = six_arms()
    m = theirs(case)
    other.number_dofs(m)
    other.solve_free_vibration(m)
    wanted = np.array(m["frequencies"])[6:21]
    found, _ = modes(ours(case), 15)
    np.testing.assert_allclose(found, wanted, rtol=1e-6)


def test_deflections_of_the_airframe_held_at_its_centre():
    case = six_arms()
    rng = np.random.default_rng(3)
    loads = np.zeros((len(case.nodes), 6))
    loads[list(case.tips)] = rng.normal(size=(6, 6)) * [1, 1, 10, 0.1, 0.1, 0.3]
    m = theirs(case, held=[0])
    for tip in case.tips:
        for d in range(6):
            other.add_load(m["joints"][tip], d, loads[tip, d])
    other.number_dofs(m)
    other.solve_statics(m)
    wanted = np.array([m["joints"][tip]["displacements"] for tip in case.tips])
    found = solve_static(ours(case), loads, all_dofs(0)).displacements[list(case.tips)]
    np.testing.assert_allclose(found, wanted, rtol=1e-6, atol=1e-12)
