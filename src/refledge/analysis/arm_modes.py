"""First vertical, lateral and torsional frequency of cantilever arms, many at once.

Rayleigh's quotient on the shape that the static shape's own inertia bends (one step of Stodola's
method; Timoshenko, Vibration Problems in Engineering, approximate methods), with the tip mass, its
inertia and offset, and the arm's own mass. Each element's mass sits at its middle with the rotary
inertia of a rigid bar.
"""

from typing import NamedTuple

import numpy as np

from refledge.analysis.arm_model import ArmClamp, ArmLoads, ArmMaterial, Mesh
from refledge.typed import Floats


class _Inertia(NamedTuple):
    """Masses in one plane: of the elements (n, N), and at the tip (N,)."""

    mass: Floats  # kg
    rotary: Floats  # kg m2
    tip: Floats  # kg
    tip_first: Floats  # kg m, mass times distance beyond the motor axis
    tip_rotary: Floats  # kg m2, about the motor axis


class _Shape(NamedTuple):
    """Deflection and slope at the elements' middles (n, N) and at the tip (N,)."""

    w: Floats
    slope: Floats
    tip: Floats
    tip_slope: Floats


class _Mode(NamedTuple):
    """One uncoupled mode: stiffness, mass and motion, of any scale."""

    stiffness: Floats
    mass: Floats
    middle: Floats  # (n, N), at the elements' middles
    tip: Floats


def first_modes(
    mesh: Mesh, q: ArmLoads, c: ArmClamp, m: ArmMaterial
) -> tuple[Floats, Floats, Floats]:
    """Vertical, lateral and torsional frequency, each (N,), Hz.

    Masses beside the line of shear centres couple sideways motion with twist: the two lie in the
    order of the uncoupled ones, but their values are those of the coupled pair. That line is taken
    as level, at the depth where a sideways force does not twist the tip.
    """
    section = mesh.section
    lift = q.tip_offset + section.centroid[-1]
    up = _inertia(mesh, m.rho, section.Iy, q.tip_mass, q.tip_inertia_y + q.tip_mass * lift**2)
    across = _inertia(mesh, m.rho, section.Iz, q.tip_mass, q.tip_inertia_z)
    vertical = _bending(mesh, m.E * section.Iy, m.G * section.Az, c.stiffness_y, up)
    lateral = _bending(mesh, m.E * section.Iz, m.G * section.Ay, c.stiffness_z, across)
    none, first, _ = twist_give(mesh, m.G, c)
    depth = first / none
    height = depth - section.centroid
    stub = across.tip - q.tip_mass
    lever = q.tip_mass * (q.tip_offset + depth) + stub * height[-1]
    turning = q.tip_inertia_x + q.tip_mass * (q.tip_offset + depth) ** 2 + stub * height[-1] ** 2
    torsion = _twisting(mesh, m, c.stiffness_x, across.mass * height**2, turning)
    shared = np.sum(across.mass * height * lateral.middle * torsion.middle, axis=0)
    shared = shared + lever * lateral.tip * torsion.tip
    sideways, twisting = _coupled(lateral, torsion, shared)
    return _hertz(vertical.stiffness / vertical.mass), _hertz(sideways), _hertz(twisting)


def twist_give(mesh: Mesh, G: Floats, c: ArmClamp) -> tuple[Floats, Floats, Floats]:
    """Twist of the tip for a unit torque, rad/(N m), and its first and second moments, each (N,).

    Moments are about the top face with the depth of each element's shear centre below it; the clamp
    turns about the middle of the root block.
    """
    give, below = mesh.length / (G * mesh.section.J), mesh.section.shear_centre
    root = 1 / c.stiffness_x
    return (
        np.sum(give, axis=0) + root,
        np.sum(give * below, axis=0) + root * mesh.middle,
        np.sum(give * below**2, axis=0) + root * mesh.middle**2,
    )


def _hertz(square: Floats) -> Floats:
    return np.asarray(np.sqrt(square) / (2 * np.pi))


def _inertia(
    mesh: Mesh, rho: Floats, second: Floats, tip_mass: Floats, tip_rotary: Floats
) -> _Inertia:
    """The half of the tenon beyond the motor axis moves rigidly with the tip."""
    line = rho * mesh.section.volume_per_length
    mass = line * mesh.length
    rotary = mass * (mesh.length**2 / 12 + second / mesh.section.area)
    stub = line[-1] * mesh.stub
    far = stub * (mesh.stub**2 / 3 + second[-1] / mesh.section.area[-1])
    return _Inertia(mass, rotary, tip_mass + stub, stub * mesh.stub / 2, tip_rotary + far)


def _bending(mesh: Mesh, EI: Floats, GA: Floats, root: Floats, inertia: _Inertia) -> _Mode:
    zero, one = np.zeros_like(EI), np.ones_like(inertia.tip)
    static = _deflect(mesh, EI, GA, root, zero, zero, one, np.zeros_like(one))
    load = _inertia_loads(inertia, static)
    shape = _deflect(mesh, EI, GA, root, *load)
    answer = _inertia_loads(inertia, shape)
    return _Mode(_work(load, shape), _work(answer, shape), shape.w, shape.tip)


def _inertia_loads(i: _Inertia, s: _Shape) -> tuple[Floats, Floats, Floats, Floats]:
    """Forces and moments of unit angular frequency squared, on elements and tip."""
    return (
        i.mass * s.w,
        i.rotary * s.slope,
        i.tip * s.tip + i.tip_first * s.tip_slope,
        i.tip_first * s.tip + i.tip_rotary * s.tip_slope,
    )


def _work(load: tuple[Floats, Floats, Floats, Floats], s: _Shape) -> Floats:
    force, moment, tip, tip_moment = load
    inside = np.sum(force * s.w + moment * s.slope, axis=0)
    return np.asarray(inside + tip * s.tip + tip_moment * s.tip_slope)


def _deflect(
    mesh: Mesh,
    EI: Floats,
    GA: Floats,
    root: Floats,
    force: Floats,
    moment: Floats,
    tip: Floats,
    tip_moment: Floats,
) -> _Shape:
    """Cantilever under loads at the elements' middles and at the tip, moment linear in each."""
    L = mesh.length
    beyond = tip + _after(force)
    step = beyond * L + force * L / 2 + moment
    outer = tip_moment + _after(step)
    inner = outer + step
    bend = L / EI
    turn = bend * (inner + outer) / 2
    start = inner[0] / root + _before(turn)
    shear = (beyond + force / 2) * L / GA
    rise = start * L + L * bend * (inner / 3 + outer / 6) + shear
    base = _before(rise)
    w = base + start * L / 2 + L * bend * (5 * inner + outer) / 48 + shear / 2
    slope = start + bend * (3 * inner + outer) / 8
    return _Shape(w, slope, base[-1] + rise[-1], start[-1] + turn[-1])


def _after(values: Floats) -> Floats:
    """Sum of the elements further out, (n, N)."""
    out = np.zeros_like(values)
    for row in range(len(values) - 1, 0, -1):  # few long rows: far quicker than cumsum down them
        np.add(out[row], values[row], out=out[row - 1])
    return out


def _before(values: Floats) -> Floats:
    """Sum of the elements further in, (n, N)."""
    out = np.zeros_like(values)
    for row in range(len(values) - 1):
        np.add(out[row], values[row], out=out[row + 1])
    return out


def _twisting(mesh: Mesh, m: ArmMaterial, root: Floats, beside: Floats, tip: Floats) -> _Mode:
    """``beside``: inertia (n, N), kg m2, of elements whose centroid is off the line of twist."""
    section = mesh.section
    polar = section.volume_per_length * (section.Iy + section.Iz) / section.area
    inertia = m.rho * polar * mesh.length + beside
    tip = tip + m.rho * polar[-1] * mesh.stub
    give = mesh.length / (m.G * section.J)
    middle, end = _twist(give, root, np.zeros_like(give), np.ones_like(tip))
    load, tip_load = inertia * middle, tip * end
    middle, end = _twist(give, root, load, tip_load)
    stiffness = np.sum(load * middle, axis=0) + tip_load * end
    mass = np.sum(inertia * middle**2, axis=0) + tip * end**2
    return _Mode(stiffness, mass, middle, end)


def _twist(give: Floats, root: Floats, torque: Floats, tip: Floats) -> tuple[Floats, Floats]:
    """Twist at the elements' middles (n, N) and at the tip (N,), rad."""
    beyond = tip + _after(torque)
    whole = give * (beyond + torque / 2)
    base = (beyond[0] + torque[0]) / root + _before(whole)
    middle = base + give * (beyond + torque) / 2
    return middle, base[-1] + whole[-1]


def _coupled(lateral: _Mode, torsion: _Mode, mixed: Floats) -> tuple[Floats, Floats]:
    """Squares of the coupled pair (Rayleigh-Ritz on the two shapes), in the uncoupled order."""
    a, b = lateral.stiffness / lateral.mass, torsion.stiffness / torsion.mass
    shared = mixed**2 / (lateral.mass * torsion.mass)
    root = np.sqrt((a - b) ** 2 + 4 * a * b * shared)
    low, high = (a + b - root) / (2 * (1 - shared)), (a + b + root) / (2 * (1 - shared))
    first_is_lateral = a <= b
    return np.where(first_is_lateral, low, high), np.where(first_is_lateral, high, low)
