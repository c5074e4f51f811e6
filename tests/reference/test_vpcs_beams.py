"""Three beams of the Societe Francaise des Mecaniciens' Guide VPCS, as quoted in Code_Aster.

SDLL15/89 slender tube with an end mass, centred and eccentric (sdll15a.comm, READ+RECOMP, C1.15);
SDLL09/89 cantilever tapered both ways (sdll09a.comm, after Mabie and Rogers, J. Acoust. Soc. Am. 51
(1972) 1771, READ, C1.16); SDLL02/89 slender cantilever (V2.02.002 READ, figures DERIVED, C1.18).
All three are Euler-Bernoulli solutions, so shear and rotary inertia in bending are switched off.
"""

import numpy as np

from refledge.analysis.beam import PointMass, frame_of, line_mesh, modes, rigid_body_mass
from refledge.analysis.sections import rectangle, tube
from tests.reference.models import ROOT, cantilever, slender

TUBE = tube(0.350, 0.320)
STEEL = {"E": 2.1e11, "G": 2.1e11 / 2.6, "rho": 7800.0}


def tube_with_end_mass(offset_y):
    mass = PointMass(40, 1000.0, offset=np.array([0.0, offset_y, 0.0]))
    return slender(cantilever(TUBE, **STEEL, length=10.0, count=40, masses=[mass]))


def test_sdll15_centred_mass():
    """Tolerance 0.5 %: the first reference value carries three digits."""
    found, _ = modes(tube_with_end_mass(0.0), 10, ROOT)
    wanted = [1.65, 1.65, 16.07, 16.07, 50.02, 50.02, 76.47, 80.47, 103.2, 103.2]
    np.testing.assert_allclose(found, wanted, rtol=5e-3)


def test_sdll15_eccentric_mass():
    """Tolerance 0.05 %, twice what an independent recomputation leaves (13.455 to 13.460)."""
    found, shapes = modes(tube_with_end_mass(1.0), 8, ROOT)
    wanted = [1.636, 1.642, 13.460, 13.590, 28.90, 31.96, 61.62, 63.93]
    np.testing.assert_allclose(found, wanted, rtol=5e-4)
    tip = shapes[:, -1]
    # Twist over deflection at the tip, two digits printed for mode 1 and four for mode 4. An
    # offset along +y gives the twist the sign of the deflection's inertia: magnitudes compare.
    np.testing.assert_allclose(abs(tip[0, 3] / tip[0, 2]), 0.030, rtol=0.02)
    np.testing.assert_allclose(abs(tip[3, 3] / tip[3, 2]), 1.922, rtol=2e-3)
    assert np.sign(tip[0, 3] / tip[0, 2]) != np.sign(tip[3, 3] / tip[3, 2])


def tapered(count):
    nodes, elements = line_mesh((0, 0, 0), (1.0, 0, 0), count)
    side = 0.04 - 0.03 * (np.arange(count) + 0.5) / count
    return frame_of(nodes, elements, rectangle(side, side), 2.0e11, 2.0e11 / 2.6, 7800.0)


def test_sdll09_double_taper():
    """Taper 4 to 1, f = lambda h1 / (2 pi L^2) sqrt(E / 12 rho); 0.3 % as the reference's solution.

    Bending is the same about both axes, so each frequency comes twice. 160 stepped elements: the
    step error falls with the square of their length and is 0.01 % here.
    """
    factors = np.array([23.289, 73.9, 165.23, 299.7, 478.1])
    wanted = factors * 0.01 / (2 * np.pi) * np.sqrt(2.0e11 / (12 * 7800.0))
    found, _ = modes(slender(tapered(160)), 10, ROOT)
    np.testing.assert_allclose(found[::2], wanted, rtol=3e-3)
    np.testing.assert_allclose(found[1::2], wanted, rtol=3e-3)


def test_sdll09_mass_and_centre():
    """Mass 5.46 kg, centre 0.3214 m from the root (9/28); steps err with their length squared."""
    body = rigid_body_mass(tapered(160))
    np.testing.assert_allclose(body.mass, 5.46, rtol=1e-4)
    np.testing.assert_allclose(body.centre[0], 9 / 28, rtol=1e-4)


def test_sdll02_slender_cantilever():
    """0.5 m, 50 x 5 mm steel: five frequencies flatwise, 0.1 %."""
    section = rectangle(0.050, 0.005)
    frame = slender(cantilever(section, **STEEL, length=0.5, count=20))
    held = [6 * i + d for i in range(21) for d in (0, 1, 3, 5)]
    found, _ = modes(frame, 5, np.union1d(ROOT, held))
    np.testing.assert_allclose(found, [16.764, 105.057, 294.163, 576.441, 952.90], rtol=1e-3)
