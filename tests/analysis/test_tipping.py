"""Lateral-torsional buckling of arms against the cantilevers of Timoshenko and Gere, and solids."""

from dataclasses import fields, replace

import numpy as np
import pytest

from refledge.analysis import sections
from refledge.analysis import tipping as module
from refledge.analysis.arm_model import ArmClamp, ArmMaterial, ArmShape
from refledge.analysis.tipping import TippingLoad, tipping, tipping_uses

PLASTIC = ArmMaterial(E=2e9, G=0.75e9, rho=1100.0, nu=1 / 3)
ABLE = ArmClamp(x=0.0, stiffness_x=1e9, stiffness_z=1e9)
BLOCK = 1e-4
"""m; root and tenon so short that all is span."""
BOX = ArmShape(
    length=4.0, width=0.012, depth_root=0.12, depth_tip=0.12, root_length=BLOCK,
    tenon_length=2 * BLOCK, side=1e-3, top=1e-3, bottom=1e-3, bore=0.0,
)  # fmt: skip
TRUSS = ArmShape(
    length=0.304, width=0.02385, depth_root=0.03, depth_tip=0.0225, root_length=0.049,
    tenon_length=0.064, side=4.05e-3, top=2.4e-3, bottom=4.8e-3, pitch=0.0382, web=2.7e-3,
    bore=6e-3,
)  # fmt: skip
CARD = ArmMaterial(E=1.664e9, G=0.4828e9, rho=1083.0, nu=0.35, E_z=1.464e9)
HELD = ArmClamp(x=0.0295, stiffness_x=400.0, stiffness_z=1000.0)


def least(shape, load, material=PLASTIC, clamp=ABLE, family="box"):
    """The load that tips, N."""
    return load.force / tipping(family, shape, material, clamp, load).use


def handbook(shape, above):
    """N: 4.013 sqrt(EI GJ) / L^2 (1 - a/L sqrt(EI / GJ)), the load ``above`` the middle by a.

    Timoshenko and Gere, Theory of Elastic Stability, lateral buckling of cantilevers."""
    section = sections.box(
        shape.width, shape.depth_root, shape.side, shape.top, shape.bottom, PLASTIC.layered()
    )
    lateral, twist = PLASTIC.E * float(section.Iz), PLASTIC.G * float(section.J)
    length = shape.length - 2 * BLOCK
    lever = 1 - above / length * np.sqrt(lateral / twist)
    return 4.013 * np.sqrt(lateral * twist) / length**2 * lever


@pytest.fixture
def many_terms(monkeypatch):
    """So slender a box wants more polynomials than arms do: its ends hold it over its depth."""
    monkeypatch.setattr(module, "_TERMS", 15)


@pytest.mark.usefixtures("many_terms")
@pytest.mark.parametrize("above", [0.0, 0.1, -0.1])
def test_a_long_box_tips_as_a_handbook_cantilever_does(above):
    """4 m long: what its ends' hold on warping adds, 0.7 %, is small."""
    load = TippingLoad(force=1.0, above=above - BOX.depth_root / 2)
    np.testing.assert_allclose(least(BOX, load), handbook(BOX, above), rtol=0.015)


@pytest.mark.usefixtures("many_terms")
def test_its_own_weight_tips_it_as_in_the_handbook():
    """12.85 sqrt(EI GJ) / L^3 evenly over the length, at the middle of its depth (same source)."""
    length = BOX.length
    one = handbook(BOX, 0.0) / 4.013 * length**2
    load = TippingLoad(force=1e-9, above=-BOX.depth_root / 2, own=1.0)
    use = tipping("box", BOX, PLASTIC, ABLE, load).use
    np.testing.assert_allclose(1 / use, 12.85 * one / length**3, rtol=0.015)


@pytest.mark.parametrize(
    ("changed", "above", "solid"),
    [
        ({}, 0.01766, 58.6),
        ({}, -0.01125, 86.4),
        ({"length": 0.384, "pitch": 0.03872}, 0.01766, 32.7),
        ({"length": 0.384, "pitch": 0.03872}, -0.01125, 50.2),
        ({"side": 2.7e-3}, 0.01766, 32.6),
        ({"side": 2.7e-3}, -0.01125, 33.4),
        ({"depth_root": 0.038, "depth_tip": 0.019}, 0.01766, 66.9),
        ({"pitch": 0.0239}, 0.01766, 62.5),
        ({"pitch": 0.0239}, -0.01125, 97.0),
    ],
)
def test_trusses_tip_as_their_solids_do(changed, above, solid):
    """Solids by this project's engine (4.5 mm elements, 0.2 million unknowns, ASA at 53 C), made by
    scripts/beams_and_solids.py's parts; loads down on the tip at the motor's height and below."""
    found = least(
        replace(TRUSS, **changed), TippingLoad(force=1.0, above=above), CARD, HELD, "truss"
    )
    assert 0.85 * solid < found < 1.15 * solid


def test_what_stands_above_the_arm_helps_to_tip_it():
    high, low = (
        least(TRUSS, TippingLoad(force=1.0, above=above), CARD, HELD, "truss")
        for above in (0.02, 0.0)
    )
    assert high < 0.85 * low


@pytest.mark.parametrize("family", ["box", "channel", "truss"])
def test_a_soft_clamp_lets_it_tip_sooner(family):
    load = TippingLoad(force=1.0, above=0.02)
    firm = least(TRUSS, load, CARD, HELD, family)
    soft = replace(HELD, stiffness_x=2.0)
    assert least(TRUSS, load, CARD, soft, family) < 0.95 * firm


def test_many_arms_are_tried_in_given_shapes():
    """Exact in the arm's own shape; in another's never too dangerous, near it to second order."""
    load = TippingLoad(force=50.0, above=0.0177, own=10.0)
    sides = np.array([3.8e-3, 4.05e-3, 4.3e-3, 2.7e-3])
    exact = [tipping("truss", replace(TRUSS, side=s), CARD, HELD, load) for s in sides]
    many = ArmShape(
        **{f.name: getattr(TRUSS, f.name) for f in fields(ArmShape) if f.name != "side"},
        side=sides,
    )
    own = np.stack([exact[1].shape], axis=1)
    uses = tipping_uses("truss", many, CARD, HELD, load, own)
    true = np.array([each.use for each in exact])
    np.testing.assert_allclose(uses[1], true[1], rtol=5e-3)  # nine stations for sixteen
    np.testing.assert_allclose(uses[:3], true[:3], rtol=0.02)
    assert uses[3] < 1.002 * true[3]
    both = tipping_uses("truss", many, CARD, HELD, load, np.stack([e.shape for e in exact], 1))
    np.testing.assert_allclose(both, true, rtol=5e-3)


def test_a_load_that_lifts_a_truss_hardly_tips_it():
    """Its plate is pressed, which no side sway frees; as a solid it bears twice as much."""
    up = TippingLoad(force=-1.0, above=0.01766)
    down = TippingLoad(force=1.0, above=0.01766)
    uses = [tipping("truss", TRUSS, CARD, HELD, load).use for load in (up, down)]
    assert uses[0] < 0.5 * uses[1]
