"""A plausible arm as a solid part: clamped by its root block, loaded at the motor's seat."""

from functools import cache

import numpy as np

from refledge.geometry.arm import make_arm
from refledge.geometry.drill import clamp_holes, clearance, screw_of
from refledge.solids.cases import FaceLoad, PointMass, SolidCase, Support
from refledge.solids.law import Plastic
from refledge.solids.mesh import SolidMesh
from refledge.solids.part import PrintedBody
from refledge.solids.port import MeshSize, Regions, mesh_solids
from refledge.solids.regions import Bore, Plane, Rectangle
from tests.geometry.frames import HARDWARE, arm, frame

PETG = Plastic(
    E_xy=2.0e9,
    E_z=1.7e9,
    nu_xy=0.37,
    nu_xz=0.37,
    G_xz=0.65e9,
    rho=1270.0,
    strength_xy=45e6,
    strength_z=25e6,
    shear_z=20e6,
)
"""Round figures of a plausible printed plastic, invented for the tests."""
SUPPORTS = (Support(("clamp", "bolts")),)


@cache
def body(family: str = "box") -> PrintedBody:
    one = frame(6, arm(family))
    return PrintedBody(make_arm(one.arm, one, HARDWARE), PETG, (0.0, 0.0, -1.0))


def regions(family: str = "box") -> Regions:
    one = frame(6, arm(family))
    a, top = one.arm, one.arm.depth_root / 2
    radius = clearance(screw_of(HARDWARE, one.clamp.screw), one) / 2
    middle = (a.root_length / 2, 0.0, top)
    return {
        "clamp": (
            Rectangle(middle, (0, 0, 1), (1, 0, 0), a.root_length, a.width),
            Plane((0, 0, -top), (0, 0, 1), high=(a.root_length, 1.0, 1.0)),
        ),
        "bolts": tuple(Bore((x, y, 0.0), (0, 0, 1), radius) for x, y in clamp_holes(one.clamp)),
        "seat": Rectangle((a.axis, 0.0, top), (0, 0, 1), (1, 0, 0), a.tenon_length, a.width),
    }


def motor_place(family: str = "box") -> tuple[float, float, float]:
    """Centre of the motor's mass above the seat, m."""
    a = arm(family)
    return (a.axis, 0.0, a.depth_root / 2 + 0.018)


def cases(family: str = "box") -> list[SolidCase]:
    """Thrust, torque, side load and two moments."""
    at = np.array(motor_place(family))
    unit = np.eye(3)
    return [
        SolidCase("thrust", (FaceLoad("seat", 9.0 * unit[2], at),)),
        SolidCase("yaw torque", (FaceLoad("seat", 0 * at, at, 0.16 * unit[2]),)),
        SolidCase("side", (FaceLoad("seat", 5.0 * unit[1], at),)),
        SolidCase("nose up", (FaceLoad("seat", 0 * at, at, 0.1 * unit[1]),)),
        SolidCase("roll", (FaceLoad("seat", 0 * at, at, 0.1 * unit[0]),)),
    ]


def motor(family: str = "box", rigid: bool = False) -> PointMass:
    inertia = np.diag([1.2e-5, 1.2e-5, 1.0e-5])
    return PointMass("seat", 0.097, np.array(motor_place(family)), inertia, rigid)


@cache
def arm_mesh(size: float, family: str = "box", round_elements: float = 1.5) -> SolidMesh:
    wanted = MeshSize(size, round_elements=round_elements)
    return mesh_solids({"arm": body(family).solid}, regions(family), wanted)
