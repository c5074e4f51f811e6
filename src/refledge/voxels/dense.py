"""The coarsest grid's inverse, on the host for every backend."""

from contextlib import AbstractContextManager, nullcontext
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from typing import Any

import numpy as np
from scipy import linalg

from refledge.typed import Floats
from refledge.voxels.backend import Array

DEAD = 1e-13  # stiffness, relative to the greatest, below which a motion counts as having none
_IDLE = 1e-10  # the same of a combined motion; a coarsest grid's softest bending is near 1e-6


def inverse_of(matrix: Floats) -> Array:
    """fp32 inverse of a symmetric matrix, zero for motions that it gives no stiffness to.

    Where motion is held between coarse nodes two of them may move the same fine one, so that some
    coarse motions are no motion at all: an inverse of rounding there would drown the rest.
    """
    diagonal = np.diag(matrix)
    live = np.flatnonzero(diagonal > DEAD * diagonal.max())
    scale = 1 / np.sqrt(diagonal[live])
    part = scale[:, None] * matrix[np.ix_(live, live)] * scale
    with _one_thread():
        values, vectors = linalg.eigh((part + part.T) / 2)
    stiff = values > _IDLE * values[-1]
    vectors = scale[:, None] * vectors[:, stiff]
    found = np.zeros(matrix.shape, np.float32)
    found[np.ix_(live, live)] = vectors / values[stiff] @ vectors.T
    return found


def _one_thread() -> AbstractContextManager[Any]:
    """So small a matrix gains nothing by more, and waiting threads spin: on a loaded machine they
    took three quarters of a design iteration. Left out where threadpoolctl is not installed."""
    pools = _pools()
    return nullcontext() if pools is None else pools.limit(limits=1)


@cache
def _pools() -> Any:
    if find_spec("threadpoolctl") is None:
        return None
    return import_module("threadpoolctl").ThreadpoolController().select(user_api="blas")
