"""Stresses, buckling, impact and the ways in which printed plastic fails; plain arrays, SI.

Printed plastic is weak across its layers, so strength is judged twice: by the greatest tension in
the plane of the layers, and on the layer boundary itself. Von Mises' criterion, which trades
tension for shear as ductile metals do and cannot see the layers, is not used.
"""

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats

Value = Floats | float

# P = c pi^2 E I / L^2. Timoshenko and Gere, Theory of Elastic Stability, buckling of bars; the
# clamped-hinged case from the smallest root of tan x = x.
EULER = {
    "clamped-free": 0.25,
    "hinged-hinged": 1.0,
    "clamped-hinged": (4.493409457909064 / np.pi) ** 2,
    "clamped-clamped": 4.0,
}
# Real thin tubes buckle well below the classical stress: from memory, typical knock-down.
TUBE_KNOCK_DOWN = 0.5


def bending_stress(
    N: Value, My: Value, Mz: Value, A: Value, Iy: Value, Iz: Value, z: Value, y: Value
) -> Floats:
    """Axial stress at (y, z) from the centroid, Pa: N / A + My z / Iy - Mz y / Iz, moments
    right-handed about the section's axes."""
    return np.asarray(N / A + My * z / Iy - Mz * y / Iz)


def shear_stress(V: Value, Q: Value, second: Value, thickness: Value) -> Floats:
    """V Q / (I t), Pa. Timoshenko, Strength of Materials (Zhuravskii's formula)."""
    return np.asarray(np.abs(V) * Q / (second * thickness))


def principal_tension(sigma: Value, tau: Value) -> Floats:
    """Greatest tension in a plane state of one normal stress and shear, Pa (Mohr's circle)."""
    half = np.asarray(sigma) / 2
    return np.asarray(half + np.sqrt(half**2 + np.asarray(tau) ** 2))


def in_plane_use(sigma: Value, tau: Value, strength: Value) -> Floats:
    """Greatest principal stress of either sign over strength in the plane of the layers, 1.

    Rankine's criterion; compression is held against the tensile strength, to the safe side.
    """
    return np.asarray(principal_tension(np.abs(sigma), tau) / strength)


def interlayer_use(tension: Value, tau: Value, strength_z: Value, shear_z: Value) -> Floats:
    """Use of a layer boundary, 1: sqrt((sigma/Z)^2 + (tau/S)^2), compression counting nothing.

    Brewer and Lagace, Quadratic Stress Criterion for Initiation of Delamination (1988).
    """
    pull = np.maximum(tension, 0.0) / strength_z
    return np.asarray(np.hypot(pull, np.asarray(tau) / shear_z))


def on_layer(sigma: Value, angle: Value) -> tuple[Floats, Floats]:
    """Tension across and shear along layer boundaries of a member, Pa, from its axial stress.

    ``angle`` (rad) is between member and layers. Resolution on an oblique plane (Mohr's circle).
    """
    sine, cosine = np.sin(angle), np.cos(angle)
    return np.asarray(sigma * sine**2), np.asarray(np.abs(sigma * sine * cosine))


def falling_weight_factor(drop: Value, static_deflection: Value) -> Floats:
    """Greatest over static deflection of a weight dropped on a spring, 1: 1 + sqrt(1 + 2 h / d).

    Timoshenko, Strength of Materials, strain energy and impact; the struck body is massless.
    """
    if np.any(np.asarray(static_deflection) <= 0) or np.any(np.asarray(drop) < 0):
        raise AnalysisError("falling weight: drop must be 0 or more and the deflection above 0")
    return np.asarray(1 + np.sqrt(1 + 2 * np.asarray(drop) / static_deflection))


def impact_force(mass: Value, speed: Value, stiffness: Value) -> Floats:
    """Peak force, N, when a spring (N/m) stops a mass: all kinetic energy becomes strain."""
    return np.asarray(np.asarray(speed) * np.sqrt(np.asarray(mass) * stiffness))


def euler_load(E: Value, second: Value, length: Value, ends: str) -> Floats:
    """Euler's buckling load, N, of a straight bar; ``ends`` is a key of EULER."""
    if ends not in EULER:
        raise AnalysisError(f"column ends {ends!r}: allowed are {', '.join(EULER)}")
    return np.asarray(EULER[ends] * np.pi**2 * E * second / length**2)


def plate_buckling_stress(
    E: Value, nu: Value, thickness: Value, breadth: Value, k: Value
) -> Floats:
    """k pi^2 E / (12 (1 - nu^2)) (t/b)^2, Pa. Timoshenko and Gere, Theory of Elastic Stability."""
    return np.asarray(k * np.pi**2 * E / (12 * (1 - nu**2)) * (thickness / breadth) ** 2)


def tube_buckling_stress(E: Value, nu: Value, wall: Value, radius: Value) -> Floats:
    """Local buckling of a round tube, Pa: classical E t / (r sqrt(3 (1 - nu^2))), knocked down.

    Timoshenko and Gere, Theory of Elastic Stability, cylinder under axial compression.
    """
    return np.asarray(TUBE_KNOCK_DOWN * E * wall / (radius * np.sqrt(3 * (1 - nu**2))))


def hole_factor(diameter: Value, breadth: Value) -> Floats:
    """Peak over mean net-section stress beside a hole in a strip under tension, 1.

    Heywood, Designing by Photoelasticity: 2 + (1 - d/b)^3; 3 for a small hole. Brittle printed
    plastic feels the whole of it; ductile plastic evens it out before it breaks.
    """
    ratio = np.asarray(diameter) / breadth
    if np.any((ratio < 0) | (ratio >= 1)):
        raise AnalysisError("hole factor: the hole must be narrower than the strip")
    return np.asarray(2 + (1 - ratio) ** 3)


def creep_modulus(E: Value, factor: Value, time: Value) -> Floats:
    """Modulus after ``time`` (s) under steady load, Pa, from the factor after ten minutes.

    Power law of time (Findley, Creep and Relaxation of Nonlinear Viscoelastic Materials) from
    1 s, about the time of a quick test (assumed, no source): E factor^(ln t / ln 600).
    """
    if np.any((np.asarray(factor) <= 0) | (np.asarray(factor) > 1)):
        raise AnalysisError("creep factor must lie in 0..1, 0 excluded")
    decades = np.log(np.maximum(time, 1.0)) / np.log(600.0)
    return np.asarray(E * np.asarray(factor) ** decades)
