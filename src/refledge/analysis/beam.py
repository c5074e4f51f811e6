"""3D Timoshenko beam frame: what to import.

Data in ``frame``, element matrices in ``elements``, the whole in ``assembly``, solves in ``solve``
and ``modal``.
"""

from refledge.analysis.assembly import matrices, rigid_shapes
from refledge.analysis.elements import local_axes
from refledge.analysis.frame import BeamFrame, PointMass, Spring, all_dofs, frame_of, line_mesh
from refledge.analysis.modal import modes
from refledge.analysis.solve import (
    FreeStatic,
    RigidBody,
    Static,
    end_forces,
    rigid_body_mass,
    solve_free,
    solve_static,
)

__all__ = [
    "BeamFrame",
    "FreeStatic",
    "PointMass",
    "RigidBody",
    "Spring",
    "Static",
    "all_dofs",
    "end_forces",
    "frame_of",
    "line_mesh",
    "local_axes",
    "matrices",
    "modes",
    "rigid_body_mass",
    "rigid_shapes",
    "solve_free",
    "solve_static",
]
