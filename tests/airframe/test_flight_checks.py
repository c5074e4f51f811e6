"""Words of the flight checks."""

import numpy as np
import pytest

from refledge.airframe.flight_checks import balance_note


@pytest.mark.parametrize(
    ("move", "told"),
    [
        ((12e-3, 0.0), "to balance, move the battery 12 mm forward"),
        ((-1.4e-3, 2.2e-3), "to balance, move the battery 1 mm back and 2 mm to the left"),
        ((0.0, -3e-3), "to balance, move the battery 3 mm to the right"),
        ((2e-4, -4e-4), "it balances as it is"),
    ],
)
def test_a_move_is_told_by_its_ways(move: tuple[float, float], told: str) -> None:
    assert balance_note(np.array(move)) == told
