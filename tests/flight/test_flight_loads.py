"""The load cases."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from refledge.flight import lost as lost_rotors
from refledge.flight.air import GRAVITY, site_density
from refledge.flight.loads import load_cases
from refledge.flight.lost import one_rotor_lost, trim_without
from refledge.flight.operating import full_thrust, hover
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.layout import Layout
from refledge.model.loads import LoadCase

MASS = 2.6
LEGS = 4
LANDING = 240.0
Maker = Callable[[str], Layout]
KINDS = ("four-x", "six-x", "six-plus", "eight-x", "three-pairs", "four-pairs")


@pytest.fixture
def cases(brief: Brief, rotor: RotorModel, layout_of: Maker) -> Callable[..., dict[str, LoadCase]]:
    def make(kind: str, gust: float = 5.0, slung: bool = True) -> dict[str, LoadCase]:
        layout = layout_of(kind)
        asked = replace(
            brief,
            mission=replace(brief.mission, gust=gust),
            payload=replace(brief.payload, slung=slung),
        )
        at, full = hover(asked, layout, rotor, MASS), full_thrust(asked, layout, rotor)
        found = load_cases(asked, layout, rotor, at, full, MASS, LEGS, LANDING)
        return {case.key: case for case in found}

    return make


def test_keys_kinds_and_shapes(cases: Callable[..., dict[str, LoadCase]]) -> None:
    found = cases("six-x")
    flight = ("hover", "full-thrust", "yaw", "gust", "rotor-lost")
    landing = ("landing-all", "landing-one", "side-load", "drift")
    assert tuple(found) == (*flight, *landing, "carried", "caught")
    assert {found[key].kind for key in flight} == {"flight"}
    assert {found[key].kind for key in landing} == {"landing"}
    assert found["carried"].kind == found["caught"].kind == "handling"
    assert [key for key, case in found.items() if case.sustained] == ["hover"]
    for case in found.values():
        assert case.title
        assert case.reason
        assert case.rotor_thrust.shape == case.rotor_torque.shape == (6,)
        assert case.foot_force.shape == (LEGS, 3)


@pytest.mark.parametrize("kind", KINDS)
def test_hover_case_is_the_hover_point(
    brief: Brief,
    rotor: RotorModel,
    layout_of: Maker,
    cases: Callable[..., dict[str, LoadCase]],
    kind: str,
) -> None:
    layout = layout_of(kind)
    at = hover(brief, layout, rotor, MASS)
    case = cases(kind)["hover"]
    np.testing.assert_array_equal(case.rotor_thrust, [state.thrust for state in at.rotors])
    torque = np.array([state.torque for state in at.rotors])
    np.testing.assert_array_equal(case.rotor_torque, -np.array(layout.spin) * torque)
    assert np.sum(case.rotor_torque) == pytest.approx(0, abs=1e-7)
    assert case.slung_force == pytest.approx(0.6 * GRAVITY, rel=1e-9)


def test_slung_payload_pulls_with_the_load_factor(
    cases: Callable[..., dict[str, LoadCase]],
) -> None:
    for key, case in cases("six-x").items():
        if key == "caught":  # by what thrust gives beyond weight
            continue
        factor = np.sum(case.rotor_thrust) / (MASS * GRAVITY)
        expected = 1.0 if key == "carried" else factor
        assert case.slung_force == pytest.approx(0.6 * GRAVITY * expected, rel=1e-9), key
    assert all(case.slung_force == 0 for case in cases("six-x", slung=False).values())


def test_full_thrust_case_is_the_full_point(
    brief: Brief, rotor: RotorModel, layout_of: Maker, cases: Callable[..., dict[str, LoadCase]]
) -> None:
    full = full_thrust(brief, layout_of("six-x"), rotor)
    case = cases("six-x")["full-thrust"]
    assert np.sum(case.rotor_thrust) == pytest.approx(full.total_thrust, rel=1e-12)
    assert full.limited_by in case.reason


@pytest.mark.parametrize("kind", ["four-x", "six-x", "eight-x"])
def test_full_yaw_keeps_lift_and_level_and_turns(
    layout_of: Maker, cases: Callable[..., dict[str, LoadCase]], kind: str
) -> None:
    layout = layout_of(kind)
    found = cases(kind)
    total, roll, pitch, _ = layout.allocation @ found["yaw"].rotor_thrust
    assert total == pytest.approx(MASS * GRAVITY, rel=1e-9)
    assert (roll, pitch) == pytest.approx((0, 0), abs=1e-9)
    # Counter-clockwise rotors work: the frame is turned clockwise, hard.
    hover_torque = np.sum(np.abs(found["hover"].rotor_torque))
    assert np.sum(found["yaw"].rotor_torque) < -0.5 * hover_torque
    ready = found["full-thrust"].rotor_thrust * (1 + 1e-9)
    assert np.all(found["yaw"].rotor_thrust <= ready)


def test_gust_adds_thrust_in_proportion(
    brief: Brief, rotor: RotorModel, layout_of: Maker, cases: Callable[..., dict[str, LoadCase]]
) -> None:
    calm, breeze, gale = (cases("six-x", gust=w)["gust"].rotor_thrust for w in (0.0, 4.0, 8.0))
    np.testing.assert_allclose(gale - calm, 2 * (breeze - calm), rtol=1e-9)
    np.testing.assert_allclose(calm, MASS * GRAVITY / 6, rtol=1e-9)
    speed = hover(brief, layout_of("six-x"), rotor, MASS).rotors[0].speed
    # Blade element by hand: dT = rho a (chord integral of c r dr) Omega w / 2 per blade,
    # integral = sigma_blade pi R^3 / 2.
    radius = rotor.diameter / 2
    integral = 0.054 * np.pi * radius**3 / 2
    by_hand = 2 * site_density(brief.mission) * 5.7 * integral * speed * 4.0 / 2
    np.testing.assert_allclose(breeze - calm, by_hand, rtol=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_a_trim_does_not_hang_on_what_was_solved_before(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str
) -> None:
    """Trims are remembered without weight and size: a heavier aircraft's is the same in shares."""
    layout = layout_of(kind)
    light, heavy = (hover(brief, layout, rotor, mass) for mass in (MASS, 1.2 * MASS))
    lost_rotors._trim.cache_clear()
    first, second = trim_without(layout, light, 1), trim_without(layout, heavy, 1)
    lost_rotors._trim.cache_clear()
    again = trim_without(layout, heavy, 1)
    np.testing.assert_array_equal(again.thrust, second.thrust)
    assert (again.factor, again.possible) == (second.factor, second.possible)
    if not layout.paired:  # a pair's split moves a little with speed
        np.testing.assert_allclose(second.thrust, 1.2 * first.thrust, rtol=1e-9)


def test_rotor_lost_case_has_a_dead_rotor(
    brief: Brief, rotor: RotorModel, layout_of: Maker, cases: Callable[..., dict[str, LoadCase]]
) -> None:
    for kind, says in (
        ("four-x", "cannot hold it level"),
        ("six-x", "heading given up"),
        ("three-pairs", "heading kept"),
    ):
        layout = layout_of(kind)
        trim = one_rotor_lost(layout, hover(brief, layout, rotor, MASS))
        case = cases(kind)["rotor-lost"]
        np.testing.assert_array_equal(case.rotor_thrust, trim.thrust)
        assert case.rotor_torque[trim.lost] == 0
        assert np.count_nonzero(case.rotor_torque) == layout.n_rotors - 1
        assert says in case.reason
        assert f"rotor {trim.lost + 1} lost" == case.title


def test_rotor_lost_says_where_full_thrust_does_not_reach(
    brief: Brief, rotor: RotorModel, layout_of: Maker
) -> None:
    layout = layout_of("six-x")
    weak = replace(brief, motor=replace(brief.motor, max_current=8.0))
    at, full = hover(weak, layout, rotor, MASS), full_thrust(weak, layout, rotor)
    found = load_cases(weak, layout, rotor, at, full, MASS, LEGS, LANDING)
    reasons = {case.key: case.reason for case in found}
    assert "more than full thrust gives" in reasons["rotor-lost"]


def test_a_line_is_caught_only_where_there_is_one_that_thrust_can_pull(
    brief: Brief, rotor: RotorModel, layout_of: Maker
) -> None:
    layout = layout_of("six-x")
    fixed = replace(brief, payload=replace(brief.payload, slung=False))
    for one, mass in ((brief, MASS), (fixed, MASS), (brief, 20.0)):
        at, full = hover(brief, layout, rotor, MASS), full_thrust(brief, layout, rotor)
        found = {c.key: c for c in load_cases(one, layout, rotor, at, full, mass, LEGS, LANDING)}
        assert ("caught" in found) == (one is brief and mass == MASS)
        if "caught" in found:
            rest = (MASS - brief.payload.mass) * GRAVITY
            assert found["caught"].slung_force == pytest.approx(full.total_thrust - rest)
            assert not np.any(found["caught"].foot_force)


def test_landings(cases: Callable[..., dict[str, LoadCase]]) -> None:
    found = cases("six-x")
    keys = ("landing-all", "landing-one", "side-load", "drift")
    every, single, side, drift = (found[k].foot_force for k in keys)
    np.testing.assert_allclose(every, [[0, 0, LANDING / LEGS]] * LEGS)
    np.testing.assert_allclose(single[0], [0, 0, LANDING / 2])
    assert not np.any(single[1:])
    np.testing.assert_allclose(side[:, 2], every[:, 2])
    np.testing.assert_allclose(side[:, 1], 0.5 * every[:, 2])
    np.testing.assert_allclose(drift[:, 2], every[:, 2])
    np.testing.assert_allclose(drift[:, 0], -0.5 * every[:, 2])
    assert not np.any(drift[:, 1])
    for key in keys:
        assert not np.any(found[key].rotor_thrust)
        assert "1.5 m/s" in found[key].reason
    assert found["carried"].held_arm == 0
    assert found["hover"].held_arm == -1
