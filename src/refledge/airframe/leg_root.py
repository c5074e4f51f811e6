"""How a leg hangs on the lower plate: its two bolts, and the flange between them and the strut.

The flange rocks on the plate: where the leg lifts its outer end, about the plate's outer edge,
where it lifts the inner one, about the flange's, and across about the flange's side; what is beyond
the bolts pulls on them. By hand, friction and the bolts' preload left out.
"""

from dataclasses import dataclass
from functools import partial
from math import ceil, sqrt

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.joints import clamp_preload, joint_stiffnesses
from refledge.airframe.judge import judge, reserve
from refledge.airframe.legs import SIDE_SHARE
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.airframe.working import Working
from refledge.analysis.elements import local_axes
from refledge.analysis.joints import washer_pressure
from refledge.geometry.leg import FILLET, bolt_edge, plate_reach, strut_inner
from refledge.model.checks import Check
from refledge.model.fasteners import Screw
from refledge.model.gear import LegDesign
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

FLANGE_STEP = 1e-4
"""m; flanges are so much thicker from one to the next: our choice."""


@dataclass(frozen=True)
class Rest:
    """Where a leg's flange rests, from the middle of its bolts outwards, m."""

    edge: float
    """To the plate's outer edge."""
    back: float
    """To the flange's inner edge, inwards."""
    fillet: float
    """To where the fillet to the strut begins: there the flange bends most."""
    apart: float
    """Between the two bolts."""
    width: float


@dataclass(frozen=True)
class Rocked:
    """What a leg does to its bolts and its flange."""

    pull: float  # N, of the harder bolt
    moment: float  # N m, in the flange where the fillet begins


def rest_of(leg: LegDesign, screw: Screw, reach: float, apart: float) -> Rest:
    """reach: from the bolts to the plate's outer edge, m. apart: between the bolts, m."""
    return Rest(
        edge=reach,
        back=bolt_edge(screw),
        fillet=strut_inner(screw) - FILLET,
        apart=apart,
        width=leg.thickness,
    )


def rocked(rest: Rest, force: Floats, moment: Floats) -> Rocked:
    """Bolts and flange under what the strut does to it.

    force, moment: (3,), N and N m, about the middle of the bolts at the plate's underside; x
    outwards, y left, z up.
    """
    down = moment[1]  # lifts the inner end where positive, the outer one where negative
    outer = max(0.0, -(down + rest.edge * force[2])) / rest.edge
    inner = max(0.0, down - rest.back * force[2]) / rest.back
    along = max(outer, inner, 0.0, -force[2])
    half, share = rest.width / 2, rest.apart / 2
    across = max(0.0, abs(moment[0]) - half * force[2])
    far, near = half + share, half - share
    pull = along / 2 + across * far / (far**2 + near**2)
    beyond = abs(down + rest.fillet * force[2])
    bent = max(min(along * rest.fillet, beyond) if outer >= inner else beyond, 0.0)
    return Rocked(pull, bent)


def flange_for(
    leg: LegDesign, rest: Rest, foot: float, force: float, material: Working, factor: float
) -> float:
    """Thickness of a flange that bears a landing, m: of all legs, ``force`` (N) on each with side
    force outwards or inwards, or of one that takes as much as two.

    foot: from the bolts outwards to the leg's end, m. factor: on strength.
    """
    side = SIDE_SHARE * force
    moments = []
    for out, up in ((side, force), (-side, force), (0.0, 2.0 * force)):
        about = np.array([0.0, -leg.height * out - foot * up, 0.0])
        moments.append(rocked(rest, np.array([out, 0.0, up]), about).moment)
    limit = material.strength_xy / factor / (1.0 + reserve(material.strength_spread))
    least = sqrt(6.0 * max(moments) / (rest.width * limit))
    return ceil(least / FLANGE_STEP - 1e-6) * FLANGE_STEP


@dataclass(frozen=True)
class LegRoot:
    """The hardest landing for a leg's bolts, and for its flange."""

    pull: float  # N, on the hardest bolt
    pressure: float  # Pa, under its washer, preload in
    pulled: str  # title of its load case
    stress: float  # Pa, in the flange
    bent: str  # title of its load case


def leg_root(task: Task, frame: FrameDesign, found: Assessment) -> LegRoot:
    """Of all legs in all landings."""
    screw, leg = task.hardware.screws[frame.clamp.screw], frame.leg
    rest = rest_of(leg, screw, plate_reach(frame), frame.clamp.pitch_y)
    each = [
        (rocked(rest, *flange_load(frame, found, result, n)), result.case.title)
        for result in found.results
        if result.case.kind == "landing"
        for n in range(leg.count)
    ]
    hard, pulled = max(each, key=lambda pair: pair[0].pull)
    most, bent = max(each, key=lambda pair: pair[0].moment)
    bolt, plastic = joint_stiffnesses(frame, task.materials, task.hardware)
    pressed = clamp_preload(frame, task.materials, task.hardware)
    pressed += bolt / (bolt + plastic) * hard.pull
    return LegRoot(
        pull=float(hard.pull),
        pressure=float(washer_pressure(pressed, screw.washer_diameter, screw.clearance_hole)),
        pulled=pulled,
        stress=float(6.0 * most.moment / (leg.thickness * leg.flange_thickness**2)),
        bent=bent,
    )


def flange_use(task: Task, frame: FrameDesign, found: Assessment) -> float:
    """Stress of the flanges over what they bear, with the reserve aimed at (1)."""
    root, material = leg_root(task, frame, found), task.materials[frame.leg.material]
    aim = (1.0 + reserve(material.strength_spread)) / material.strength_xy
    return aim * task.brief.limits.landing_factor * root.stress


def leg_root_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Washers of the legs' bolts and bending of their flanges, in the hardest landing."""
    root, material = leg_root(task, frame, found), task.materials[frame.leg.material]
    limits = task.brief.limits
    ask = partial(judge, part="legs", unit="Pa", shown="MPa", spread=material.strength_spread)
    return (
        ask(
            key="leg-washer", title="pressure under the washers of the legs' bolts",
            group="joints", load_case=root.pulled, demand=root.pressure,
            capacity=material.strength_xy / limits.joint_factor,
            method="leg's flange rocking on the plate's edge, shared by stiffness (Shigley, joint "
            "constant), added to the preload",
            source=f"factor {limits.joint_factor:g} from the brief",
            note=f"hardest bolt pulled by {root.pull:.0f} N",
        ),
        ask(
            key="leg-flange", title="bending of the legs' flanges", group="strength",
            load_case=root.bent, demand=root.stress,
            capacity=material.strength_xy / limits.landing_factor,
            method="pull of both bolts times their way to the strut's fillet, on the whole width",
            source=f"material card at part temperature; factor {limits.landing_factor:g} from the "
            "brief",
        ),
    )  # fmt: skip


def flange_load(
    frame: FrameDesign, found: Assessment, result: CaseResult, leg: int
) -> tuple[Floats, Floats]:
    """Force and moment (3,) of a leg's strut on its flange, N and N m, about the middle of its
    bolts at the plate's underside, in the axes of its arm."""
    structure = found.structure
    row = structure.beams_of("leg", leg)[0]
    beams = structure.frame
    _, turn = local_axes(beams)
    force, moment = (-(turn[row].T @ part) for part in np.split(result.forces[row, 0], 2))
    head = beams.nodes[beams.elements[row, 0]] + beams.offsets[row, 0]
    tip = beams.nodes[structure.tips[frame.leg.arms[leg]]]
    out = np.array([tip[0], tip[1], 0.0]) / np.hypot(tip[0], tip[1])
    radius = frame.clamp.root_radius + frame.clamp.first + frame.clamp.pitch_x
    low = -frame.plate_gap / 2 - frame.plate.thickness
    bolts = radius * out + np.array([0.0, 0.0, low])
    about = moment + np.cross(head - bolts, force)
    axes = np.array([out, [-out[1], out[0], 0.0], [0.0, 0.0, 1.0]])
    return axes @ force, axes @ about
