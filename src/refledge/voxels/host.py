"""What backends on NumPy arrays share: motions in fp64, so that they have no digits below."""

from types import ModuleType
from typing import Any

import numpy as np

from refledge.errors import AnalysisError
from refledge.voxels.backend import Array
from refledge.voxels.grid import Shape


class HostArrays:
    """The part of the port that is the same wherever fields lie in the machine's own memory."""

    xp: ModuleType = np

    def put(self, values: Any, dtype: Any) -> Array:
        return np.ascontiguousarray(values, dtype)

    def get(self, values: Array) -> Array:
        return np.asarray(values)

    def noise(self, shape: tuple[int, ...]) -> Array:
        return np.random.default_rng(0).standard_normal(shape).astype(np.float32)

    def motion(self, shape: Shape) -> Any:  # noqa: ARG002 - a device chooses by the grid's size
        return np.float64

    def search(self, dtype: Any) -> Any:
        return dtype

    def low(self, x: Array) -> Array | None:  # noqa: ARG002 - a device keeps them by field
        return None

    def rest(self, x: Array, low: Array, out: Array) -> None:  # noqa: ARG002 - as above
        """Never asked for, as ``low`` gives none."""
        raise AnalysisError("motions in fp64 keep no lower digits")
