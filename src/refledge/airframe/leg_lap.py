"""Legs in two parts: where they are split, how wide the joint is, and its checks."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from math import ceil, hypot

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.judge import judge
from refledge.airframe.leg_beams import LEG_LAP_BEAM
from refledge.airframe.task import Task
from refledge.analysis.joints import bearing_stress, tear_out_stress, washer_pressure
from refledge.geometry.leg import LAP_EDGE
from refledge.model.brief import Brief
from refledge.model.checks import Check
from refledge.model.fasteners import Screw
from refledge.model.gear import LegDesign
from refledge.model.parts import FrameDesign
from refledge.model.printer import Printer
from refledge.printing.bed import turned_to_fit
from refledge.typed import Floats

LAP_WASHERS = 5.0
"""Length of the joint over a washer's diameter: our choice, a washer between the two bolts'."""
FLANGE = 10e-3
"""m; a leg's flange to either side of its bolts, for what must go on the bed: near M3's."""
SHEAR_SHARE = 0.5
"""Shear over tensile strength in the plane of the layers: Tresca, the careful side."""


def fits_bed(leg: LegDesign, printer: Printer) -> bool:
    """Whether the leg in one piece goes on the bed, turned as it fits best."""
    foot = FLANGE + leg.splay
    outline = np.array([
        [-FLANGE, 0.0, 0.0], [FLANGE + leg.depth_top, 0.0, 0.0],
        [foot - leg.depth_foot, leg.height, 0.0], [foot + leg.depth_foot, leg.height, 0.0],
    ])  # fmt: skip
    _, size = turned_to_fit(outline, printer.bed_length, printer.bed_width)
    return bool(size[0] <= printer.bed_length and size[1] <= printer.bed_width)


def with_lap(leg: LegDesign, brief: Brief, screw: Screw, hole: float) -> LegDesign:
    """The leg as it is where it fits the bed; else split half-way down its strut.

    hole: diameter of a bolt's hole as drawn, m.
    """
    if fits_bed(leg, brief.printer):
        return replace(leg, split=0.0, lap=0.0, lap_depth=0.0, lap_screw="")
    long = hypot(leg.height - leg.flange_thickness, leg.splay)
    lap, split = LAP_WASHERS * screw.washer_diameter, long / 2
    above = leg.depth_top + (leg.depth_foot - leg.depth_top) * (split - lap / 2) / long
    deep = lap_depth(above, hole, brief.printer.extrusion_width)
    least = screw.washer_diameter + 2 * LAP_EDGE
    return replace(leg, split=split, lap=lap, lap_depth=max(deep, least), lap_screw=screw.size)


def lap_depth(strut: float, hole: float, line: float) -> float:
    """Least depth in whole printed lines at which a tongue, half as thick as the strut and with a
    bolt's ``hole`` through its middle, is as strong in bending as the strut beside it, m.

    Section moduli, thickness taken out: D^2 / 12 (1 - (h / D)^3) against d^2 / 6 (handbook).
    """
    lines = ceil(strut / line)
    while (lines * line) ** 2 / 2 * (1 - (hole / (lines * line)) ** 3) < strut**2 or (
        lines * line <= hole
    ):
        lines += 1
    return lines * line


def leg_lap_checks(task: Task, frame: FrameDesign, found: Assessment) -> Iterator[Check]:
    """Bolts of the legs' joints in their holes and their washers on the sides; none without."""
    leg = frame.leg
    if not leg.split:
        return
    screw, factor = task.hardware.screws[leg.lap_screw], task.brief.limits.joint_factor
    rows = leg.lap - screw.washer_diameter - 2 * LAP_EDGE
    laps = [found.structure.beams_of("leg", n)[LEG_LAP_BEAM] for n in range(leg.count)]
    shares = [
        (bolt_force(ends, rows), side_pull(ends, rows), result)
        for result in found.results
        for ends in np.abs(result.forces[laps]).reshape(-1, 6)
    ]
    force, _, worst = max(shares, key=lambda each: each[0])
    _, pull, sideways = max(shares, key=lambda each: each[1])
    material, half = task.materials[leg.material], leg.thickness / 2
    ask = partial(
        judge, group="joints", part="legs", unit="Pa", shown="MPa",
        spread=material.strength_spread, source=f"factor {factor:g} from the brief",
    )  # fmt: skip
    yield ask(
        key="leg-lap-bearing", title="bearing of the leg joints' bolts on their holes",
        load_case=worst.case.title,
        demand=float(bearing_stress(force, screw.diameter, half)),
        capacity=material.strength_xy / factor,
        method="moment in the leg's plane as a couple between the two bolts, with shear and "
        "pull; friction left out; force over d t of one tongue",
    )  # fmt: skip
    edge = min(screw.washer_diameter / 2 + LAP_EDGE, leg.lap_depth / 2)
    yield ask(
        key="leg-lap-tear-out", title="tear-out of the leg joints' bolts to the edge",
        load_case=worst.case.title,
        demand=float(tear_out_stress(force, screw.diameter, half, edge)),
        capacity=SHEAR_SHARE * material.strength_xy / factor,
        method="two shear planes from hole to edge of one tongue",
    )  # fmt: skip
    yield ask(
        key="leg-lap-washer", title="pressure under the leg joints' washers",
        load_case=sideways.case.title,
        demand=float(washer_pressure(pull, screw.washer_diameter, screw.clearance_hole)),
        capacity=material.strength_z / factor,
        method="moment across the leg's plane as a couple between the two bolts, each prying on "
        "the far edge of its tongue",
    )  # fmt: skip


def bolt_force(ends: Floats, rows: float) -> float:
    """Greatest force on one of two bolts ``rows`` apart (m), N; ends: (6,), N and N m, sizes."""
    return float(hypot(ends[4] / rows + ends[2] / 2, ends[0] / 2))


def side_pull(ends: Floats, rows: float) -> float:
    """Pull on one of two bolts as the joint bends and shears across the leg's plane, N."""
    return float(2 * ends[5] / rows + ends[1] / 2)
