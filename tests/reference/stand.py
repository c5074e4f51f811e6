"""The thrust-stand runs of P. Cao and J. Strawson (2018, MIT; data/SOURCES.txt) as rows to fit."""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from refledge.flight.air import GRAVITY
from refledge.flight.rotor import TURN
from refledge.flight.stand_fit import Known, StandRows, without_copies
from refledge.typed import Floats

FILE = Path(__file__).parent / "data" / "thrust-stand.csv"
FULL_PULSE = 2000.0  # microseconds
REFERENCE = 12_000 * TURN / 60


@dataclass(frozen=True, eq=False)
class Stand:
    motors: tuple[str, ...]
    propellers: tuple[str, ...]
    rows: StandRows
    volts: Floats
    copies: int


@cache
def stand() -> Stand:
    """Rows that turn and pull, without the copied end points."""
    with FILE.open(encoding="utf-8") as file:
        read = list(csv.DictReader(file))
    motors = tuple(sorted({row["motor"] for row in read}))
    propellers = tuple(sorted({row["prop"] for row in read}))

    def column(name: str) -> Floats:
        return np.array([float(row[name]) for row in read])

    rows = StandRows(
        motor=np.array([motors.index(row["motor"]) for row in read]),
        propeller=np.array([propellers.index(row["prop"]) for row in read]),
        speed=column("rpm_stand") * TURN / 60,
        thrust=column("thrust_gf") * GRAVITY * 1e-3,
        power=column("W"),
        voltage=column("V"),
        full=column("esc_us") == FULL_PULSE,
    )
    fresh = without_copies(rows)
    use = fresh & (rows.speed > 0) & (rows.thrust > 0)
    return Stand(motors, propellers, rows.where(use), column("nominal_V")[use], int(np.sum(~fresh)))


def known() -> Known:
    """Kv by the motors' names; resistance and idle current from memory, typical of this size."""
    Kv = [float(name.split()[-1].removesuffix("kv")) * TURN / 60 for name in stand().motors]
    return Known(
        Kv=np.array(Kv),
        resistance=np.full(6, 0.12),
        idle=np.full(6, 1.0),
        diameter=np.full(8, 5 * 0.0254),
        rho=1.2,
        reference=REFERENCE,
    )
