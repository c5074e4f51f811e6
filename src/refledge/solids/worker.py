"""The process that meshes and factors: the only file that uses netgen and ngsolve.

It runs apart because netgen brings its own release of the modeller's library and loads it into the
whole process, where it takes the place of the one that drew the solids; calls then end in type
errors or a crash (seen with netgen 6.2.2608 beside the modeller 8.0). Apart, a crash of the mesher
costs one error message.

Requests and answers are pickled tuples on the standard streams; lengths are in mm here.
"""

import os
import pickle
import sys
from collections.abc import Callable
from importlib import import_module
from typing import Any, BinaryIO

import numpy as np

from refledge.typed import Floats, Ints

Patch = tuple[str, tuple[float, ...], tuple[float, ...], tuple[float, ...], float, float]
"""rectangle or ring; centre; normal; direction along; length or inner, width or outer radius."""


class Session:
    """One shape being meshed, and the factors in use."""

    def __init__(self) -> None:
        self._shape: Any = None
        self._factors: dict[int, Any] = {}

    def load(self, paths: list[str], patches: list[Patch]) -> list[Floats]:
        """Bodies put together, outlines cut in; points (k, 3) on the edges of each face."""
        occ = import_module("netgen.occ")
        bodies = []
        for index, path in enumerate(paths):
            body = occ.OCCGeometry(path).shape.solids[0]
            body.mat(f"body {index}")  # the name survives gluing, the order may not
            bodies.append(body)
        tools = [_patch(occ, each) for each in patches]
        solids = bodies
        if len(bodies) + len(tools) > 1:
            solids = list(occ.Glue([*bodies, *tools]).solids)
        if len(solids) != len(bodies):
            raise ValueError(f"{len(bodies)} bodies became {len(solids)} when put together")
        self._shape = occ.Compound(solids)
        return [np.array([p for e in face.edges for p in _along(e)]) for face in self._shape.faces]

    def mesh(
        self,
        size: float,
        grading: float,
        curvature: float,
        finer: dict[int, float],
        spots: list[tuple[float, float, float, float]],
    ) -> tuple[Floats, Ints, Ints, Ints]:
        """Corners (n, 3), tets (m, 4), body (m,), surface (s, 4): corners and face number."""
        occ, meshing = import_module("netgen.occ"), import_module("netgen.meshing")
        faces = list(self._shape.faces)
        for index, near in finer.items():
            faces[index].maxh = near
        settings = meshing.MeshingParameters(
            maxh=size,
            grading=grading,
            curvaturesafety=curvature,
            segmentsperedge=0.2,  # short edges, as at fillets, need not hold a whole element
        )
        for x, y, z, near in spots:
            settings.RestrictH(x=x, y=y, z=z, h=near)
        mesh = occ.OCCGeometry(self._shape).GenerateMesh(mp=settings)
        found, skin = mesh.Elements3D().NumPy(), mesh.Elements2D().NumPy()
        if not len(found):
            raise ValueError("no volume was filled")
        tets = found["nodes"][:, :4].astype(np.int64) - 1
        surface = np.column_stack((skin["nodes"][:, :3] - 1, skin["index"])).astype(np.int64)
        domains = found["index"].astype(np.int64)
        names = [mesh.GetMaterial(k + 1) for k in range(int(domains.max()))]
        body = np.array([int(name.removeprefix("body ")) for name in names])[domains - 1]
        return np.array(mesh.Coordinates()), tets, body, surface

    def fill(
        self, points: Floats, triangles: Ints, size: float, grading: float
    ) -> tuple[Floats, Ints]:
        """Corners and tets (m, 4) inside a closed surface, which the mesher leaves as it is."""
        meshing = import_module("netgen.meshing")
        mesh = meshing.Mesh()
        mesh.dim = 3
        mesh.Add(meshing.FaceDescriptor(surfnr=1, domin=1, domout=0, bc=1))
        mesh.AddPoints(np.ascontiguousarray(points))
        mesh.AddElements(
            dim=2, index=1, data=np.ascontiguousarray(triangles.astype(np.int32)), base=0
        )
        mesh.SetMaterial(1, "body 0")
        mesh.GenerateVolumeMesh(mp=meshing.MeshingParameters(maxh=size, grading=grading))
        found = mesh.Elements3D().NumPy()
        if not len(found):
            raise ValueError("no volume was filled")
        return np.array(mesh.Coordinates()), found["nodes"][:, :4].astype(np.int64) - 1

    def factor(self, key: int, rows: Ints, columns: Ints, values: Floats, size: int) -> None:
        """Sparse Cholesky from the lower triangle, on all cores."""
        ngsolve = import_module("ngsolve")
        matrix = ngsolve.la.SparseMatrixd.CreateFromCOO(rows, columns, values, size, size)
        with ngsolve.TaskManager():
            inverse = matrix.Inverse(inverse="sparsecholesky")
        x, y = (matrix.CreateColVector() for _ in range(2))
        self._factors[key] = inverse, x, y

    def solve(self, key: int, right: Floats) -> Floats:
        """(n,) or (n, k)."""
        inverse, x, y = self._factors[key]
        columns = []
        for column in right.reshape(len(right), -1).T:
            x.FV().NumPy()[:] = column
            y.data = inverse * x
            columns.append(np.array(y.FV().NumPy()))
        return np.stack(columns, axis=1).reshape(right.shape)

    def drop(self, key: int) -> None:
        """Forget a factor."""
        self._factors.pop(key, None)


def _patch(occ: Any, patch: Patch) -> Any:
    kind, centre, normal, along, first, second = patch
    place, up = occ.Pnt(*centre), occ.Vec(*normal)
    if kind == "rectangle":
        axes = occ.Axes(place, n=up, h=occ.Vec(*along))
        return occ.WorkPlane(axes).RectangleC(first, second).Face()
    disc = occ.WorkPlane(occ.Axes(place, n=up)).Circle(second).Face()
    if first <= 0:
        return disc
    return disc - occ.WorkPlane(occ.Axes(place, n=up)).Circle(first).Face()


def _along(edge: Any) -> list[tuple[float, float, float]]:
    start, end = edge.parameter_interval
    points = [edge.Value(t) for t in np.linspace(start, end, 7)]
    return [(p[0], p[1], p[2]) for p in points]


def serve(requests: BinaryIO, answers: BinaryIO) -> None:
    """Answer until the other side closes."""
    session = Session()
    while True:
        try:
            name, arguments = pickle.load(requests)
        except EOFError:
            return
        try:
            call: Callable[..., Any] = getattr(session, name)
            answer = (True, call(*arguments))
        except Exception as failed:  # whatever the library raises goes to the one who asked
            answer = (False, f"{type(failed).__name__}: {failed}".strip())
        pickle.dump(answer, answers, protocol=pickle.HIGHEST_PROTOCOL)
        answers.flush()


if __name__ == "__main__":
    private = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # the libraries talk on standard output
    serve(sys.stdin.buffer, private)
