"""Checks of folding arms: bolts, printed holes, washers, play at the tip, grip in flight."""

from refledge.airframe.assessment import Assessment
from refledge.airframe.clamp_rings import pressed_radius
from refledge.airframe.hinge import friction_radius, hinge_lever, hinge_rows, tip_play
from refledge.airframe.hinge_uses import (
    HingeForce,
    bolt_strength,
    bolt_use,
    factor_of,
    forces,
    lock_preload,
    root_ends,
    washer_stress,
)
from refledge.airframe.joints import LEAST_PRELOAD, clamp_preload
from refledge.airframe.judge import judge
from refledge.airframe.task import Task
from refledge.airframe.tube_checks import FRICTION
from refledge.analysis.joints import bearing_stress, tear_out_stress
from refledge.geometry.hinge import hinge_of, lock_screw
from refledge.model.checks import Check
from refledge.model.fasteners import Screw
from refledge.model.parts import FrameDesign

SHEAR_SHARE = 0.5
"""Shear over tensile strength in the plane of the layers: Tresca, the careful side."""
STATICS = "two pins by statics: moment about the pivot over the lever of the lock"


def hinge_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Every question of a hinge that needs no solids; none for clamped arms."""
    if frame.hinge is None:
        return ()
    rows = hinge_rows(frame.clamp)
    pivot, lock = task.hardware.screws[frame.clamp.screw], lock_screw(frame, task.hardware)
    sides = (
        ("pivot", pivot, forces(found, rows.pivot, rows.pull)),
        ("lock", lock, forces(found, rows.lock, rows.pull)),
    )
    made = []
    for name, bolt, every in sides:
        made += [
            _bolt(task, frame, name, bolt, every),
            _bearing(task, frame, name, bolt, every),
            _tear_out(task, frame, name, bolt, every),
            _washer(task, frame, name, bolt, every),
        ]
    return (*made, _play(task, frame), _grip(task, frame, found))


def _bolt(task: Task, frame: FrameDesign, name: str, bolt: Screw, every: list[HingeForce]) -> Check:
    """Tension and shear together, with the brief's factors on strength in flight and landing."""
    uses = [(bolt_use(task, frame, bolt, each), each) for each in every]
    use, worst = max(uses, key=lambda pair: pair[0])
    _, spread = bolt_strength(bolt)
    return judge(
        key=f"hinge-{name}-bolt", title=f"strength of the hinges' {name} bolts", group="joints",
        part=f"{name} bolts", load_case=worst.result.case.title, demand=use, capacity=1.0,
        unit="1", shown="1", spread=spread,
        method=f"{STATICS}; pull as a couple along and across the arm; tension and shear combined",
        source=f"{bolt.source}; factor {factor_of(task, worst.result):g} from the brief",
    )  # fmt: skip


def _bearing(
    task: Task, frame: FrameDesign, name: str, bolt: Screw, every: list[HingeForce]
) -> Check:
    """The shank on its bores: in both plates, or in the arm's block where that is weaker."""
    worst = max(every, key=lambda each: each.shear)
    factor = task.brief.limits.joint_factor
    told = [
        (task.materials[key], float(bearing_stress(worst.shear, bolt.diameter, thick)))
        for key, thick in (
            (frame.plate.material, 2 * frame.plate.thickness),
            (frame.arm.material, frame.plate_gap),
        )
    ]
    material, stress = max(told, key=lambda each: each[1] / each[0].strength_xy)
    return judge(
        key=f"hinge-{name}-bearing", title=f"bearing of the {name} bolts on their bores",
        group="joints", part=f"{name} bolts in plates and arms",
        load_case=worst.result.case.title, demand=stress, capacity=material.strength_xy / factor,
        unit="Pa", shown="MPa", spread=material.strength_spread,
        method=f"{STATICS}; force over d t without friction",
        source=f"factor {factor:g} from the brief",
    )  # fmt: skip


def _tear_out(
    task: Task, frame: FrameDesign, name: str, bolt: Screw, every: list[HingeForce]
) -> Check:
    """From the bore to the nearest edge of plates or block."""
    worst = max(every, key=lambda each: each.shear)
    factor, clamp = task.brief.limits.joint_factor, frame.clamp
    edge = min(clamp.first, (frame.arm.width - clamp.pitch_y) / 2)
    thick = min(2 * frame.plate.thickness, frame.plate_gap)
    material = min(
        (task.materials[key] for key in (frame.plate.material, frame.arm.material)),
        key=lambda each: each.strength_xy,
    )
    return judge(
        key=f"hinge-{name}-tear-out", title=f"tear-out of the {name} bolts to the edge",
        group="joints", part=f"{name} bolts in plates and arms",
        load_case=worst.result.case.title,
        demand=float(tear_out_stress(worst.shear, bolt.diameter, thick, edge)),
        capacity=SHEAR_SHARE * material.strength_xy / factor, unit="Pa", shown="MPa",
        spread=material.strength_spread, method="two shear planes from bore to edge",
        source=f"shear half of tension (Tresca); factor {factor:g} from the brief",
    )  # fmt: skip


def _washer(
    task: Task, frame: FrameDesign, name: str, bolt: Screw, every: list[HingeForce]
) -> Check:
    """What the pull adds to the preload."""
    worst = max(every, key=lambda each: each.pull)
    material, factor = task.materials[frame.plate.material], task.brief.limits.joint_factor
    return judge(
        key=f"hinge-{name}-washer", title=f"pressure under the {name} bolts' washers",
        group="joints", part="plates", load_case=worst.result.case.title,
        demand=washer_stress(task, frame, bolt, worst.pull),
        capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
        spread=material.strength_spread,
        method="moments as couples over the bolts' distances along and across, shared by "
        "stiffness (Shigley, joint constant), added to the preload; or the pull alone, if more",
        source=f"factor {factor:g} from the brief",
        note=f"larger screws help: frame.rod_screw is {frame.clamp.screw}",
    )  # fmt: skip


def _play(task: Task, frame: FrameDesign) -> Check:
    return judge(
        key="hinge-play", title="play of the arms' tips by their hinges", group="fit",
        part="arms", demand=tip_play(frame, task.hardware),
        capacity=task.brief.limits.tip_play, unit="m", shown="mm", exact=True,
        method="both bolts cross their bores opposite ways; to either side, once the grip slips",
        source="bores over bolts from the brief (frame.hinge_gap), holes as frame.hole_allowance "
        "gives them",
        note="tighter bores help (frame.hinge_gap): ream them with a drill of the bolt's size",
    )  # fmt: skip


def _grip(task: Task, frame: FrameDesign, found: Assessment) -> Check:
    """In flight friction under both bolts holds the arm still within its play."""
    factor = task.brief.limits.joint_factor
    half, worst, case = frame.clamp.pitch_y / 2, 0.0, ""
    for result in found.results:
        if result.case.kind != "flight":
            continue
        ends = root_ends(found, result)
        turning = float((ends[:, 5] + half * ends[:, 0]).max())
        if turning > worst:
            worst, case = turning, result.case.title
    return judge(
        key="hinge-grip", title="grip of the hinges in flight", group="joints", part="arms",
        load_case=case, demand=worst, capacity=grip_moment(task, frame) / factor, unit="N*m",
        shown="N*m",
        method="friction of both faces of the block, at the lock by its lever, at the pivot by "
        "its pressed ring, preload after creep; beyond it an arm moves within its play",
        source=f"friction {FRICTION} from memory; factor {factor:g} from the brief",
    )  # fmt: skip


def grip_moment(task: Task, frame: FrameDesign) -> float:
    """Moment about the pivot that friction holds, N m."""
    hinge = hinge_of(frame)
    lock, tight = lock_preload(task, frame), clamp_preload(frame, task.materials, task.hardware)
    ring = friction_radius(pressed_radius(frame, task.hardware), hinge.pivot_bore / 2)
    held = lock * hinge_lever(frame.clamp) + tight * ring
    return 2 * FRICTION * LEAST_PRELOAD * held


def tear_out_room(frame: FrameDesign, bolt: Screw) -> float:
    """Plastic that shears where a bolt tears out of both plates, m2."""
    clamp = frame.clamp
    edge = min(clamp.first, (frame.arm.width - clamp.pitch_y) / 2)
    return 2 * 2 * frame.plate.thickness * (edge - bolt.diameter / 2)
