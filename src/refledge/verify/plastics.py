"""Working materials and print settings as the solid solver takes them."""

import numpy as np

from refledge.airframe.estimate import material_of
from refledge.airframe.fillness import fill_of
from refledge.geometry.arm import make_arm
from refledge.geometry.kernel import MeshSolid
from refledge.geometry.leg import make_leg
from refledge.geometry.parts import BOUGHT
from refledge.geometry.poses import print_pose
from refledge.model.parts import FrameDesign
from refledge.solids.law import Plastic
from refledge.solids.part import PrintedBody
from refledge.solids.skin import Skin
from refledge.study import Study


def printed_body(study: Study, key: str) -> PrintedBody:
    """One part with its plastic at flight conditions, layers as it is printed, skins and infill."""
    material = study.task.materials[material_of(study.frame, key)]
    plastic = Plastic(
        E_xy=material.E,
        E_z=material.E_z,
        nu_xy=material.nu,
        nu_xz=material.nu,
        G_xz=material.G_xz,
        rho=material.rho,
        strength_xy=material.strength_xy,
        strength_z=material.strength_z,
        shear_z=material.shear_z,
    )
    if key in BOUGHT:
        return PrintedBody(study.solids[key], plastic, (1.0, 0.0, 0.0))
    up = build_direction(study.frame, key)
    if key not in study.solids:  # the arm or leg in one piece of a frame in which they are split
        whole = (
            make_leg(study.frame, study.task.hardware)
            if key == "leg"
            else make_arm(study.frame.arm, study.frame, study.task.hardware)
        )
        return PrintedBody(whole, plastic, up, skin(study))
    solid = study.solids[key]
    surface = solid.mesh if isinstance(solid, MeshSolid) else None
    return PrintedBody(solid, plastic, up, skin(study), surface)


def skin(study: Study) -> Skin:
    """Perimeters, bottom and top layers, infill of the brief."""
    fill, wish = fill_of(study.brief), study.brief.frame
    return Skin(fill.side, fill.face, wish.infill)


def build_direction(frame: FrameDesign, key: str) -> tuple[float, float, float]:
    """Unit vector up from the bed, in part axes."""
    halves = {"arm": "arm_inner"} if frame.arm.split else {}
    halves |= {"leg": "leg_upper"} if frame.leg.split else {}
    pose = halves.get(key, key)  # both parts of an arm print alike, those of a leg mirrored
    rotation, _ = print_pose(pose, frame)
    up = rotation.T @ np.array([0.0, 0.0, 1.0])
    return (float(up[0]), float(up[1]), float(up[2]))
