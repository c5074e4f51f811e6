"""Solids that follow an edit: made anew for the frame of the moment, the changed ones told."""

import hashlib

from refledge.airframe.making import make_solids
from refledge.airframe.task import Task
from refledge.live.drawn import Drawn, drawn_from
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly, TriMesh


def follow(task: Task, frame: FrameDesign, layout: Layout) -> Drawn:
    """Every part and item of ``frame`` as a mesh in its place, with masses as printed.

    Raises GeometryError where a part cannot be made.
    """
    return drawn_from(task, make_solids(task, frame, layout), layout)


def mesh_names(assembly: Assembly) -> dict[str, str]:
    """Key of each mesh to a name of its contents: the same name, the same triangles."""
    return {key: mesh_name(mesh) for key, mesh in assembly.meshes.items()}


def mesh_name(mesh: TriMesh) -> str:
    """A short digest of vertices (to a nanometre) and triangles."""
    told = hashlib.sha256(mesh.vertices.round(9).tobytes())
    told.update(mesh.triangles.tobytes())
    return told.hexdigest()[:16]
