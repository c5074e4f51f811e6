"""The one arm at hand as a pool of a single candidate, for the checks that look at one arm."""

import numpy as np

from refledge.airframe.arm_uses import arm_uses
from refledge.airframe.candidates import Candidates
from refledge.airframe.demand import arm_demand
from refledge.airframe.fillness import fill_of
from refledge.airframe.grown_pool import grown_uses
from refledge.airframe.legs import leg_force
from refledge.airframe.plates import root_stiffness
from refledge.airframe.pool import Choice, Pool, make_pool
from refledge.airframe.task import Task
from refledge.live.refit import Refitted
from refledge.model.parts import ArmDesign

CHOICE = Choice(index=0, feasible=True, worst="", worst_use=0.0)


def arm_row(task: Task, fitted: Refitted, mount_mass: float) -> Pool:
    """The arm's own uses under the loads of ``task``. mount_mass: kg each."""
    frame = fitted.frame
    leg = leg_force(
        frame.leg,
        task.materials[frame.leg.material],
        task.landing_mass,
        task.brief.mission.landing_speed,
    )
    clamp = root_stiffness(frame, task.materials, task.hardware, fill_of(task.brief))
    demand = arm_demand(task, fitted.setting, leg, mount_mass, clamp)
    arms, material = _one(frame.arm, fitted), task.materials[frame.arm.material]
    if frame.arm.grown is not None:
        found = grown_uses(task.brief, arms, frame.arm.grown, material, demand)
    else:
        found = arm_uses(task.brief, arms, material, demand)
    return make_pool(frame.arm.family, frame.plate.material, [found], frame.n_arms, [0.0])


def _one(arm: ArmDesign, fitted: Refitted) -> Candidates:
    def row(value: float) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
        return np.array([value])

    return Candidates(
        family=arm.family,
        body=fitted.setting.body,
        length=arm.length,
        depth_root=row(arm.depth_root),
        depth_tip=row(arm.depth_tip),
        side=row(arm.side),
        top=row(arm.top),
        bottom=row(arm.bottom),
        pitch=row(arm.pitch),
        web=row(arm.web),
        bore=arm.bore,
        width=arm.width,
        split=arm.split,
        lap=arm.lap,
        lap_screw=arm.lap_screw,
        grown=arm.grown,
    )
