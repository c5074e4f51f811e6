"""Cautions appear where a rating comes near, and only there."""

from collections.abc import Callable
from dataclasses import replace

from refledge.flight.cautions import cautions
from refledge.flight.operating import full_thrust, hover
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.layout import Layout


def test_an_easy_hover_gives_none(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    assert cautions(brief, rotor, hover(brief, layout_of("six-x"), rotor, 2.5)) == ()


def test_full_thrust_warms_the_windings(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    found = cautions(brief, rotor, full_thrust(brief, layout_of("six-x"), rotor))
    assert any("windings" in text or "without end" in text for text in found)
    assert any("each motor carries" in text for text in found)


def test_high_throttle_and_a_small_pack_are_said(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    weak = replace(
        brief,
        motor=replace(brief.motor, Kv=0.7 * brief.motor.Kv),
        battery=replace(brief.battery, cells=3, max_current=45.0),
    )
    found = cautions(weak, rotor, hover(weak, layout_of("six-x"), rotor, 3.9))
    assert any("throttle" in text for text in found)
    assert any("the battery carries" in text for text in found)


def test_tip_speed_limits_full_thrust_where_nothing_else_does(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    """A motor three times as fast on a strong pack: tips end at Mach 0.6, and it is said."""
    strong = replace(
        brief,
        motor=replace(brief.motor, Kv=3 * brief.motor.Kv, resistance=0.005, max_current=300.0),
        speed_controller=replace(brief.speed_controller, max_current=300.0, resistance=1e-3),
        battery=replace(brief.battery, max_current=1000.0, resistance=1e-3),
    )
    point = full_thrust(strong, layout_of("six-x"), rotor)
    assert point.limited_by == "tip speed"
    assert any("Mach 0.60" in text for text in cautions(strong, rotor, point))
