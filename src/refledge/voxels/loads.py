"""Nodal forces kept as a list: few nodes of a large grid are loaded."""

from dataclasses import dataclass

import numpy as np

from refledge.typed import Bools, Floats
from refledge.voxels.backend import Array, Backend


@dataclass(frozen=True, eq=False)
class Loads:
    """Forces of ``shape`` (cases, 3, nodes) that are not zero, case by case; held ones left out."""

    backend: Backend
    shape: tuple[int, ...]
    places: tuple[Array, ...]
    """Of each case: where in its flattened field."""
    values: tuple[Array, ...]
    """fp64, N."""

    @staticmethod
    def of(backend: Backend, fields: Array, held: Bools) -> "Loads":
        """Of dense ``fields`` (cases, 3, nodes); loads on ``held`` motions (3, nodes) are lost."""
        places, values = [], []
        for field in fields:
            rows = backend.get(field).ravel()
            found = np.flatnonzero(rows)
            found = found[~held.ravel()[found]]
            places.append(backend.put(found, np.int64))
            values.append(backend.put(rows[found], np.float64))
        return Loads(backend, (len(places), 3, *held.shape[1:]), tuple(places), tuple(values))

    def case(self, k: int) -> "Loads":
        """Case ``k`` alone."""
        return Loads(self.backend, (1, *self.shape[1:]), (self.places[k],), (self.values[k],))

    @property
    def squares(self) -> Array:
        """(cases,): inner product of each case with itself."""
        return self.backend.put([float(self.backend.get(v @ v)) for v in self.values], np.float64)

    def add(self, r: Array) -> None:
        """r += the loads."""
        for row, places, values in zip(
            r.reshape(len(r), -1), self.places, self.values, strict=True
        ):
            row[places] += values.astype(r.dtype)

    def work(self, u: Array) -> Floats:
        """(cases,), J: inner product of each case with motions ``u`` (cases, 3, nodes)."""
        rows = u.reshape(len(u), -1)
        return np.array([
            float(self.backend.get((row[places] * values).sum()))
            for row, places, values in zip(rows, self.places, self.values, strict=True)
        ])  # fmt: skip


@dataclass(frozen=True, eq=False)
class Field:
    """Forces at many nodes, kept whole: those of an adjoint solve."""

    backend: Backend
    forces: Array
    """(cases, 3, nodes), N; none on held motions."""

    @staticmethod
    def of(backend: Backend, forces: Array, held: Bools) -> "Field":
        """Of fields of the backend; forces on ``held`` motions (3, nodes) are lost."""
        return Field(backend, forces * backend.put(~held, bool))

    @property
    def shape(self) -> tuple[int, ...]:
        """(cases, 3, nodes)."""
        return tuple(self.forces.shape)

    @property
    def squares(self) -> Array:
        """(cases,): inner product of each case with itself."""
        return self.backend.dots(self.forces, self.forces)

    def add(self, r: Array) -> None:
        """r += the forces."""
        r += self.forces.astype(r.dtype, copy=False)
