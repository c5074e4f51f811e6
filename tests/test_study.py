"""Whole designs from briefs: the three examples, and variants that change layout and arms.

One study of each is made and asked many questions; one is made twice to compare.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from refledge import Brief, Study, design, read_brief
from refledge.errors import FlightError, GeometryError
from refledge.model.checks import Verdict
from refledge.study import MASS_TOLERANCE

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[1] / "examples"


def example(name: str) -> Brief:
    return read_brief(EXAMPLES / name / "brief.toml")


def variant(kind: str, family: str, **mission: float) -> Brief:
    """The demo without its mast, with another layout and one arm family in one material."""
    demo = read_brief(Path(__file__).parent / "briefs" / "lake-sampler" / "brief.toml")
    return replace(
        demo,
        layout=replace(demo.layout, kind=kind),
        frame=replace(demo.frame, arm_family=family, material="ASA"),
        mission=replace(demo.mission, **mission),
    )


BRIEFS: dict[str, Callable[[], Brief]] = {
    "lake-sampler": lambda: example("lake-sampler"),
    "three-pairs": lambda: example("three-pairs"),
    "impossible": lambda: example("impossible"),
    "tube": lambda: variant("six-x", "tube"),
    "four-x": lambda: variant("four-x", "box", all_up_limit=4.0),
    "eight-x": lambda: variant("eight-x", "box", all_up_limit=6.0),
}


@cache
def made(name: str) -> Study:
    return design(BRIEFS[name]())


def verdicts(study: Study) -> dict[str, Verdict]:
    return {check.key: check.verdict for check in study.checks}


@pytest.fixture(params=BRIEFS)
def study(request: pytest.FixtureRequest) -> Study:
    return made(request.param)


def test_closure_ends_where_mass_stands_still(study: Study) -> None:
    last = study.closure[-1]
    assert abs(last.change) <= MASS_TOLERANCE
    assert last.all_up_mass + last.change == pytest.approx(study.all_up_mass)
    assert last.frame_mass == study.frame_mass
    for before, after in zip(study.closure, study.closure[1:], strict=False):
        assert before.all_up_mass + before.change == pytest.approx(after.all_up_mass)


def test_masses_add_up(study: Study) -> None:
    """The table to the all-up mass; printed, bought and bolts to the frame; parts to the table."""
    total = sum(line.total for line in study.masses)
    assert total == pytest.approx(study.all_up_mass, rel=1e-12)
    own = sum(line.total for line in study.masses
              if line.group in ("printed", "bought", "fasteners"))  # fmt: skip
    assert own == pytest.approx(study.frame_mass, rel=1e-12)
    parts = sum(part.quantity * part.mass for part in study.parts)
    bolts = sum(line.quantity * line.mass for line in study.fasteners)
    assert parts + bolts == pytest.approx(study.frame_mass, rel=1e-9)
    b = study.brief
    rotor = b.motor.mass + b.propeller.mass + b.speed_controller.mass
    items = b.battery.mass + b.flight_controller.mass + b.payload.mass + b.wiring
    items += study.layout.n_rotors * rotor + sum(other.mass for other in b.others)
    assert study.all_up_mass - study.frame_mass == pytest.approx(items, rel=1e-9)


def test_thrust_in_hover_is_the_weight(study: Study) -> None:
    assert study.hover.total_thrust == pytest.approx(study.all_up_mass * 9.80665, rel=1e-3)


def test_every_check_says_how_and_whence(study: Study) -> None:
    assert len({check.key for check in study.checks}) == len(study.checks)
    for check in study.checks:
        assert check.method, check.key
        assert check.source, check.key
        assert check.title, check.key
        assert check.part, check.key
        assert np.isfinite(check.demand), check.key
        assert np.isfinite(check.capacity), check.key
        assert check.verdict is not Verdict.UNKNOWN, check.key


def test_every_room_of_checks_is_there(study: Study) -> None:
    groups = {check.group for check in study.checks}
    assert groups == {"stiffness", "strength", "joints", "shaking", "heat", "flight", "fit"}
    cases = {case.key for case in study.loads}
    for case in cases:
        assert any(check.key.startswith(f"strength-{case}-") for check in study.checks), case


def test_no_solids_overlap_and_discs_are_free(study: Study) -> None:
    assert study.assembly.overlaps == ()
    assert study.assembly.least_gap >= 5e-3


def test_bodies_parts_and_meshes_agree(study: Study) -> None:
    assert {part.key for part in study.parts} == set(study.solids)
    for part in study.parts:
        placed = [each for each in study.assembly.placements if each.key == part.key]
        assert len(placed) == part.quantity, part.key
        density = study.cards[part.material].rho.value
        assert 0.2 * density * part.volume < part.mass <= density * part.volume * (1 + 1e-9)


def test_modes_rise_and_have_words(study: Study) -> None:
    for modes in (study.arm_modes, study.airframe_modes):
        assert (np.diff(modes.frequencies) >= -1e-9 * modes.frequencies[1:]).all()
        assert modes.frequencies[0] > 1.0
        assert len(modes.labels) == len(modes.frequencies) == len(modes.shapes)


def test_verdict_is_the_worst_of_all() -> None:
    """Fails before cannot say before holds narrowly before holds, in whatever order they stand."""
    study = made("tube")
    order = [Verdict.HOLDS, Verdict.NARROWLY, Verdict.UNKNOWN, Verdict.FAILS]
    for worst in range(len(order)):
        checks = tuple(replace(study.checks[0], verdict=each) for each in order[: worst + 1])
        assert replace(study, checks=checks).verdict is order[worst]
        assert replace(study, checks=checks[::-1]).verdict is order[worst]


def test_the_demo_holds() -> None:
    study = made("lake-sampler")
    assert study.verdict in (Verdict.HOLDS, Verdict.NARROWLY)
    assert study.layout.kind == "six-x"
    assert study.all_up_mass <= study.brief.mission.all_up_limit
    assert study.hover.endurance >= study.brief.mission.hover_time
    assert all(part.fits_bed for part in study.parts)
    assert study.alternatives[0].feasible
    assert study.alternatives[0].family == study.frame.arm.family


def test_three_pairs_hold_with_two_rotors_an_arm() -> None:
    study = made("three-pairs")
    assert study.verdict in (Verdict.HOLDS, Verdict.NARROWLY)
    assert (study.layout.n_arms, study.layout.n_rotors, study.layout.paired) == (3, 6, True)
    mounts = next(part for part in study.parts if part.key == "mount")
    assert mounts.quantity == 6
    assert len(study.speeds.hover_speeds) == 2


def test_the_impossible_fails_in_the_limits_that_are_so() -> None:
    found = verdicts(made("impossible"))
    for key in ("all-up-mass", "thrust-margin", "endurance", "motor-tilt"):
        assert found[key] is Verdict.FAILS
    assert made("impossible").verdict is Verdict.FAILS
    assert not any(row.feasible for row in made("impossible").alternatives)
    assert all(driver.saved == 0.0 for driver in made("impossible").drivers)


def test_tubes_are_cut_and_everything_else_printed() -> None:
    study = made("tube")
    assert study.frame.arm.material == "carbon-tube-16x14"
    bought = [part for part in study.parts if not part.printed]
    assert [part.key for part in bought] == ["tube"]
    assert any(check.key == "tube-slip" for check in study.checks)
    assert any(line.name == "carbon-tube-16x14" for line in study.shopping)


@pytest.mark.parametrize(("name", "arms"), [("four-x", 4), ("eight-x", 8)])
def test_other_counts_of_arms(name: str, arms: int) -> None:
    study = made(name)
    assert (study.layout.n_arms, study.frame.n_arms) == (arms, arms)
    for deflected in study.deflected:
        assert len(deflected.motor_tilt) == arms
        assert len(deflected.tip_deflection) == arms
    assert study.frame.leg.count == 4


def test_the_same_brief_gives_the_same_study() -> None:
    """Everything that a table or file is made from, to the last bit; progress told on the way."""
    told: list[float] = []
    again = design(BRIEFS["tube"](), progress=lambda _what, share: told.append(share))
    assert told[0] == 0.0
    assert told == sorted(told)
    assert 0.9 < told[-1] <= 1.0
    one, two = made("tube"), again
    for name in ("all_up_mass", "frame_mass", "closure", "frame", "checks", "drivers", "masses",
                 "alternatives", "fasteners", "shopping", "notes", "brief"):  # fmt: skip
        assert getattr(one, name) == getattr(two, name), name
    np.testing.assert_array_equal(one.airframe_modes.shapes, two.airframe_modes.shapes)
    for a, b in zip(one.deflected, two.deflected, strict=True):
        np.testing.assert_array_equal(a.displacements, b.displacements)
    for key, mesh in one.assembly.meshes.items():
        np.testing.assert_array_equal(mesh.vertices, two.assembly.meshes[key].vertices)


def test_what_cannot_lift_is_an_error_with_its_reason() -> None:
    demo = example("lake-sampler")
    heavy = replace(demo, payload=replace(demo.payload, mass=15.0))
    with pytest.raises(FlightError, match="six-x can hover") as caught:
        design(heavy)
    assert "{" not in str(caught.value)


def test_a_shelf_of_what_softens_is_an_error_with_its_reason() -> None:
    demo = example("lake-sampler")
    soft = replace(demo, printer=replace(demo.printer, filaments=("PLA",)))
    with pytest.raises(GeometryError, match="softens"):
        design(soft)
