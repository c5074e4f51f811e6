"""A small grid of invented items about one measured propeller."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from refledge.sweeps.grid import Common, Grid, Motors, Packs, Propellers

KINDS = ("four-x", "six-x", "eight-x", "three-pairs", "four-pairs")


def make_grid(motors: int = 3, kinds: tuple[str, ...] = KINDS) -> Grid:
    CT = np.array([0.105, 0.115, 0.11])
    cells = np.array([4.0, 4.0, 6.0, 3.0])
    capacity = np.array([5.0, 10.0, 8.0, 4.0]) * 3600
    Kv = np.linspace(45.0, 95.0, motors)
    return Grid(
        kinds=kinds,
        propellers=Propellers(
            diameter=np.array([0.254, 0.2794, 0.33]),
            mass=np.array([0.011, 0.013, 0.019]),
            CT=CT,
            CP=math.sqrt(2 / math.pi) * CT**1.5 / 0.7,
            CT_power=np.full(3, 0.2),
            CP_power=np.full(3, 0.18),
            reference=np.array([450.0, 420.0, 360.0]),
            blades=np.full(3, 2.0),
        ),
        packs=Packs(
            cells=cells,
            capacity=capacity,
            resistance=np.array([0.016, 0.009, 0.014, 0.02]),
            mass=np.array([0.48, 0.9, 1.1, 0.3]),
            max_current=np.array([120.0, 200.0, 90.0, 25.0]),
            usable=np.full(4, 0.8),
            lithium_ion=np.array([0.0, 0.0, 0.0, 1.0]),
        ),
        motors=Motors(
            Kv=Kv,
            resistance=5.0 / Kv,
            no_load_current=np.linspace(0.4, 0.9, motors),
            max_current=np.linspace(18.0, 30.0, motors),
            mass=np.linspace(0.09, 0.06, motors),
        ),
        common=Common(
            rho=1.16,
            carried=0.8,
            controller_mass=0.016,
            controller_resistance=4e-3,
            controller_current=28.0,
            tip_gap=0.02,
            body_gap=0.015,
            most_tip_speed=190.0,
        ),
        reach=np.full((len(kinds), 4), 0.09),
    )


@pytest.fixture(scope="session")
def grid() -> Grid:
    return make_grid()


@pytest.fixture(scope="session")
def grid_of() -> Callable[..., Grid]:
    return make_grid
