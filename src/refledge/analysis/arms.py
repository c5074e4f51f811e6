"""One arm as a cantilever, for many candidates at once: the evaluator that sizing calls.

Arrays run (stations, candidates). The arm is clamped at ``ArmClamp.x``, loaded at the motor axis,
and cut into root block, free span and half the tenon. With one section an element the deflections
equal those of a beam frame on the same cut, exactly: the arm is statically determinate. What it
leaves out: the centroid's shift along a tapered arm, and the shear centre of open sections.
"""

from dataclasses import fields

import numpy as np

from refledge.analysis import sections
from refledge.analysis.arm_model import (
    FAMILIES,
    SPAN_ELEMENTS,
    ArmClamp,
    ArmLoads,
    ArmMaterial,
    ArmResults,
    ArmShape,
    Mesh,
)
from refledge.analysis.arm_modes import first_modes
from refledge.analysis.arm_stress import stresses
from refledge.analysis.sections import Section
from refledge.analysis.torsion import restrained_torsion
from refledge.errors import AnalysisError
from refledge.typed import Floats

__all__ = [
    "FAMILIES",
    "ArmClamp",
    "ArmLoads",
    "ArmMaterial",
    "ArmResults",
    "ArmShape",
    "arm_mass",
    "arm_mesh",
    "evaluate_arms",
    "held_ends",
    "span_section",
]


def evaluate_arms(
    family: str, shape: ArmShape, material: ArmMaterial, loads: ArmLoads, clamp: ArmClamp
) -> ArmResults:
    """Mass, stiffness, first modes and stresses of N arms of one family."""
    if family not in FAMILIES:
        raise AnalysisError(f"arm family {family!r}: allowed are {', '.join(FAMILIES)}")
    s, m, q, c = _broadcast(shape, material, loads, clamp)
    _check(family, s, c)
    mesh = arm_mesh(family, s, m, c)
    E, G = m.E, m.G
    moved = _deflections(mesh, q, c, E, G)
    frequencies = first_modes(mesh, q, c, m)
    stress = stresses(family, mesh, s, m, q)
    return ArmResults(arm_mass(family, s, m), *moved, *frequencies, *stress)


def arm_mesh(family: str, s: ArmShape, m: ArmMaterial, c: ArmClamp) -> Mesh:
    """Root block from the clamp, free span, tenon to the motor axis; sections at mid-element."""
    count = SPAN_ELEMENTS
    span = s.length - s.root_length - s.tenon_length
    root = np.maximum(s.root_length - c.x, 0.0)
    length = np.empty((count + 2, *np.shape(span)))
    length[0], length[1:-1], length[-1] = root, span / count, s.tenon_length / 2
    outer = np.cumsum(length[::-1], axis=0)[::-1]
    fraction = ((np.arange(count) + 0.5) / count)[:, None]
    depth = s.depth_root + (s.depth_tip - s.depth_root) * fraction
    middle = span_section(family, s, depth, m.E / m.G)
    middle = held_ends(middle, span, m.E / m.G)
    return Mesh(length, outer - length / 2, _join(_blocks(family, s), middle), s.tenon_length / 2)


def span_section(family: str, s: ArmShape, depth: Floats, E_over_G: Floats) -> Section:
    """Section of the free span at ``depth`` (m), which broadcasts with the shape's arrays."""
    if family == "box":
        return sections.box(s.width, depth, s.side, s.top, s.bottom)
    if family == "channel":
        return sections.channel(s.width, depth, s.side, s.top, s.web, s.pitch)
    if family == "truss":
        return sections.truss(s.width, depth, s.side, s.top, s.bottom, s.web, s.pitch, E_over_G)
    return sections.tube(depth, s.bore)


def arm_mass(family: str, s: ArmShape, m: ArmMaterial) -> Floats:
    """Mass of whole arms, kg, of solid plastic: root block, span by Simpson's rule, tenon."""
    span = s.length - s.root_length - s.tenon_length
    depth = s.depth_root + (s.depth_tip - s.depth_root) * np.array([[0.0], [0.5], [1.0]])
    run = span_section(family, s, depth, m.E / m.G).volume_per_length
    root, tenon = (block.volume_per_length for block in _blocks(family, s))
    volume = root * s.root_length + tenon * s.tenon_length
    return np.asarray(m.rho * (volume + span * (run[0] + 4 * run[1] + run[2]) / 6))


def _blocks(family: str, s: ArmShape) -> tuple[Section, Section]:
    if family == "tube":
        whole = sections.tube(s.depth_root, s.bore)
        return whole, whole
    return (
        sections.solid(s.width, s.depth_root, s.bore),
        sections.solid(s.width, s.depth_tip, s.bore),
    )


def held_ends(section: Section, span: Floats, E_over_G: Floats) -> Section:
    """Sections of a span (m) whose J is raised by the solid blocks that keep its ends from warping.

    Stations run along the first axis; their mean sets the gain, the same for all.
    """
    if not np.any(section.warping):
        return section
    warping, shear = section.warping.mean(axis=0), section.side_shear.mean(axis=0)
    J = section.J.mean(axis=0)
    gain = restrained_torsion(J, warping, shear, span, E_over_G) / J
    values = {f.name: getattr(section, f.name) for f in fields(Section)}
    return Section(**{**values, "J": section.J * gain})


def _join(blocks: tuple[Section, Section], middle: Section) -> Section:
    joined = {}
    for f in fields(Section):
        root, tenon = (getattr(block, f.name)[None] for block in blocks)
        joined[f.name] = np.concatenate([root, getattr(middle, f.name), tenon])
    return Section(**joined)


def _deflections(
    mesh: Mesh, q: ArmLoads, c: ArmClamp, E: Floats, G: Floats
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Deflection and tilt, lateral deflection and yaw, twist; unit-load method on each element."""
    section, reach = mesh.section, mesh.arm[0] + mesh.length[0] / 2
    z, tilt = _bend(mesh, E * section.Iy, G * section.Az, q.force_z, q.moment_y)
    root = (q.force_z * reach + q.moment_y) / c.stiffness_y
    y, yaw = _bend(mesh, E * section.Iz, G * section.Ay, q.force_y, q.torque_z)
    side = (q.force_y * reach + q.torque_z) / c.stiffness_z
    twist = q.torque_x * (np.sum(mesh.length / (G * section.J), axis=0) + 1 / c.stiffness_x)
    return z + root * reach, tilt + root, y + side * reach, yaw + side, twist


def _bend(
    mesh: Mesh, EI: Floats, GA: Floats, force: Floats, moment: Floats
) -> tuple[Floats, Floats]:
    """Tip deflection (m) and slope (rad) under tip force (N) and moment (N m)."""
    a, length = mesh.arm, mesh.length
    give = length / EI
    second = np.sum(give * (a**2 + length**2 / 12) + length / GA, axis=0)
    first, none = np.sum(give * a, axis=0), np.sum(give, axis=0)
    return force * second + moment * first, force * first + moment * none


def _broadcast(
    shape: ArmShape, material: ArmMaterial, loads: ArmLoads, clamp: ArmClamp
) -> tuple[ArmShape, ArmMaterial, ArmLoads, ArmClamp]:
    groups = (shape, material, loads, clamp)
    values = [getattr(group, f.name) for group in groups for f in fields(group)]
    rows = iter(np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, np.float64)) for v in values)))
    return (
        ArmShape(**{f.name: next(rows) for f in fields(ArmShape)}),
        ArmMaterial(**{f.name: next(rows) for f in fields(ArmMaterial)}),
        ArmLoads(**{f.name: next(rows) for f in fields(ArmLoads)}),
        ArmClamp(**{f.name: next(rows) for f in fields(ArmClamp)}),
    )


def _check(family: str, s: ArmShape, c: ArmClamp) -> None:
    """Refuse arms that are no solid body; the first one is named."""
    span = s.length - s.root_length - s.tenon_length
    depth = np.minimum(s.depth_root, s.depth_tip)
    wrong = {
        "no free span left between root block and tenon": span <= 0,
        "clamp outside the root block": (c.x < 0) | (c.x > s.root_length),
        "bore does not fit": s.bore >= np.minimum(s.width, depth),
    }
    if family != "tube":
        wrong["walls fill the width"] = (2 * s.side >= s.width) | (s.side <= 0)
        wrong["walls fill the depth"] = (s.top + s.bottom >= depth) | (s.top <= 0)
    if family in ("box", "truss"):
        wrong["no bottom"] = np.asarray(s.bottom) <= 0
    if family in ("channel", "truss"):
        wrong["no ribs or diagonals"] = (np.asarray(s.web) <= 0) | (np.asarray(s.pitch) <= 0)
    for what, where in wrong.items():
        if np.any(where):
            raise AnalysisError(f"{family} arm {int(np.argmax(where))}: {what}")
