"""A grown arm as it is kept for ``design``: from what growing and solving found."""

import numpy as np

from refledge.airframe.grown_interface import interface_of, plastic_of, printed_as
from refledge.errors import AnalysisError
from refledge.model.grown import GrownArm, content_key
from refledge.model.results import TriMesh
from refledge.shaping.result import Result


def kept_arm(found: Result) -> GrownArm:
    """Raises AnalysisError where the arm was not solved as printed, or no airframe can have it."""
    bears = found.solids[1].bears if found.solids else None
    if found.solids is None or bears is None:
        raise AnalysisError("an arm that was not solved as printed has nothing to keep")
    if found.grounded:
        raise AnalysisError(f"no airframe can have this arm: {found.grounded}")
    study, solved = found.study, found.solids[1]
    frame, mesh = study.frame, TriMesh(found.body.mesh.vertices, found.body.mesh.triangles)
    return GrownArm(
        key=content_key(mesh, solved.give.give, bears.unit_plastic),
        title=study.brief.title,
        version=study.version,
        how=_how(found),
        interface=interface_of(
            frame.arm, frame.clamp, frame.mount, study.brief.frame.hole_allowance
        ),
        plastic=plastic_of(study.task.materials[frame.arm.material]),
        printed=printed_as(study.brief),
        mesh=mesh,
        volume=found.body.volume,
        area=found.body.area,
        support=found.laid.support.area,
        at=np.asarray(solved.give.at, np.float64),
        give=solved.give.give,
        give_error=max(solved.errors[:2]),
        modes=np.array(solved.modes),
        cases=bears.cases,
        unit_plastic=bears.unit_plastic,
        unit_layers=bears.unit_layers,
        unit_buckling=bears.unit_buckling,
        unit_by_hand=bears.unit_by_hand,
    )


def _how(found: Result) -> str:
    wish, steps = found.shaped.wish, len(found.shaped.design.history)
    goal = "least mass" if wish.goal == "mass" else "stiffest of its mass"
    free = ", free of support" if wish.support_free else ""
    return f"{goal}, voxels of {1e3 * wish.voxel:g} mm, {steps} steps{free}"
