"""Single pieces on the printer: bars of equal stiffness, the arm of a build in one part and two."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.geometry.arm import make_arm
from refledge.geometry.kernel import tessellate
from refledge.geometry.poses import print_pose
from refledge.inputs.cards import material_cards
from refledge.inputs.fasteners import hardware
from refledge.model.wishes import FrameWish
from refledge.planning.pieces import BAR, TYPICAL, arm_figures, bars_as_stiff, block
from refledge.printing.posed import time_posed
from tests.geometry.frames import arm, frame, tube_arm
from tests.geometry.splits import split_frame

CARDS = material_cards()
PETG = CARDS["PETG"]


def thickness(what: str) -> float:
    return float(what.rsplit("×", maxsplit=1)[-1].removesuffix("mm")) / 1e3


def test_a_block_is_closed_and_of_its_volume() -> None:
    mesh = block((0.08, 0.01, 0.004))
    a, b, c = np.moveaxis(mesh.vertices[mesh.triangles], 1, 0)
    assert np.einsum("ij,ij->", a, np.cross(b, c)) / 6 == pytest.approx(3.2e-6)
    there = mesh.triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2).tolist()
    assert sorted(there) == sorted([b, a] for a, b in there)  # each edge once each way
    assert len({tuple(edge) for edge in there}) == len(there)


def test_bars_of_all_plastics_bend_alike_and_the_softer_prints_longer() -> None:
    """E h^3 is one figure; at half the modulus 26 % more height, 26 layers for 20."""
    hard, soft = bars_as_stiff([(PETG, 4e9), (PETG, 2e9)])
    assert thickness(hard.what) == pytest.approx(BAR[2])
    assert thickness(soft.what) == pytest.approx(BAR[2] * 2 ** (1 / 3), abs=5e-5)
    assert soft.seconds / hard.seconds == pytest.approx(26 / 20, rel=0.01)
    assert 0.2 < hard.spread < 0.8


def test_a_bar_costs_what_its_plastic_costs() -> None:
    """Printed solid: volume times density times the middle of the range, lines within 5 %."""
    (bar,) = bars_as_stiff([(PETG, 2e9)])
    price = (PETG.price_low.value + PETG.price_high.value) / 2
    volume = BAR[0] * BAR[1] * BAR[2]
    assert bar.price == pytest.approx(volume * PETG.rho.value * price, rel=0.05)


def test_an_arm_is_timed_on_its_own_solid_in_its_pose() -> None:
    built, wish = frame(one_arm=arm("box")), FrameWish()
    found = arm_figures(built, hardware(), wish, TYPICAL, PETG)
    assert found is not None
    mesh = tessellate(make_arm(built.arm, built, hardware()))
    alone = time_posed(mesh, print_pose("arm", built)[0], wish, TYPICAL)
    assert found.seconds == pytest.approx(alone.seconds)
    price = (PETG.price_low.value + PETG.price_high.value) / 2
    assert found.price == pytest.approx(alone.plastic * PETG.rho.value * price)
    dense = arm_figures(built, hardware(), replace(wish, infill=1.0), TYPICAL, PETG)
    assert dense is not None
    assert dense.seconds > found.seconds


def test_a_bought_tube_takes_no_printing() -> None:
    assert arm_figures(frame(one_arm=tube_arm()), hardware(), FrameWish(), TYPICAL, PETG) is None


def test_an_arm_in_two_parts_takes_both() -> None:
    """Each part alone takes less; together more than the whole, for the lap is printed twice."""
    args = (hardware(), FrameWish(), TYPICAL, PETG)
    split = split_frame()
    whole = replace(split, arm=replace(split.arm, split=0.0, lap=0.0, lap_screw=""))
    two, one = arm_figures(split, *args), arm_figures(whole, *args)
    assert two is not None
    assert one is not None
    assert one.seconds < two.seconds < 1.6 * one.seconds
