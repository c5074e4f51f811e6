"""Array figures of candidates against the one-by-one solution of ``flight.operating``."""

import csv
import dataclasses
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from refledge.errors import AnalysisError, FlightError
from refledge.flight.air import GRAVITY
from refledge.flight.curve import curve_through
from refledge.flight.layout import lay_out
from refledge.flight.operating import full_thrust, hover
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.items import Propeller
from refledge.model.layout import Layout
from refledge.model.wishes import LayoutWish
from refledge.sweeps.craft import COLUMNS, LIMITS
from refledge.sweeps.evaluate import evaluate
from refledge.sweeps.frame_mass import PETG_BOX, calibrate
from refledge.sweeps.grid import Grid
from refledge.sweeps.gridding import brief_grid, propellers_of
from refledge.sweeps.kinds import kind_facts
from tests.flight.conftest import *  # noqa: F403  (the invented six-rotor)
from tests.sweeps.conftest import KINDS

FRAMES = Path(__file__).parent / "data" / "frame_masses.csv"


def one_by_one(grid: Grid, number: int, brief: Brief) -> tuple[Brief, Layout, RotorModel]:
    """The same candidate as flight's own models take it."""
    kind, p, b, m = (int(each[0]) for each in grid.indices(number, number + 1))
    blades, packs, motors, common = grid.propellers, grid.packs, grid.motors, grid.common
    speed = np.geomspace(60.0, 1500.0, 60)
    ratio = speed / blades.reference[p]
    rotor = RotorModel(
        diameter=float(blades.diameter[p]),
        blades=2,
        CT_curve=curve_through(speed, blades.CT[p] * ratio ** blades.CT_power[p]),
        CP_curve=curve_through(speed, blades.CP[p] * ratio ** blades.CP_power[p]),
        method="power law",
        spread=0.03,
    )
    reach = float(grid.reach[kind, b])
    layout = lay_out(LayoutWish(), grid.kinds[kind], rotor.diameter, reach, torque_ratio=0.012)
    temperature = 101325.0 / (287.05287 * common.rho)
    brief = dataclasses.replace(
        brief,
        mission=dataclasses.replace(brief.mission, air_temperature=temperature),
        motor=dataclasses.replace(
            brief.motor,
            Kv=float(motors.Kv[m]),
            resistance=float(motors.resistance[m]),
            no_load_current=float(motors.no_load_current[m]),
            max_current=float(motors.max_current[m]),
        ),
        speed_controller=dataclasses.replace(
            brief.speed_controller,
            max_current=common.controller_current,
            resistance=common.controller_resistance,
        ),
        battery=dataclasses.replace(
            brief.battery,
            cells=int(packs.cells[b]),
            capacity=float(packs.capacity[b]),
            resistance=float(packs.resistance[b]),
            max_current=float(packs.max_current[b]),
            usable=float(packs.usable[b]),
            chemistry="Li-ion" if packs.lithium_ion[b] else "LiPo",
        ),
    )
    return brief, layout, rotor


@pytest.mark.parametrize("watts", [0.0, 40.0])
def test_every_candidate_agrees_with_the_full_models(
    grid: Grid, brief: Brief, watts: float
) -> None:
    """Flat: the battery's integral apart (0.06 %), the same. Pairs: coupled with constant
    coefficients, and at full throttle as if equal throttle were equal speed: 0.7 % in hover and
    2.2 % at full thrust were found, 1 % and 3 % are allowed (docs/flight.md)."""
    grid = dataclasses.replace(grid, common=dataclasses.replace(grid.common, other_power=watts))
    board = dataclasses.replace(brief.flight_controller, drawn_power=watts)
    brief = dataclasses.replace(brief, flight_controller=board)
    found = evaluate(grid, 0, grid.count)
    strict = evaluate(tightened(grid), 0, grid.count)
    flew = 0
    for number in range(0, grid.count, 7):
        at = {name: values[number] for name, values in found.items()}
        mass = float(at["all_up_mass"])
        own, layout, rotor = one_by_one(grid, number, brief)
        loose = layout.paired
        assert at["footprint"] == pytest.approx(layout.footprint, rel=1e-5)
        try:
            point = hover(own, layout, rotor, mass)
        except FlightError:
            assert not at["hovers"] or (loose and not strict["hovers"][number])
            continue
        flew += 1
        assert at["hover_power"] == pytest.approx(point.power, rel=0.01 if loose else 1e-5)
        assert at["endurance"] == pytest.approx(point.endurance, rel=0.01 if loose else 1e-3)
        full = full_thrust(own, layout, rotor)
        margin = full.total_thrust / (mass * GRAVITY)
        assert at["thrust_margin"] == pytest.approx(margin, rel=0.03 if loose else 1e-4)
        if not loose:
            assert LIMITS[at["full_limit"]] == full.limited_by
    assert flew > 10


def tightened(grid: Grid) -> Grid:
    packs = dataclasses.replace(grid.packs, max_current=0.97 * grid.packs.max_current)
    motors = dataclasses.replace(grid.motors, max_current=0.97 * grid.motors.max_current)
    return dataclasses.replace(grid, packs=packs, motors=motors)


def test_limits_of_full_thrust_all_occur(grid: Grid) -> None:
    limits = {LIMITS[each] for each in evaluate(grid, 0, grid.count)["full_limit"]}
    assert {"voltage", "motor", "battery"} <= limits


def test_columns_and_slices(grid: Grid) -> None:
    whole, part = evaluate(grid, 0, grid.count), evaluate(grid, 37, 81)
    assert {name: str(values.dtype) for name, values in whole.items()} == COLUMNS
    for name in COLUMNS:
        assert np.array_equal(whole[name][37:81], part[name])
    assert np.all(whole["endurance"][~whole["hovers"]] == 0)


def test_heavier_payload_costs_endurance(grid: Grid) -> None:
    heavy = dataclasses.replace(grid, common=dataclasses.replace(grid.common, carried=1.2))
    now, then = evaluate(grid, 0, grid.count), evaluate(heavy, 0, grid.count)
    both = now["hovers"] & then["hovers"]
    assert np.sum(both) > 20
    assert np.all(then["endurance"][both] < now["endurance"][both])
    assert heavy.fingerprint != grid.fingerprint


@pytest.mark.parametrize(
    ("kind", "lost"), [("four-x", 0), ("six-x", 1), ("eight-x", 2), ("three-pairs", 2)]
)
def test_what_a_lost_rotor_leaves(kind: str, lost: int) -> None:
    assert kind_facts(kind).lost == lost


def test_weak_rotors_do_not_survive_a_loss(grid: Grid) -> None:
    found = evaluate(grid, 0, grid.count)
    flags = np.array([kind_facts(kind).lost for kind in KINDS])[grid.indices(0, grid.count)[0]]
    assert np.all(found["rotor_lost"] <= flags)
    weak = found["thrust_margin"] < 1.4
    assert np.all(found["rotor_lost"][weak] == 0)
    assert np.any(found["rotor_lost"] == 2)


def test_frame_mass_is_calibrated_on_the_frames_listed() -> None:
    with FRAMES.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    arms, radius, mass = (
        np.array([float(row[name]) for row in rows])
        for name in ("arms", "motor_radius_m", "frame_kg")
    )
    found = calibrate(arms, radius, mass)
    assert found.fixed == pytest.approx(PETG_BOX.fixed, rel=2e-3)
    assert found.per_arm == pytest.approx(PETG_BOX.per_arm, rel=2e-3)
    assert found.spread == pytest.approx(0.103, abs=1e-3)
    with pytest.raises(AnalysisError):
        calibrate(arms[:2], radius[:2], mass[:2])


def test_power_law_of_a_measured_table(propeller: Propeller, rotor: RotorModel) -> None:
    law = propellers_of([(propeller, rotor)])
    speed = np.array(rotor.CT_curve.knots)
    CT = law.CT[0] * (speed / law.reference[0]) ** law.CT_power[0]
    CP = law.CP[0] * (speed / law.reference[0]) ** law.CP_power[0]
    assert pytest.approx(np.array(rotor.CT_curve.values), rel=0.02) == CT
    assert pytest.approx(np.array(rotor.CP_curve.values), rel=0.04) == CP


def test_grid_about_a_brief(brief: Brief, rotor: RotorModel) -> None:
    reach, rotors, kinds = np.array([[0.06]]), [(brief.propeller, rotor)], ("six-x",)
    grid = brief_grid(brief, rotors, [brief.battery], [brief.motor], kinds, reach)
    assert grid.count == 1
    found = evaluate(grid, 0, 1)
    each = brief.motor.mass + brief.propeller.mass + brief.speed_controller.mass
    known = 6 * each + brief.battery.mass + brief.payload.mass + brief.flight_controller.mass
    assert found["all_up_mass"][0] - found["frame_mass"][0] == pytest.approx(
        known + brief.wiring, rel=1e-6
    )
    with pytest.raises(FlightError, match="at least one"):
        brief_grid(brief, rotors, [], [brief.motor], kinds, reach)
    with pytest.raises(FlightError, match="one reach for each"):
        brief_grid(brief, rotors, [brief.battery], [brief.motor], kinds, np.zeros((2, 1)))


ALIKE = "six-x turns ccw ccw cw ccw cw cw"


def test_turn_orders_are_kinds_of_their_own(grid_of: Callable[..., Grid]) -> None:
    """Only what a lost rotor leaves differs: four of six losses keep the heading, against none."""
    found = evaluate(grid_of(kinds=("six-x", ALIKE)), 0, 72)
    for name in set(COLUMNS) - {"candidate", "heading_kept", "control"}:
        assert np.array_equal(found[name][:36], found[name][36:]), name
    strong = found["hovers"][:36] & (found["thrust_margin"][:36] > 2.5)
    assert strong.any()
    assert np.all(found["heading_kept"][:36] == 0)
    assert np.all(found["heading_kept"][36:][strong] == 4)
    assert np.all(found["control"][:36] == 1)
    assert np.all(found["control"][36:] < 1)


def test_heading_counts_only_where_the_motors_can(grid_of: Callable[..., Grid]) -> None:
    """Each loss of three pairs asks 2 times hover of a rotor; of four pairs less."""
    kinds = ("three-pairs", "four-pairs")
    found = evaluate(grid_of(motors=40, kinds=kinds), 0, 960)
    facts = [kind_facts(kind) for kind in kinds]
    assert [sum(np.isfinite(f.with_heading)) for f in facts] == [6, 8]
    assert facts[1].with_heading[0] < facts[0].with_heading[0] == pytest.approx(2.0, abs=0.4)
    three = found["heading_kept"][:480]
    assert set(three.tolist()) == {0, 6}
    margin = found["thrust_margin"][:480]
    assert margin[three == 0].max() < margin[three == 6].max()
    assert np.array_equal(three == 6, found["rotor_lost"][:480] == 2)


def test_a_body_that_cannot_be_placed_never_hovers(grid: Grid) -> None:
    reach = grid.reach.copy()
    reach[1, 2] = np.inf
    whole = evaluate(grid, 0, grid.count)
    found = evaluate(dataclasses.replace(grid, reach=reach), 0, grid.count)
    kind, _, pack, _ = grid.indices(0, grid.count)
    gone = (kind == 1) & (pack == 2)
    assert whole["hovers"][gone].any()
    assert not found["hovers"][gone].any()
    assert np.all(found["endurance"][gone] == 0)
    for name, values in whole.items():
        assert np.array_equal(values[~gone], found[name][~gone])


def test_a_wider_body_pushes_the_motors_out(grid: Grid) -> None:
    wide = dataclasses.replace(grid, reach=grid.reach + 0.3)
    near, far = evaluate(grid, 0, grid.count), evaluate(wide, 0, wide.count)
    assert np.all(far["motor_radius"] > near["motor_radius"])
    assert grid.fingerprint != wide.fingerprint
