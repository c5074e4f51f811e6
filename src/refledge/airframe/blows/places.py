"""Where a crash is felt: contact points, and the places at which parts break."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.beams import Bar
from refledge.airframe.clamp_rings import washer_area
from refledge.airframe.grown_interface import softened
from refledge.airframe.grown_strength import tenon_of, unit_ends
from refledge.airframe.hinge import hinge_rows
from refledge.airframe.hinge_checks import SHEAR_SHARE, tear_out_room
from refledge.airframe.hinge_uses import bolt_strength
from refledge.airframe.rooting import edge
from refledge.airframe.stressing import material_of_bars
from refledge.airframe.task import Task
from refledge.airframe.tray import tray_stress
from refledge.geometry.hinge import lock_screw
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

SHOCK = 1500.0
"""m/s2 that flight controller and receiver stand: about 150 g; a guess, no source. Chips stand far
more; plugs, heavy parts on boards and their solder do not."""

COPY_SPREAD = 0.07
"""Relative scatter of strength from one copy to the next off the same spool: from memory, typical
of tensile bars printed alike."""
STRAPS, FEET = -1, -2
"""Places that are no beam: the springs that hold battery and flight controller."""


@dataclass(frozen=True, eq=False)
class Contact:
    """A point that may touch the ground."""

    node: int
    place: Floats
    """(3,), m, body axes."""
    owner: str
    """Part whose break takes it away: ``mount 1``, ``leg 2``, ``tray``, or none."""
    radius: float
    """Of the patch that presses on the ground, m."""


@dataclass(frozen=True, eq=False)
class Place:
    """One beam end, or one acceleration, at which a part may break.

    Stresses are ``normal @ |f|`` and ``shear @ |f|`` of the six end forces (N, N m), or of the six
    """

    part: str
    """``arm 1``, ``mount 1``, ``lock 1``, ``leg 1``, ``plates``, ``tray``, ``electronics``"""
    bar: int
    end: int
    normal: Floats  # (6,)
    shear: Floats  # (6,)
    strength: float  # Pa or m/s2; 1 where uses of strength stand for stresses
    layers: float  # Pa, strength of the layer boundary in shear; inf where it does not count
    where: str


def contacts(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Contact, ...]:
    """Motors and ends of arms, feet, corners of the battery, what stands on top.

    The battery's corners belong to the node that ``sprung`` adds.
    """
    structure, brief = found.structure, task.brief
    nodes, points = structure.frame.nodes, []
    heights = [(frame.seat_height + brief.motor.height, "mount")]
    heights.append((frame.arm.depth_root / 2 - frame.arm.depth_tip, "arm"))
    if frame.mount.per_arm == 2:
        heights.append((frame.lower_seat_height - brief.motor.height, "mount"))
    radius = brief.motor.diameter / 2
    for arm, tip in enumerate(structure.tips):
        out = nodes[tip] / np.linalg.norm(nodes[tip])
        for z, owner in heights:
            place = nodes[tip] + radius * out + np.array([0.0, 0.0, z])
            points.append(Contact(tip, place, f"{owner} {arm + 1}", radius / 2))
    for leg, foot in enumerate(structure.feet):
        half = frame.leg.thickness / 2
        points.append(Contact(foot, nodes[foot], f"leg {leg + 1}", half))
    points += _body(task, frame, found)
    return tuple(points)


def _body(task: Task, frame: FrameDesign, found: Assessment) -> list[Contact]:
    structure, battery = found.structure, task.brief.battery
    below = -frame.plate_gap / 2 - frame.plate.thickness - frame.tray.hang - battery.height
    c, s = np.cos(frame.tray.yaw), np.sin(frame.tray.yaw)
    corners = []
    for x in (-battery.length / 2, battery.length / 2):
        for y in (-battery.width / 2, battery.width / 2):
            place = np.array([c * x - s * y, s * x + c * y, below])
            corners.append(Contact(len(structure.frame.nodes), place, "tray", 0.01))
    above = max(
        [float(lump.centre[2]) for lump in found.lumps if lump.fixed and lump.arm < 0] + [0.0]
    )
    top = Contact(structure.hub, np.array([0.0, 0.0, above]), "", 0.01)
    return [*corners, top]


def places(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Place, ...]:
    """Every beam end of arms, legs and plates; mounts and clamps; tray; electronics. Of grown arms
    their tip, where all is told that they feel."""
    made = list(_grown(task, frame, found))
    for number, bar in enumerate(found.structure.bars):
        if bar.part == "arm" and frame.arm.grown is not None:
            continue  # its beams give as it does; they have no fibres
        part = "plates" if bar.part == "plates" else f"{_word(bar.part)} {bar.index + 1}"
        made += [_beam_end(part, number, end, bar) for end in _ends(bar, found)]
    for arm in range(frame.n_arms):
        made += _mount(task, frame, found, arm)
        made += (_hinge if frame.hinge else _clamp)(task, frame, found, arm)
    return (*made, *_carried(task, frame))


def _grown(task: Task, frame: FrameDesign, found: Assessment) -> Iterator[Place]:
    """Grown arms by the sum of what the tip's forces use each for itself, at most what all use
    together; their own plastic's inertia in the blow is not in it."""
    grown, structure = frame.arm.grown, found.structure
    if grown is None:
        return
    _, weaker = softened(task.brief, grown, task.materials[frame.arm.material])
    for arm in range(frame.n_arms):
        row = tenon_of(structure, arm)
        plastic, layers = (
            weaker * unit_ends(structure.bars[row], each)
            for each in (grown.unit_plastic, grown.unit_layers)
        )
        yield Place(f"arm {arm + 1}", row, 1, plastic, layers, 1.0, 1.0, "grown arm")


def _word(part: str) -> str:
    return "arm" if part == "tube" else part


def _ends(bar: Bar, found: Assessment) -> tuple[int, ...]:
    """Both ends where a beam ends at a joint; its inner end elsewhere, which bends hardest."""
    last = bar.b in found.structure.tips or bar.b in found.structure.feet
    return (0, 1) if bar.part == "plates" or last else (0,)


def _beam_end(part: str, number: int, end: int, bar: Bar) -> Place:
    """Factors of ``airframe.stressing.bar_stress``."""
    row, net = bar.section, bar.section.get("net", 1.0)
    deep = max(row["top"], row["bottom"])
    normal = net * np.array(
        [1 / row["area"], 0.0, 0.0, 0.0, deep / row["Iy"], row["half_width"] / row["Iz"]]
    )
    twist = 1.0 / row["Wt"]
    if bar.part == "leg":
        shear = np.array([0.0, 1.5 / row["area"], 0.0, twist, 0.0, 0.0])
    else:
        across = row.get("layer_shear", row.get("Q", 0.0) / (row["Iy"] * row.get("web", 1.0)))
        shear = np.array([0.0, 0.0, across, twist, 0.0, 0.0])
    material = bar.material
    layers = float("inf") if material.kind == "tube" else material.shear_z
    where = {"plates": "centre plate", "leg": "leg strut"}.get(bar.part, "arm")
    return Place(part, number, end, normal, shear, material.strength_xy, layers, where)


def _mount(task: Task, frame: FrameDesign, found: Assessment, arm: int) -> list[Place]:
    """The mount's screws: bearing in its plate, and pull under the washers (elastic bolt group)."""
    bars = found.structure.beams_of(_bar_part(frame), arm)
    tenon = next(n for n in bars if found.structure.bars[n].b == found.structure.tips[arm])
    mount, screw = frame.mount, task.hardware.screws[frame.mount.screw]
    material = task.materials[mount.material]
    diagonal = float(np.hypot(mount.pitch_x, mount.pitch_y)) / 2
    bearing = np.array([0.25, 0.25, 0.0, 0.0, 0.0, 0.25 / diagonal])
    pull = np.array([0.0, 0.0, 0.25, 0.5 / mount.pitch_y, 0.5 / mount.pitch_x, 0.0])
    none, free, part = np.zeros(6), float("inf"), f"mount {arm + 1}"
    strength = material.strength_xy
    held = bearing / (screw.diameter * mount.thickness)
    pressed = pull / washer_area(screw)
    return [
        Place(part, tenon, 1, held, none, strength, free, "bearing of the mount's screws"),
        Place(part, tenon, 1, pressed, none, strength, free, "pull of the mount's screws"),
    ]


def _clamp(task: Task, frame: FrameDesign, found: Assessment, arm: int) -> list[Place]:
    """Tear-out of the clamp bolts in the plates, as ``airframe.joint_checks`` has it."""
    root = found.structure.beams_of(_bar_part(frame), arm)[1]
    clamp, screw = frame.clamp, task.hardware.screws[frame.clamp.screw]
    material = task.materials[frame.plate.material]
    diagonal = float(np.hypot(clamp.pitch_x, clamp.pitch_y)) / 2
    share = np.array([0.25, 0.25, 0.0, 0.0, 0.0, 0.25 / diagonal])
    left = 2 * 2 * frame.plate.thickness * (edge(screw) - screw.diameter / 2)
    strength = SHEAR_SHARE * material.strength_xy
    return [
        Place("plates", root, 0, share / left, np.zeros(6), strength, float("inf"),
              "clamp bolts torn out of the plates")
    ]  # fmt: skip


def _hinge(task: Task, frame: FrameDesign, found: Assessment, arm: int) -> list[Place]:
    """The lock under pull and shear; tear-out of both bolts in the plates. As
    ``airframe.hinge_checks`` has it, without preload, which a blow soon overcomes."""
    root = found.structure.beams_of("arm", arm)[1]
    rows, lock = hinge_rows(frame.clamp), lock_screw(frame, task.hardware)
    strength, _ = bolt_strength(lock)
    made = [
        Place(f"lock {arm + 1}", root, 0, rows.pull / lock.stress_area,
              rows.lock / lock.stress_area, strength, strength / sqrt(3.0), "lock bolt")
    ]  # fmt: skip
    plastic = SHEAR_SHARE * task.materials[frame.plate.material].strength_xy
    pivot = task.hardware.screws[frame.clamp.screw]
    for name, bolt, row in (("pivot", pivot, rows.pivot), ("lock", lock, rows.lock)):
        torn = row / tear_out_room(frame, bolt)
        where = f"{name} bolt torn out of the plates"
        made.append(
            Place("plates", root, 0, torn, np.zeros(6), plastic, float("inf"), where)
        )  # fmt: skip
    return made


def _carried(task: Task, frame: FrameDesign) -> tuple[Place, Place]:
    """Tray under the straps' pull, boards under that of their feet (both sums are careful)."""
    material, free = task.materials[frame.tray.material], float("inf")
    up, side = (tray_stress(frame.tray, 1.0, felt) for felt in ((1.0, 0.0), (0.0, 1.0)))
    tray = np.array([side, side, up, 0.0, 0.0, 0.0])
    boards = np.array([1.0, 1.0, 1.0, 0.0, 0.0, 0.0]) / task.brief.flight_controller.mass
    return (
        Place("tray", STRAPS, 0, tray, np.zeros(6), material.strength_xy, free, "battery tray"),
        Place(
            "electronics", FEET, 0, boards, np.zeros(6), SHOCK, free, "flight controller's boards"
        ),
    )


def _bar_part(frame: FrameDesign) -> str:
    return "tube" if frame.arm.family == "tube" else "arm"


def material_of(task: Task, frame: FrameDesign, part: str) -> tuple[float, float]:
    """Relative spread of strength in and across the layers of a part (1)."""
    word = part.split(maxsplit=1)[0]
    if word == "electronics":
        return 0.3, 0.3  # as much a guess as the figure itself
    if word == "lock":
        _, spread = bolt_strength(lock_screw(frame, task.hardware))
        return spread, spread
    key = {"mount": frame.mount.material, "tray": frame.tray.material}.get(word)
    if key is None:
        bars = _bar_part(frame) if word == "arm" else word
        key = material_of_bars(frame, bars)
    material = task.materials[key]
    return material.strength_spread, material.interlayer_spread
