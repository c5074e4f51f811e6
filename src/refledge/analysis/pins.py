"""Pins in printed holes: a shank as a beam on the elastic foundation of its hole; plain arrays."""

import numpy as np

from refledge.analysis.strength import Value, principal_tension
from refledge.typed import Floats


def foundation_decay(foundation: Value, bending: Value) -> Floats:
    """beta, 1/m, of a beam of bending stiffness E I (N m2) on a foundation (N/m2).

    Hetenyi, Beams on Elastic Foundation: (k / (4 E I))^(1/4).
    """
    return np.asarray((np.asarray(foundation) / (4.0 * np.asarray(bending))) ** 0.25)


def end_give(foundation: Value, bending: Value, length: Value) -> Floats:
    """How far the end of a free pin gives under a force there, m/N; ``length`` in its hole, m.

    Hetenyi, Beams on Elastic Foundation, finite beam with free ends under an end force:
    2 beta / k (sinh cosh - sin cos) / (sinh^2 - sin^2) of beta L. A stiff pin gives 4 / (k L).
    """
    beta = foundation_decay(foundation, bending)
    x = np.minimum(beta * np.asarray(length), 20.0)  # longer ones give as endless ones do
    over = np.sinh(x) * np.cosh(x) - np.sin(x) * np.cos(x)
    under = np.sinh(x) ** 2 - np.sin(x) ** 2
    return np.asarray(2.0 * beta / foundation * over / under)


def shear_plane_stiffness(
    E_one: Value, length_one: Value, E_other: Value, length_other: Value, E: Value, diameter: Value
) -> Floats:
    """Stiffness of one shear plane of a pin between two printed parts, N/m.

    The hole's wall is a foundation of the plastic's modulus, N/m2: as the bearing term 1 / (E t) of
    Tate and Rosenfeld, NACA TN 1051, 1946 has it (from memory; an estimate). No moment passes from
    one part to the other through the pin: exact where both are alike.
    """
    bending = np.asarray(E) * np.pi * np.asarray(diameter) ** 4 / 64.0
    one, other = (
        end_give(modulus, bending, length)
        for modulus, length in ((E_one, length_one), (E_other, length_other))
    )
    return np.asarray(1.0 / (one + other))


def pin_use(tension: Value, shear: Value, area: Value, strength: Value) -> Floats:
    """Use of a bolt's strength (1) under tension and shear in one plane, N; area in m2.

    The greater of principal tension against tensile strength and of mean shear against that over
    the root of three (the yield shear of von Mises; plain polyamide and steel both lie near it).
    """
    sigma, tau = np.asarray(tension) / area, np.asarray(shear) / area
    principal = principal_tension(sigma, tau)
    return np.asarray(np.maximum(principal, np.sqrt(3.0) * tau) / strength)
