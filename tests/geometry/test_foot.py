"""Feet over the legs' ends: a pocket that the leg fits, a sole on the ground."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.foot import foot_of, make_foot
from refledge.geometry.leg import make_leg
from refledge.geometry.parts import part_quantities
from refledge.geometry.placing import place_all
from refledge.model.gear import FootDesign
from refledge.model.parts import FrameDesign
from tests.geometry.briefs import brief
from tests.geometry.frames import HARDWARE, footed_frame, frame, layout


def shod(**leg: float) -> FrameDesign:
    one = footed_frame()
    return replace(one, leg=replace(one.leg, **leg)) if leg else one  # type: ignore[arg-type]


@pytest.mark.parametrize("leg", [{}, {"splay": 0.0}, {"splay": 0.06, "depth_foot": 0.0045}])
def test_the_leg_s_end_fits_its_pocket_and_stands_on_the_sole(leg: dict[str, float]) -> None:
    """They share nothing; moved sideways by the gap the leg touches, by less it does not."""
    one = shod(**leg)
    foot, strut, gap = make_foot(one, HARDWARE), make_leg(one, HARDWARE), one.fit_gap
    assert kernel.is_valid_single(foot)
    assert kernel.volume(kernel.common(foot, strut)) < 1e-14
    for shift, touches in ((0.9 * gap, False), (1.2 * gap, True)):
        for way in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0)):
            lean = np.hypot(one.leg.splay, one.leg.height - one.leg.flange_thickness)
            along = lean / (one.leg.height - one.leg.flange_thickness) if way[0] else 1.0
            moved = kernel.move(strut, np.eye(3), along * shift * np.array([*way, 0.0]))
            assert (kernel.volume(kernel.common(foot, moved)) > 1e-14) is touches, (shift, way)
    sunk = kernel.move(strut, np.eye(3), np.array([0.0, 0.0, -1e-4]))
    assert kernel.volume(kernel.common(foot, sunk)) > 1e-10


def test_the_sole_lies_flat_under_the_leg_and_wider() -> None:
    one = shod()
    foot, design = make_foot(one, HARDWARE), foot_of(one)
    low, high = kernel.bounds(foot)
    assert low[2] == pytest.approx(-one.leg.height - design.sole)
    assert high[2] == pytest.approx(design.sleeve - one.leg.height)
    wide = one.leg.thickness + 2 * (one.fit_gap + design.wall + design.flare)
    assert high[1] - low[1] == pytest.approx(wide)


def test_one_to_a_leg_in_the_leg_s_place() -> None:
    one = shod()
    assert part_quantities(one)["foot"] == one.leg.count
    assert "foot" not in part_quantities(frame())
    put = {each.name: each for each in place_all(one, layout("six-x", one), brief())}
    for n in range(1, one.leg.count + 1):
        assert put[f"foot {n}"].translation == pytest.approx(put[f"leg {n}"].translation)
        assert put[f"foot {n}"].rotation == pytest.approx(put[f"leg {n}"].rotation)


def test_what_does_not_fit_is_refused() -> None:
    with pytest.raises(GeometryError, match="no feet"):
        make_foot(frame(), HARDWARE)
    tall = replace(
        shod(), foot=FootDesign(sleeve=0.1, wall=2e-3, sole=3e-3, flare=0.0, material="")
    )
    with pytest.raises(GeometryError, match=r"foot: a sleeve 100\.0 mm high"):
        make_foot(tall, HARDWARE)
