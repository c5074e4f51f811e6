"""Walls thicker than their skins stretch as two skins round a core at the infill's modulus."""

import numpy as np
import pytest

from refledge.airframe.arm_section import stiff_walls
from refledge.airframe.fillness import Fill
from refledge.analysis.arm_model import ArmShape

FILL = Fill(side=1.8e-3, face=1.2e-3, core=0.16)
THICK = ArmShape(
    length=0.3, width=0.026, depth_root=0.03, depth_tip=0.03, root_length=0.035,
    tenon_length=0.06, side=4.05e-3, top=3.2e-3, bottom=4.8e-3, pitch=0.04, web=3.6e-3, bore=6e-3,
)  # fmt: skip


@pytest.mark.parametrize("family", ["box", "channel", "truss"])
def test_a_thick_top_is_two_skins_and_a_core(family):
    """Axial stiffness over E and width: 2.4 mm of skin and 0.16 of the 0.8 mm between."""
    found = stiff_walls(family, THICK, FILL)
    np.testing.assert_allclose(found.top, 2.4e-3 + 0.16 * 0.8e-3, rtol=1e-12)


def test_walls_of_skin_only_stay_as_they_are():
    thin = ArmShape(**{**THICK.__dict__, "side": 3.6e-3, "top": 2.4e-3, "bottom": 1.6e-3})
    for family in ("box", "channel", "truss"):
        assert stiff_walls(family, thin, FILL).__dict__ == thin.__dict__


def test_a_chord_has_skins_on_four_sides():
    """Area over E: 4.05 by 4.8 mm round a core of 0.45 by 2.4 mm; its width stays."""
    found = stiff_walls("truss", THICK, FILL)
    area = 4.05e-3 * 4.8e-3 - (1 - 0.16) * 0.45e-3 * 2.4e-3
    np.testing.assert_allclose(found.side * found.bottom, area, rtol=1e-12)
    assert found.side == THICK.side


def test_side_walls_of_a_box_lose_their_core():
    found = stiff_walls("box", THICK, FILL)
    np.testing.assert_allclose(found.side, 3.6e-3 + 0.16 * 0.45e-3, rtol=1e-12)


def test_a_bought_tube_has_no_infill():
    assert stiff_walls("tube", THICK, FILL) is THICK
