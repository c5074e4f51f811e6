"""One arm as a cantilever, for many candidates at once: the evaluator that sizing calls.

Arrays run (stations, candidates). The arm is clamped at ``ArmClamp.x``, loaded at the motor axis,
and cut into root block, free span and half the tenon. With one section an element the deflections
equal those of a beam frame on the same cut, exactly: the arm is statically determinate. Sideways
force at the top face twists the arm by its distance from the shear centres.
"""

from dataclasses import fields, replace
from typing import Any, NamedTuple

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
from refledge.analysis.arm_modes import first_modes, twist_give
from refledge.analysis.arm_stress import Stresses, stresses
from refledge.analysis.sections import Layered, Section
from refledge.analysis.warping import held
from refledge.errors import AnalysisError
from refledge.typed import Floats

__all__ = [
    "FAMILIES",
    "ArmClamp",
    "ArmLoads",
    "ArmMaterial",
    "ArmResults",
    "ArmShape",
    "CutArms",
    "arm_mass",
    "arm_mesh",
    "cut_arms",
    "evaluate_arms",
    "evaluate_cut",
    "held_ends",
    "span_section",
    "stress_cut",
]


class CutArms(NamedTuple):
    """N arms of one family cut into elements, for one set of loads after another."""

    family: str
    shape: ArmShape
    material: ArmMaterial
    clamp: ArmClamp
    mesh: Mesh


def evaluate_arms(
    family: str, shape: ArmShape, material: ArmMaterial, loads: ArmLoads, clamp: ArmClamp
) -> ArmResults:
    """Mass, stiffness, first modes and stresses of N arms of one family."""
    s, m, q, c = _broadcast(shape, material, loads, clamp)
    return _answer(_cut(family, s, m, c), q)


def cut_arms(family: str, shape: ArmShape, material: ArmMaterial, clamp: ArmClamp) -> CutArms:
    """N arms made ready for ``evaluate_cut`` and ``stress_cut``: sections are most of the work."""
    s, m, c = _broadcast(shape, material, clamp)
    return _cut(family, s, m, c)


def evaluate_cut(arms: CutArms, loads: ArmLoads) -> ArmResults:
    """As ``evaluate_arms``; loads are one for all or (N,)."""
    return _answer(arms, _spread(loads, arms))


def stress_cut(arms: CutArms, loads: ArmLoads) -> Stresses:
    """The stresses alone of what ``evaluate_cut`` tells."""
    return stresses(arms.family, arms.mesh, arms.shape, arms.material, _spread(loads, arms))


def _cut(family: str, s: ArmShape, m: ArmMaterial, c: ArmClamp) -> CutArms:
    if family not in FAMILIES:
        raise AnalysisError(f"arm family {family!r}: allowed are {', '.join(FAMILIES)}")
    _check(family, s, c)
    return CutArms(family, s, m, c, arm_mesh(family, s, m, c))


def _answer(arms: CutArms, q: ArmLoads) -> ArmResults:
    family, s, m, c, mesh = arms
    moved = _deflections(mesh, q, c, m.E, m.G)
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
    middle = held_ends(span_section(family, s, depth, m.layered()), span)
    joined = _join(_blocks(family, s, m), middle)
    return Mesh(length, outer - length / 2, joined, s.tenon_length / 2, s.depth_root / 2)


def span_section(family: str, s: ArmShape, depth: Floats, plastic: Layered) -> Section:
    """Section of the free span at ``depth`` (m), which broadcasts with the shape's arrays."""
    if family == "box":
        return sections.box(s.width, depth, s.side, s.top, s.bottom, plastic)
    if family == "channel":
        return sections.channel(s.width, depth, s.side, s.top, s.web, s.pitch, plastic)
    if family == "truss":
        panels = (s.length - s.root_length - s.tenon_length) / s.pitch
        return sections.truss(
            s.width, depth, s.side, s.top, s.bottom, s.web, s.pitch, plastic, panels
        )
    return sections.tube(depth, s.bore)


def arm_mass(family: str, s: ArmShape, m: ArmMaterial) -> Floats:
    """Mass of whole arms, kg, of solid plastic: root block, span by Simpson's rule, tenon."""
    span = s.length - s.root_length - s.tenon_length
    depth = s.depth_root + (s.depth_tip - s.depth_root) * np.array([[0.0], [0.5], [1.0]])
    run = _span_volume(family, s, depth)
    root, tenon = (_block_volume(family, s, each) for each in (s.depth_root, s.depth_tip))
    volume = root * s.root_length + tenon * s.tenon_length
    return np.asarray(m.rho * (volume + span * (run[0] + 4 * run[1] + run[2]) / 6))


def _span_volume(family: str, s: ArmShape, depth: Floats) -> Floats:
    """Of the free span at ``depth`` (m) for each length, m2: as ``span_section`` tells it."""
    if family == "box":
        return sections.box_area(s.width, depth, s.side, s.top, s.bottom)
    if family == "channel":
        return sections.channel_volume(s.width, depth, s.side, s.top, s.web, s.pitch)
    if family == "truss":
        return sections.truss_volume(s.width, depth, s.side, s.top, s.bottom, s.web, s.pitch)
    return sections.tube_area(depth, s.bore)


def _block_volume(family: str, s: ArmShape, depth: Floats) -> Floats:
    """Of root block or tenon for each length, m2; a tube is the same throughout."""
    if family == "tube":
        return sections.tube_area(s.depth_root, s.bore)
    return sections.solid_area(s.width, depth, s.bore)


def _blocks(family: str, s: ArmShape, m: ArmMaterial) -> tuple[Section, Section]:
    if family == "tube":
        whole = sections.tube(s.depth_root, s.bore)
        return whole, whole
    plastic = m.layered()
    return (
        sections.solid(s.width, s.depth_root, s.bore, plastic),
        sections.solid(s.width, s.depth_tip, s.bore, plastic),
    )


def held_ends(section: Section, span: Floats) -> Section:
    """Sections of a span (m) between solid blocks that keep its ends plane.

    Stations run evenly along the first axis. The blocks' hold (bimoment) grows from the middle of
    the span to its ends, so a tapered span counts as one whose squared decay is the mean weighted
    by the square of the distance from the middle: exact where the span is short against 1/decay.
    """
    if not np.any(section.decay):
        return section
    count = len(section.decay)
    away = np.abs(2 * np.arange(count) + 1 - count) ** 2 if count > 1 else np.ones(1)
    weight = (away / away.sum()).reshape(-1, *(1,) * (section.decay.ndim - 1))
    J, Ay, centre = held(
        (section.J, section.Ay, section.shear_centre),
        (section.plane_J, section.plane_Ay, section.plane_centre),
        np.sqrt(np.sum(weight * section.decay**2, axis=0)),
        span,
    )
    return replace(section, J=J, Ay=Ay, shear_centre=centre)


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
    none, first, second = twist_give(mesh, G, c)
    twist = q.torque_x * none - q.force_y * first
    y = y + side * reach + q.force_y * second - q.torque_x * first
    return z + root * reach, tilt + root, y, yaw + side, twist


def _bend(
    mesh: Mesh, EI: Floats, GA: Floats, force: Floats, moment: Floats
) -> tuple[Floats, Floats]:
    """Tip deflection (m) and slope (rad) under tip force (N) and moment (N m)."""
    a, length = mesh.arm, mesh.length
    give = length / EI
    second = np.sum(give * (a**2 + length**2 / 12) + length / GA, axis=0)
    first, none = np.sum(give * a, axis=0), np.sum(give, axis=0)
    return force * second + moment * first, force * first + moment * none


def _broadcast(*groups: Any) -> Any:
    """The same dataclasses with every field (N,)."""
    values = [getattr(group, f.name) for group in groups for f in fields(group)]
    rows = iter(np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, np.float64)) for v in values)))
    return tuple(type(group)(**{f.name: next(rows) for f in fields(group)}) for group in groups)


def _spread(loads: ArmLoads, arms: CutArms) -> ArmLoads:
    """The loads with every field (N,)."""
    shape = arms.mesh.stub.shape
    values = {f.name: getattr(loads, f.name) for f in fields(loads)}
    return ArmLoads(**{key: np.broadcast_to(value, shape) for key, value in values.items()})


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
