"""Legs in the beam frame: a leaning strut, and the joint of one in two parts."""

from math import cos, sin

import numpy as np

from refledge.airframe.beams import Bar, Row, bars_of
from refledge.airframe.working import Working
from refledge.analysis import sections
from refledge.geometry.leg import leg_line
from refledge.model.fasteners import Hardware
from refledge.model.gear import LegDesign
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

STRUT_BEAMS = 3
LEG_LAP_BEAM = 1
"""Beam of a strut that is the joint of a leg in two parts."""


def leg_nodes(frame: FrameDesign, hardware: Hardware, angle: float, top: Floats) -> list[Floats]:
    """Strut from under its flange to the foot, the first at the strut's head."""
    along = np.array([cos(angle), sin(angle), 0.0])
    under = np.array([0.0, 0.0, -frame.plate_gap / 2 - frame.plate.thickness])
    head, foot = (
        top + under + along * x + np.array([0.0, 0.0, z]) for x, z in leg_line(frame, hardware)
    )
    return [head + (foot - head) * share for share in strut_edges(frame.leg)]


def strut_edges(leg: LegDesign) -> Floats:
    """Ends of a strut's beams over its length, (STRUT_BEAMS + 1,), 1; the middle one is the joint
    of a leg in two parts."""
    if not leg.split:
        return np.linspace(0.0, 1.0, STRUT_BEAMS + 1)
    long = np.hypot(leg.height - leg.flange_thickness, leg.splay)
    edges: Floats = np.array([0.0, leg.split - leg.lap / 2, leg.split + leg.lap / 2, long]) / long
    return edges


def leg_bars(
    frame: FrameDesign,
    hardware: Hardware,
    material: Working,
    index: int,
    top: int,
    start: int,
    nodes: list[Floats],
) -> list[Bar]:
    """The first beam hangs from the clamp node by a rigid offset to the strut's head."""
    leg = frame.leg
    edges = strut_edges(leg)
    depth = leg.depth_top + (leg.depth_foot - leg.depth_top) * (edges[1:] + edges[:-1]) / 2
    section = sections.rectangle(leg.thickness, depth)
    rows = [bars_of(section, k) for k in range(STRUT_BEAMS)]
    if leg.split:
        rows[LEG_LAP_BEAM] = _leg_lap_row(frame, hardware)
    made = []
    for k in range(STRUT_BEAMS):
        a = top if k == 0 else start + k - 1
        made.append(
            Bar("leg", index, a, start + k, material, rows[k], 0.0,
                head=nodes[0] if k == 0 else None)
        )  # fmt: skip
    return made


def _leg_lap_row(frame: FrameDesign, hardware: Hardware) -> Row:
    """The joint as one of its two tongues alone, which is careful; stress beside a bolt's hole."""
    leg = frame.leg
    hole = hardware.screws[leg.lap_screw].clearance_hole + frame.hole_allowance
    section = sections.rectangle(leg.thickness / 2, np.array([leg.lap_depth]))
    return bars_of(section, 0) | {"net": 1.0 / (1.0 - (hole / leg.lap_depth) ** 3)}
