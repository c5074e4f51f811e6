"""A sized frame keeps every limit it claims, by an assessment of its own; materials and layers."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe import sizing
from refledge.airframe.assessment import assess
from refledge.airframe.frame_uses import frame_uses
from refledge.airframe.framing import whole_layers
from refledge.airframe.places import part_centres
from refledge.airframe.search import alternative
from refledge.airframe.sizing import PLATES, STOUT, Sized, hold, rank, screen, size
from refledge.airframe.task import Task
from refledge.airframe.task_making import combinations, make_task
from refledge.airframe.use_titles import title_of
from refledge.airframe.working import printable, working
from refledge.errors import GeometryError
from refledge.model.brief import Brief


@pytest.fixture(scope="module")
def full(task: Task) -> Sized:
    """Sized in full, so that every limit is aimed at."""
    return size(task, "box", "ASA")


def test_it_holds_all_that_it_claims(task: Task, full: Sized) -> None:
    assert full.feasible
    centres = part_centres(full.frame, full.layout)
    again = assess(task, full.frame, full.layout, full.part_masses, centres)
    uses = frame_uses(task, full.frame, full.layout, again)
    assert max(uses.values()) <= 1.0
    for key, use in uses.items():
        assert use == pytest.approx(full.uses[key], rel=1e-9)


def test_aimed_at_uses_leave_their_reserve(task: Task, full: Sized) -> None:
    """Tilt itself lies a tenth and more under its limit."""
    tilt = full.assessment.result("full-thrust").motor_tilt.max()
    assert tilt <= task.brief.limits.motor_tilt / 1.1
    first = full.assessment.modes.frequencies[0]
    assert first >= task.brief.limits.control_bandwidth * task.brief.limits.bandwidth_ratio


def test_frame_mass_is_parts_and_fasteners(full: Sized) -> None:
    masses = [lump.mass for lump in full.assessment.lumps
              if lump.group in ("printed", "bought", "fasteners")]  # fmt: skip
    assert full.frame_mass == pytest.approx(sum(masses), rel=1e-12)


def test_holding_a_frame_changes_nothing_but_its_loads(task: Task, sized: Sized) -> None:
    same = hold(task, sized)
    assert same.frame == sized.frame
    assert same.frame_mass == pytest.approx(sized.frame_mass)
    for key, use in same.uses.items():
        assert use == pytest.approx(sized.uses[key], rel=1e-6), key


@pytest.mark.parametrize("layer", [0.3e-3, 0.28e-3])
def test_plates_in_odd_layers_are_held_too(brief: Brief, task: Task, layer: float) -> None:
    """4 mm is no whole number of these layers: pool, frame and held frame agree on what it is."""
    printer = replace(brief.printer, layer=layer)
    other = make_task(replace(brief, printer=printer), "six-x", task.rotor, 3.2, {})
    found = screen(other, "box", "ASA")
    layers = found.frame.plate.thickness / layer
    assert layers == pytest.approx(round(layers))
    assert found.frame.plate.thickness >= 4e-3 - 1e-9
    assert hold(other, found).frame == found.frame


def test_whole_layers_round_up_and_leave_whole_ones_alone() -> None:
    assert whole_layers(4e-3, 0.3e-3) == pytest.approx(4.2e-3)
    for count in range(1, 60):
        assert whole_layers(count * 0.2e-3, 0.2e-3) == pytest.approx(count * 0.2e-3)


def test_rank_prefers_what_holds_then_what_is_light(sized: Sized) -> None:
    holds, over = ({"a": 1.0, "b": 0.2}, {"a": 1.05, "b": 0.2})
    light = replace(sized, uses=holds)
    broken = replace(sized, uses=over)
    spread = replace(sized, uses={"a": 1.02, "b": 1.02})
    assert rank(light) < rank(spread) < rank(broken)
    assert rank(light)[1] == pytest.approx(sized.frame_mass)


def test_plates_beyond_a_worse_step_are_tried_too(
    task: Task, sized: Sized, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The lightest that holds lies two steps from the first thickness, past one that fails."""
    uses = {3e-3: 1.4, 4e-3: 1.2, 5e-3: 1.1, 6e-3: 1.3, 8e-3: 0.9}

    def rounds(*given: object) -> Sized:
        return replace(sized, uses={"a": uses[given[4]]})  # type: ignore[index]

    monkeypatch.setattr(sizing, "_rounds", rounds)
    assert size(task, "box", "ASA").uses == {"a": 0.9}


def test_plates_too_thick_for_the_screws_are_left_out(
    task: Task, sized: Sized, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As they turn out with the legs' flanges; where all are, the first one's words are said."""
    passed = 5e-3

    def rounds(*given: object) -> Sized:
        if given[4] > passed:  # type: ignore[operator]
            raise GeometryError(f"no screw is long enough for {given[4]}")
        return replace(sized, uses={"a": 1.0 - given[4]})  # type: ignore[operator]

    monkeypatch.setattr(sizing, "_rounds", rounds)
    assert size(task, "box", "ASA").uses["a"] >= 1.0 - passed
    passed = 0.0
    with pytest.raises(GeometryError, match=f"long enough for {PLATES[0]}"):
        size(task, "box", "ASA")


def test_stout_plates_are_tried_where_plates_are_what_fails(
    task: Task, sized: Sized, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Bolts too short for the stoutest end the search; arms that fail do not begin it."""
    tried: list[float] = []
    failing = "strength-rough-plates"

    def rounds(_task: Task, _family: str, _in: str, _of: object, plate: float, _n: int) -> Sized:
        tried.append(plate)
        if plate > STOUT[0]:
            raise GeometryError("no bolt is so long")
        plates = replace(sized.frame.plate, thickness=plate)
        uses = {**sized.uses, failing: 9e-3 / plate}
        return replace(sized, frame=replace(sized.frame, plate=plates), uses=uses)

    monkeypatch.setattr(sizing, "_rounds", rounds)
    assert size(task, "box", "ASA").frame.plate.thickness == STOUT[0]
    assert tried == [*PLATES, *STOUT]
    tried.clear()
    failing = "strength"
    assert size(task, "box", "ASA").frame.plate.thickness == PLATES[-1]
    assert tried == list(PLATES)


def test_lower_limits_ask_for_heavier_frames(brief: Brief, task: Task, sized: Sized) -> None:
    """Half the tilt allowed: stiffer and heavier."""
    limits = replace(brief.limits, motor_tilt=brief.limits.motor_tilt / 2)
    strict = screen(replace(task, brief=replace(brief, limits=limits)), "box", "ASA")
    assert strict.frame_mass > sized.frame_mass
    tilt = [x.assessment.result("full-thrust").motor_tilt.max() for x in (strict, sized)]
    assert tilt[0] < tilt[1]


def test_alternative_tells_what_was_found(sized: Sized) -> None:
    row = alternative(sized)
    assert (row.family, row.material) == ("box", "ASA")
    assert row.frame_mass == pytest.approx(sized.frame_mass)
    assert row.first_mode == pytest.approx(sized.assessment.modes.frequencies[0])
    worst = max(sized.uses, key=lambda key: sized.uses[key])
    assert row.worst.startswith(title_of(worst))
    assert f"{sized.uses[worst]:.0%}" in row.worst


def test_every_shelf_material_is_paired_with_every_printed_family(task: Task) -> None:
    """In the sun PLA would soften; it is left out, and why is said."""
    pairs, left_out = combinations(task)
    assert "softens" in left_out["PLA"]
    families = {family for family, _ in pairs}
    materials = {material for _, material in pairs}
    assert families == {"box", "channel", "truss"}
    assert materials == set(task.brief.printer.filaments) - set(left_out)
    assert len(pairs) == len(families) * len(materials)


def test_an_empty_choice_is_refused(task: Task) -> None:
    printer = replace(task.brief.printer, filaments=("PLA",))
    with pytest.raises(GeometryError, match="no material can be used"):
        combinations(replace(task, brief=replace(task.brief, printer=printer)))


@pytest.mark.parametrize(
    ("change", "key", "why"),
    [
        ({"enclosed": False}, "ASA", "closed"),
        ({"hardened_nozzle": False}, "PA6-GF", "hardened"),
        ({"nozzle_limit": 480.0}, "PETG", "nozzle"),
        ({"bed_limit": 300.0}, "PETG", "bed"),
        ({}, "carbon-tube-16x14", "not printed"),
        ({}, "ASA", ""),
    ],
)
def test_what_the_printer_cannot_print(
    task: Task, change: dict[str, object], key: str, why: str
) -> None:
    printer = replace(task.brief.printer, **change)  # type: ignore[arg-type]
    reason = printable(task.cards[key], replace(task.brief, printer=printer))
    assert why in reason
    assert bool(reason) == bool(why)


def test_working_figures_fall_with_heat_and_moisture(task: Task) -> None:
    """0.4 % for each kelvin above 23 degC: sun, 28 degC and 25 K make 30 K, so 12 %."""
    card = task.cards["ASA"]
    found = working(card, task.brief)
    assert found.temperature == pytest.approx(301.15 + 25.0)
    expected = card.E_xy.value * card.wet_modulus.value * (1 - 0.004 * 30.0)
    assert pytest.approx(expected) == found.E
    assert pytest.approx(found.E / (2 * (1 + found.nu))) == found.G
    cold = replace(task.brief.mission, sunlight="shade", air_temperature=263.15)
    brisk = working(card, replace(task.brief, mission=cold))
    assert pytest.approx(card.E_xy.value * card.wet_modulus.value) == brisk.E
    tube = task.cards["carbon-tube-16x14"]
    assert tube.E_xy.value * tube.wet_modulus.value == working(tube, task.brief).E


def test_arms_of_tubes_are_that_tube(task: Task) -> None:
    found = screen(task, "tube", "ASA")
    arm = found.frame.arm
    assert (arm.width, arm.bore, arm.depth_root) == (0.016, 0.014, 0.016)
    assert found.frame.block_height > arm.depth_root
    assert {bar.part for bar in found.assessment.structure.bars} == {"tube", "plates", "leg"}
    assert np.isfinite(list(found.uses.values())).all()
