"""What one arm must carry, drawn from operating points, layout and body."""

import numpy as np

from refledge.airframe.arm_uses import ArmDemand
from refledge.airframe.framing import Setting
from refledge.airframe.inventory import cylinder_inertia, rod_inertia
from refledge.airframe.legs import LegForce
from refledge.airframe.task import Task
from refledge.flight.air import GRAVITY


def arm_demand(
    task: Task,
    setting: Setting,
    leg: LegForce,
    mount_mass: float,
    clamp: tuple[float, float, float],
) -> ArmDemand:
    """Loads on one arm, each rotor's thrust less what the tip's own mass takes with it.

    clamp: root stiffness about x, y, z of the arm, N m/rad.
    """
    motor, propeller = task.brief.motor, task.brief.propeller
    per_arm = 2 if task.paired else 1
    tip = per_arm * (motor.mass + propeller.mass + mount_mass)
    full = sum(state.thrust for state in task.full.rotors)
    hover = task.hover.total_thrust
    n_arms = len(task.angles)
    carried = 1.0 - tip * n_arms / task.all_up_mass
    offset = 0.0 if task.paired else motor.height / 2 + setting.body.mount.thickness
    spread = motor.height if task.paired else motor.height / 2
    inertia = per_arm * (
        cylinder_inertia(motor.mass, motor.diameter, motor.height)
        + rod_inertia(propeller.mass, propeller.diameter)
    )
    across = inertia + per_arm * (motor.mass + propeller.mass) * spread**2 * np.diag([1, 1, 0])
    radius = setting.layout.motor_radius
    bolts = setting.body.clamp.root_radius + setting.body.clamp.first + setting.body.clamp.pitch_x
    landing = leg.all_legs * setting.body.leg.count / task.landing_mass * tip
    torque = 0.0 if task.paired else max(state.torque for state in task.full.rotors)
    return ArmDemand(
        full_force=full / n_arms * carried,
        full_torque=torque,
        landing_force=landing,
        carry_moment=task.all_up_mass * GRAVITY * (radius - bolts),
        hover_force=hover / n_arms * carried,
        tip_mass=tip,
        tip_offset=offset,
        tip_inertia=(float(across[0, 0]), float(across[1, 1]), float(across[2, 2])),
        excited=task.excited,
        clamp_y=clamp[1],
        clamp_z=clamp[2],
        clamp_x=clamp[0],
    )
