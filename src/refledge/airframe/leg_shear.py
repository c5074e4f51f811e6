"""A leg's two bolts in the plane of the plate: pushed sideways at its foot, it turns about them.

By hand, friction left out: the bolts stand side by side, so that what turns the flange presses one
outwards and the other inwards.
"""

from math import ceil, hypot

from refledge.airframe.assessment import Assessment
from refledge.airframe.judge import judge, reserve
from refledge.airframe.leg_root import FLANGE_STEP, flange_load
from refledge.airframe.legs import SIDE_SHARE
from refledge.airframe.task import Task
from refledge.airframe.working import Working
from refledge.analysis.joints import bearing_stress
from refledge.model.checks import Check
from refledge.model.fasteners import Screw
from refledge.model.parts import FrameDesign
from refledge.typed import Floats


def bolt_shear_of(force: Floats, moment: Floats, apart: float) -> float:
    """Force across the harder bolt, N.

    force, moment: (3,), N and N m, of the strut on its flange about the middle of the bolts; x
    outwards, y to the left, z up. apart: between the bolts, across the arm, m. Elastic bolt group
    (Shigley, shear joints with eccentric loading).
    """
    return hypot(abs(force[0]) / 2 + abs(moment[2]) / apart, force[1] / 2)


def bearing_thickness(
    screw: Screw, apart: float, foot: float, force: float, material: Working, factor: float
) -> float:
    """Thickness of a flange on which the bolts press no more than they may, m: side force across
    the arm with ``force`` (N) on each leg. foot: from the bolts outwards to the leg's end, m.

    Bolts bear before they tear out: an edge's distance is half a washer and 1 mm.
    """
    side = SIDE_SHARE * force
    pressed = hypot(side * foot / apart, side / 2)
    limit = material.strength_xy / factor / (1.0 + reserve(material.strength_spread))
    return ceil(pressed / screw.diameter / limit / FLANGE_STEP - 1e-6) * FLANGE_STEP


def leg_shear_check(task: Task, frame: FrameDesign, found: Assessment) -> Check:
    """Bearing of the hardest-pressed leg's bolts on its flange in any landing."""
    screw, leg = task.hardware.screws[frame.clamp.screw], frame.leg
    worst, case = max(
        (
            (bolt_shear_of(*flange_load(frame, found, result, n), frame.clamp.pitch_y), result)
            for result in found.results
            if result.case.kind == "landing"
            for n in range(leg.count)
        ),
        key=lambda pair: pair[0],
    )
    material, factor = task.materials[leg.material], task.brief.limits.joint_factor
    return judge(
        key="leg-bearing", title="bearing of the legs' bolts on their flanges", group="joints",
        part="legs", load_case=case.case.title,
        demand=float(bearing_stress(worst, screw.diameter, leg.flange_thickness)),
        capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
        spread=material.strength_spread,
        method="the leg turned about the middle of its two bolts by the push on its foot, without "
        "friction; force over d t",
        source=f"Shigley, eccentric bolt groups; factor {factor:g} from the brief",
        note=f"hardest bolt pressed by {worst:.0f} N",
    )  # fmt: skip
