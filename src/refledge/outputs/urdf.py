"""The airframe for rigid-body simulators: URDF with masses, inertias and rotors that turn.

Axes are the body's: x to the nose, y to the left, z up. One link for each printed part, item and
group of fasteners, fixed to the link ``airframe``; each propeller is a link of its own on a joint
that turns freely about z. A slung payload swings on two joints under the lower plate. Printed parts
are taken as evenly dense, at the mass with which they are printed. Surfaces are the build's STL
files, turned back from their print pose and scaled to metres.
"""

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass, field
from math import atan2, hypot, pi
from typing import Any

import numpy as np

from refledge.geometry.kernel import moments
from refledge.model.results import PartSpec, Placement
from refledge.outputs.palette import rgb_of
from refledge.outputs.pose import on_bed
from refledge.outputs.printed import print_mesh
from refledge.outputs.record import rounded
from refledge.study import Study
from refledge.typed import Floats

_LINE_SHARE = 0.01
"""Of a slung payload's mass that its line takes, so that no link is without mass. Our choice."""
_LEAST_INERTIA = 1e-9
"""kg m2; simulators refuse less. A wire clip has more."""
_NONE: Floats = np.zeros(3)


@dataclass(frozen=True, eq=False)
class Body:
    """One link: its frame, its mass about its own centre, its surface."""

    name: str
    parent: str
    joint: str
    """fixed, continuous, revolute"""
    origin: Floats
    """(3,), m, from the parent's frame."""
    rotation: Floats
    """(3, 3), of this frame in the parent's."""
    mass: float  # kg
    centre: Floats
    """(3,), m, in this frame."""
    inertia: Floats
    """(3, 3), kg m2, about the centre, along this frame's axes."""
    axis: Floats = field(default_factory=lambda: np.zeros(3))
    """(3,), of a joint that turns."""
    mesh: PartSpec | None = None


def bodies(study: Study) -> tuple[Body, ...]:
    """Every mass of the study as links, the root first."""
    return (
        Body("airframe", "", "", _NONE, np.eye(3), 0.0, _NONE, np.zeros((3, 3))),
        *_parts(study),
        *_items(study),
    )


def urdf_text(study: Study) -> str:
    """The whole file; mesh paths are relative to the build folder."""
    found = bodies(study)
    robot = ET.Element("robot", name=_slug(study.brief.title) or "airframe")
    for body in found:
        robot.append(_link(study, body))
    for body in found[1:]:
        robot.append(_joint(body))
    ET.indent(robot, " ")
    return '<?xml version="1.0" encoding="utf-8"?>\n' + ET.tostring(robot, "unicode") + "\n"


def _parts(study: Study) -> Iterator[Body]:
    specs = {spec.key: spec for spec in study.parts}
    own = {key: moments(study.solids[key]) for key in specs}
    for place in study.assembly.placements:
        if place.group == "part":
            spec, solid = specs[place.key], own[place.key]
            density = spec.mass / solid.size
            yield _fixed(place, spec, solid.centroid, density * solid.second)


def _fixed(place: Placement, spec: PartSpec, centre: Floats, inertia: Floats) -> Body:
    return Body(
        _slug(place.name), "airframe", "fixed", place.translation, place.rotation, spec.mass,
        centre, inertia, mesh=spec if spec.printed else None,
    )  # fmt: skip


def _items(study: Study) -> Iterator[Body]:
    """Everything that is not a part: motors, propellers, battery, fasteners, wiring, payload."""
    counts: dict[str, int] = {}
    slung = study.brief.payload.slung
    for lump in study.assessment.lumps:
        if lump.part:
            continue
        plain = _slug(f"{lump.group} {lump.name}")
        counts[plain] = counts.get(plain, 0) + 1
        name = f"{plain}_{counts[plain]}"
        rotor = _rotor_at(study, lump.centre) if lump.name == study.brief.propeller.name else None
        if rotor is not None:
            yield _spinning(study, rotor, lump.mass, lump.inertia)
        elif lump.group == "payload" and slung:
            yield from _hanging(study, lump.mass, lump.centre, lump.inertia)
        else:
            yield Body(
                name, "airframe", "fixed", lump.centre, np.eye(3), lump.mass, _NONE, lump.inertia
            )


def _rotor_at(study: Study, centre: Floats) -> int | None:
    """Which rotor's disc lies about ``centre``."""
    flat = np.hypot(*(study.layout.positions[:, :2] - centre[:2]).T)
    near = [k for k in range(study.layout.n_rotors) if flat[k] < 1e-3]
    if not near:
        return None
    return min(near, key=lambda k: abs(float(study.layout.positions[k, 2] - centre[2])))


def _spinning(study: Study, rotor: int, mass: float, inertia: Floats) -> Body:
    turn = "ccw" if study.layout.spin[rotor] > 0 else "cw"
    place = study.layout.positions[rotor]
    return Body(
        f"rotor_{rotor + 1}_{turn}", "airframe", "continuous", place, np.eye(3), mass, _NONE,
        inertia, axis=np.array([0.0, 0.0, float(study.layout.spin[rotor])]),
    )  # fmt: skip


def _hanging(study: Study, mass: float, centre: Floats, inertia: Floats) -> Iterator[Body]:
    """A payload on its line: it swings about x and y where the line is tied."""
    frame = study.frame
    tie = np.array([centre[0], centre[1], -frame.plate_gap / 2 - frame.plate.thickness])
    down = np.array([0.0, 0.0, centre[2] - tie[2]])
    line, load = _LINE_SHARE * mass, (1 - _LINE_SHARE) * mass
    about = line * float(down @ down) / 12
    yield Body(
        "payload_line", "airframe", "revolute", tie, np.eye(3), line, down / 2,
        np.diag([about, about, _LEAST_INERTIA]), axis=np.array([1.0, 0.0, 0.0]),
    )  # fmt: skip
    yield Body(
        "payload", "payload_line", "revolute", _NONE, np.eye(3), load, down, inertia,
        axis=np.array([0.0, 1.0, 0.0]),
    )  # fmt: skip


def _link(study: Study, body: Body) -> ET.Element:
    link = ET.Element("link", name=body.name)
    if body.mass:
        inertial = ET.SubElement(link, "inertial")
        ET.SubElement(inertial, "origin", xyz=_three(body.centre), rpy="0 0 0")
        ET.SubElement(inertial, "mass", value=_text(body.mass))
        i = body.inertia + _LEAST_INERTIA * np.eye(3)
        ET.SubElement(
            inertial, "inertia", ixx=_text(i[0, 0]), ixy=_text(i[0, 1]), ixz=_text(i[0, 2]),
            iyy=_text(i[1, 1]), iyz=_text(i[1, 2]), izz=_text(i[2, 2]),
        )  # fmt: skip
    if body.mesh is not None:
        for kind in ("visual", "collision"):
            _surface(ET.SubElement(link, kind), study, body.mesh, coloured=kind == "visual")
    return link


def _surface(parent: ET.Element, study: Study, spec: PartSpec, *, coloured: bool) -> None:
    mesh = print_mesh(study, spec)
    back = spec.print_rotation.T
    lying = on_bed(spec, mesh).vertices[0] - spec.print_rotation @ mesh.vertices[0]
    ET.SubElement(parent, "origin", xyz=_three(-back @ lying), rpy=_three(_rpy(back)))
    geometry = ET.SubElement(parent, "geometry")
    ET.SubElement(geometry, "mesh", filename=f"parts/{spec.key}.stl", scale="0.001 0.001 0.001")
    if coloured:
        material = ET.SubElement(parent, "material", name=f"part {spec.key}")
        rgb = " ".join(f"{c:.3f}" for c in rgb_of(spec.key, "part"))
        ET.SubElement(material, "color", rgba=f"{rgb} 1")


def _joint(body: Body) -> ET.Element:
    joint = ET.Element("joint", name=f"to_{body.name}", type=body.joint)
    ET.SubElement(joint, "origin", xyz=_three(body.origin), rpy=_three(_rpy(body.rotation)))
    ET.SubElement(joint, "parent", link=body.parent)
    ET.SubElement(joint, "child", link=body.name)
    if body.joint != "fixed":
        ET.SubElement(joint, "axis", xyz=_three(body.axis))
    if body.joint == "revolute":
        limit: dict[str, Any] = {"lower": _text(-pi / 2), "upper": _text(pi / 2)}
        ET.SubElement(joint, "limit", effort="0", velocity="100", **limit)
    return joint


def _rpy(rotation: Floats) -> Floats:
    """Roll, pitch, yaw, rad: the rotation is Rz(yaw) Ry(pitch) Rx(roll), as URDF defines it."""
    level = hypot(float(rotation[0, 0]), float(rotation[1, 0]))
    pitch = atan2(-float(rotation[2, 0]), level)
    if level < 1e-9:  # nose straight up or down: roll and yaw are one
        return np.array([0.0, pitch, atan2(-float(rotation[0, 1]), float(rotation[1, 1]))])
    roll = atan2(float(rotation[2, 1]), float(rotation[2, 2]))
    return np.array([roll, pitch, atan2(float(rotation[1, 0]), float(rotation[0, 0]))])


def _slug(words: str) -> str:
    """A name that every simulator takes: letters, digits and underscores."""
    kept = "".join(c if c.isascii() and c.isalnum() else " " for c in words.lower())
    return "_".join(kept.split())


def _text(value: float) -> str:
    return f"{rounded(float(value)):.9g}"


def _three(values: Floats) -> str:
    return " ".join(_text(v) for v in values)
