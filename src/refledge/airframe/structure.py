"""The airframe as a beam frame: plates, clamps, arms, legs, and every mass in its place.

Each plate is a grillage of its own at its own height: radial strips from the middle to the clamp
bolts, and ring strips between neighbouring arms. Plates and arms meet only through springs that
stand for the washers' grip, so that the two plates work as a sandwich as far as the arms join them.
Beams sit at their sections' centroids by rigid offsets. docs/frame-model.md explains each choice.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from refledge.airframe.arm_section import (
    block_section,
    grown_line,
    lap_section,
    layered,
    section_at,
    taper_relief,
)
from refledge.airframe.beams import Bar, bars_of, frame_from
from refledge.airframe.clamp import clamp_stiffness, net_section
from refledge.airframe.fillness import Fill
from refledge.airframe.hinge import hinge_grips
from refledge.airframe.inventory import BUILT_IN, Lump
from refledge.airframe.leg_beams import leg_bars, leg_nodes
from refledge.airframe.plates import plate_bars
from refledge.airframe.working import Working, arm_shear
from refledge.analysis import sections
from refledge.analysis.frame import BeamFrame, PointMass, Spring
from refledge.model.fasteners import Hardware
from refledge.model.grown import GrownArm
from refledge.model.layout import Layout
from refledge.model.parts import ArmDesign, FrameDesign
from refledge.typed import Floats

SPAN_BEAMS = 5
PRINTED_AS = {
    "arm": ("arm", "arm_inner", "arm_outer"),
    "leg": ("leg", "leg_upper", "leg_lower"),
}
"""What stands for a part of the frame on the printer."""
PLATE_NODES = 4
"""For each arm: upper plate at inner and outer bolts, lower plate at both."""
NODES_PER_ARM = PLATE_NODES + 2 + 1 + SPAN_BEAMS + 1
"""Plates, arm at both bolt pairs, root end, span, motor axis."""
LAP_STRESS = 2.2
"""Stress in a lap over that of its two halves together: at a shoulder one half carries all, and its
tongue is narrower than the arm by the rails beside it."""
UPPER, LOWER = 0, 1
"""Nodes in the middle of the plates."""


@dataclass(frozen=True, eq=False)
class Structure:
    """A beam frame that remembers which beam and node is what."""

    frame: BeamFrame
    bars: tuple[Bar, ...]
    hub: int
    """Middle of the upper plate, where the flight controller sits."""
    belly: int
    """Middle of the lower plate, where battery and payload hang."""
    tips: tuple[int, ...]
    """Node at the motor axis of each arm."""
    roots: tuple[int, ...]
    """Node of each arm at its outer clamp bolts."""
    feet: tuple[int, ...]
    feet_roots: tuple[int, ...]
    """Clamp node that each leg hangs from."""
    loose: tuple[PointMass, ...] = ()
    """Items that are not fixed: part of every load case, not of the modes."""

    @property
    def loaded(self) -> BeamFrame:
        """The beam frame for load cases: with what rides on it without shaking with it."""
        if not self.loose:
            return self.frame
        return replace(self.frame, masses=(*self.frame.masses, *self.loose))

    def beams_of(self, part: str, index: int = -1) -> list[int]:
        """Beam numbers of a part, of one arm or leg or of all."""
        return [
            number
            for number, bar in enumerate(self.bars)
            if bar.part == part and index in (-1, bar.index)
        ]


def build_structure(
    frame: FrameDesign,
    layout: Layout,
    materials: Mapping[str, Working],
    fill: Fill,
    part_masses: Mapping[str, float],
    lumps: tuple[Lump, ...],
    hardware: Hardware,
) -> Structure:
    """Beam frame of the whole airframe.

    fill: walls, skins and infill of plates and blocks.
    part_masses: kg each; arms, tubes and legs are spread over their beams to give just that.
    """
    middle = (frame.plate_gap + frame.plate.thickness) / 2
    nodes: list[Floats] = [np.array([0.0, 0.0, middle]), np.array([0.0, 0.0, -middle])]
    bars: list[Bar] = []
    springs: list[Spring] = []
    net = net_section(frame, hardware)
    grips = _grips(frame, materials, hardware)
    for index, angle in enumerate(layout.arm_angles):
        first = _first(index)
        nodes += _arm_nodes(frame, float(angle))
        bars += _arm_bars(frame, materials[frame.arm.material], fill, net, index, first)
        arm = first + PLATE_NODES
        springs += [
            Spring(arm + pair, first + 2 * plate + pair, grips[pair][plate], _axes(float(angle)))
            for plate in (UPPER, LOWER)
            for pair in (0, 1)
        ]
    bars += plate_bars(frame, layout, materials[frame.plate.material], fill, _first)
    tips = [_first(index) + NODES_PER_ARM - 1 for index in range(layout.n_arms)]
    feet, feet_roots = [], []
    for index, arm in enumerate(frame.leg.arms):
        top = _first(arm) + PLATE_NODES + 1  # a landing presses flange, plate and block together
        new = leg_nodes(frame, hardware, float(layout.arm_angles[arm]), nodes[top])
        bars += leg_bars(
            frame, hardware, materials[frame.leg.material], index, top, len(nodes), new
        )
        nodes += new[1:]
        feet.append(len(nodes) - 1)
        feet_roots.append(top)
    placed = np.array(nodes)
    scaled = _with_masses(placed, bars, part_masses)
    return Structure(
        frame=frame_from(placed, scaled, _point_masses(lumps, tips, feet, placed), tuple(springs)),
        bars=tuple(scaled),
        hub=UPPER,
        belly=LOWER,
        tips=tuple(tips),
        roots=tuple(_first(index) + PLATE_NODES + 1 for index in range(layout.n_arms)),
        feet=tuple(feet),
        feet_roots=tuple(feet_roots),
        loose=tuple(_loose(lump, placed) for lump in lumps if lump.loose),
    )


def _grips(
    frame: FrameDesign, materials: Mapping[str, Working], hardware: Hardware
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Stiffness of an arm's inner and outer bolts against upper and lower plate, arm axes."""
    if frame.hinge is not None:
        return hinge_grips(frame, materials, hardware)
    grip = clamp_stiffness(frame, materials, hardware)
    return (grip, grip), (grip, grip)


def _first(index: int) -> int:
    """Number of the first node that belongs to an arm."""
    return 2 + index * NODES_PER_ARM


def _axes(angle: float) -> Floats:
    """Rows: arm's x, y, z in body axes."""
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])


def _arm_nodes(frame: FrameDesign, angle: float) -> list[Floats]:
    clamp, arm = frame.clamp, frame.arm
    r0 = clamp.root_radius
    middle = (frame.plate_gap + frame.plate.thickness) / 2
    bolts = [r0 + clamp.first, r0 + clamp.first + clamp.pitch_x]
    span = r0 + span_edges(arm)
    along = _axes(angle)[0]
    plates = [
        along * radius + np.array([0.0, 0.0, height])
        for height in (middle, -middle)
        for radius in bolts
    ]
    return plates + [along * radius for radius in (*bolts, *span, r0 + arm.axis)]


def _arm_bars(
    frame: FrameDesign, material: Working, fill: Fill, net: float, index: int, first: int
) -> list[Bar]:
    arm, material = frame.arm, replace(material, G=arm_shear(material))
    top = arm.depth_root / 2
    edges = span_edges(arm)
    middle = (edges[1:] + edges[:-1]) / 2
    span = section_at(arm, middle, layered(material), fill)
    span = replace(span, Az=span.Az * taper_relief(arm, middle))
    rows = [(bars_of(span, k), _drop(top, span, k)) for k in range(SPAN_BEAMS)]
    if arm.split:
        lap = lap_section(arm, fill)
        rows[SPAN_BEAMS // 2] = (bars_of(lap, 0) | {"net": LAP_STRESS}, _drop(top, lap, 0))
    blocks = block_section(arm, np.array([0.0, arm.root_length, arm.axis]), fill, layered(material))
    part = "tube" if arm.family == "tube" else "arm"
    first += PLATE_NODES
    ends = first + 2 + SPAN_BEAMS
    pairs = [(first, first + 1), (first + 1, first + 2), (ends, ends + 1)]
    nets = [{"net": net}, {"net": net}, {}]
    made = [
        Bar(part, index, a, b, material, bars_of(blocks, k) | nets[k], _drop(top, blocks, k))
        for k, (a, b) in enumerate(pairs)
    ]
    made += [
        Bar(part, index, first + 2 + k, first + 3 + k, material, row, height)
        for k, (row, height) in enumerate(rows)
    ]
    return made if arm.grown is None else _weighed(frame, arm.grown, made)


def _weighed(frame: FrameDesign, grown: GrownArm, bars: list[Bar]) -> list[Bar]:
    """An arm's bars with the mean sections of a grown arm's solid, its ends included."""
    arm, clamp, edges = frame.arm, frame.clamp, span_edges(frame.arm)
    outer = clamp.first + clamp.pitch_x
    spans = [(0.0, outer), (outer, arm.root_length), (edges[-1], arm.length)]
    spans += pairwise(edges)
    beams = [clamp.pitch_x, arm.root_length - outer, arm.axis - edges[-1], *np.diff(edges)]
    found = []
    for bar, (start, end), beam in zip(bars, spans, beams, strict=True):
        line = grown_line(grown, float(start), float(end)) * float((end - start) / beam)
        found.append(replace(bar, section=bar.section | {"volume_per_length": line}))
    return found


def span_edges(arm: ArmDesign) -> Floats:
    """Ends of the beams of the free span, (SPAN_BEAMS + 1,), m; the middle beam is the lap."""
    start, end = arm.root_length, arm.length - arm.tenon_length
    if not arm.split:
        return np.linspace(start, end, SPAN_BEAMS + 1)
    before, after = arm.split - arm.lap / 2, arm.split + arm.lap / 2
    each = SPAN_BEAMS // 2 + 1
    return np.concatenate([np.linspace(start, before, each), np.linspace(after, end, each)])


def _drop(top: float, section: sections.Section, row: int) -> float:
    """Height of a section's centroid above the arms' mid-plane, m."""
    return top - float(section.centroid[row])


def _with_masses(nodes: Floats, bars: list[Bar], masses: Mapping[str, float]) -> list[Bar]:
    """Bars whose masses add up, for each arm or leg, to the mass of its part."""
    scaled = []
    for part in dict.fromkeys(bar.part for bar in bars):
        keys = PRINTED_AS.get(part, (part,))
        mass = sum(masses.get(key, 0.0) for key in keys)
        one = [bar for bar in bars if bar.part == part and bar.index == 0]
        scaled.append((part, mass / sum(bar.mass(nodes) for bar in one)))
    ratio = dict(scaled)
    return [bar.weighing(ratio.get(bar.part, 0.0)) for bar in bars]


def _point_masses(
    lumps: tuple[Lump, ...], tips: list[int], feet: list[int], nodes: Floats
) -> tuple[PointMass, ...]:
    found = []
    for lump in lumps:
        if not lump.fixed or lump.part in BUILT_IN:
            continue
        if lump.part == "skid":
            found += _shared(lump, _near(lump, feet, nodes)[:2])
            continue
        node = tips[lump.arm] if lump.arm >= 0 else _middle_node(lump)
        if lump.part in ("foot", "skid_front", "skid_rear"):
            node = _near(lump, feet, nodes)[0]
        found.append(PointMass(node, lump.mass, lump.inertia, lump.centre - nodes[node]))
    return tuple(found)


def _loose(lump: Lump, nodes: Floats) -> PointMass:
    """Where it lies if that is above; hanging, where it is tied: a line or a soft foot bears no
    moment to speak of, and what hangs does not turn with the airframe."""
    node = _middle_node(lump)
    away = lump.centre - nodes[node]
    if node == UPPER:
        return PointMass(node, lump.mass, lump.inertia, away)
    return PointMass(node, lump.mass, offset=away * np.array([1.0, 1.0, 0.0]))


def _near(lump: Lump, feet: list[int], nodes: Floats) -> list[int]:
    """Feet in order of their distance from the lump."""
    return sorted(feet, key=lambda foot: float(np.linalg.norm(nodes[foot] - lump.centre)))


def _shared(lump: Lump, feet: list[int]) -> list[PointMass]:
    """A skid's mass at its two legs' ends; ``skid_ties`` ties these together."""
    return [PointMass(foot, lump.mass / 2, lump.inertia / 2, np.zeros(3)) for foot in feet]


def _middle_node(lump: Lump) -> int:
    """Upper plate carries what lies above the arms, lower plate the rest."""
    return UPPER if lump.centre[2] > 0.0 else LOWER
