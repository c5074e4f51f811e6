"""An airframe with grown arms: each figure and file from the arm that was kept."""

import json
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from refledge.airframe.blows.cases import crash_cases
from refledge.airframe.blows.energy import blow
from refledge.airframe.blows.struck import make_struck
from refledge.airframe.grown_beams import TipGive, beam_give
from refledge.airframe.grown_strength import arm_loads, bounds
from refledge.airframe.necked import necked
from refledge.airframe.structure import span_edges
from refledge.bench.candidates import arm_of_build
from refledge.errors import AnalysisError
from refledge.geometry.kernel import MeshSolid
from refledge.geometry.mesh import mesh_centroid, section_areas
from refledge.inputs.built import read_built
from refledge.interfaces.given import given_files
from refledge.live.shapes import body_uses
from refledge.model.brief import Brief
from refledge.model.checks import Verdict
from refledge.model.grown import GrownArm
from refledge.outputs.drawing.sheet import part_sheet
from refledge.outputs.printed import print_mesh
from refledge.outputs.record import study_json
from refledge.outputs.urdf import urdf_text
from refledge.planning.plan import GROWN, plan_prints
from refledge.printing.mass import printed_mass
from refledge.repair.weak_link import root_moment, size_words
from refledge.study import Study
from refledge.verify.beam_forces import tip_load, worst_arm
from refledge.verify.cache import content_key
from refledge.verify.plastics import printed_body
from refledge.verify.setup import GROWN_EDGE, arm_setup


def spec_of(study: Study):  # type: ignore[no-untyped-def]
    return next(spec for spec in study.parts if spec.key == "arm")


def test_every_arm_is_the_kept_one(study: Study, arm: GrownArm) -> None:
    assert study.frame.arm.family == "grown"
    assert study.frame.arm.grown == arm
    solid, spec = study.solids["arm"], spec_of(study)
    assert isinstance(solid, MeshSolid)
    assert solid.mesh is arm.mesh
    assert spec.quantity == 6
    rho = study.task.materials["ASA"].rho
    brief = study.brief
    wanted = printed_mass(arm.volume, arm.area, rho, brief.frame, brief.printer)
    assert spec.mass == pytest.approx(wanted, rel=1e-6)
    assert study.closure[-1].change == pytest.approx(0.0, abs=1e-3)
    line = next(line for line in study.masses if line.name == "arm")
    assert (line.quantity, line.each) == (6, pytest.approx(wanted, rel=1e-6))
    assert [row.family for row in study.alternatives] == ["grown"]
    assert not [driver for driver in study.drivers if driver.dimension.startswith("arm")]


def test_beams_weigh_what_the_solid_weighs_where_it_weighs_it(study: Study, arm: GrownArm) -> None:
    structure = study.assessment.structure
    nodes = structure.frame.nodes
    bars = [structure.bars[row] for row in structure.beams_of("arm", 0)]
    masses = np.array([bar.mass(nodes) for bar in bars])
    assert masses.sum() == pytest.approx(spec_of(study).mass, rel=1e-6)
    middles = np.array([np.hypot(*((nodes[bar.a] + nodes[bar.b]) / 2)[:2]) for bar in bars])
    centre = mesh_centroid(arm.mesh)[0] + study.frame.clamp.root_radius
    assert masses @ middles / masses.sum() == pytest.approx(centre, abs=8e-3)
    lines = np.array([bar.mass(nodes) / bar.length(nodes) for bar in bars[3:]])
    edges = span_edges(study.frame.arm)
    cuts = [np.linspace(a, b, 60)[1:-1] for a, b in pairwise(edges)]
    shares = np.array([section_areas(arm.mesh, each).mean() for each in cuts])
    assert lines / lines.sum() == pytest.approx(shares / shares.sum(), rel=0.02)
    low, high = arm.mesh.vertices[:, 0].min(), arm.mesh.vertices[:, 0].max()
    each = (high - low) / 400
    areas = section_areas(arm.mesh, low + each * (np.arange(400) + 0.5))
    assert areas.sum() * each == pytest.approx(arm.volume, rel=2e-3)


def test_the_tip_gives_as_the_solid_did(study: Study, arm: GrownArm) -> None:
    wanted = TipGive(arm.at, arm.give).about(np.array([study.frame.arm.axis, 0.0, 0.0]))
    found = beam_give(study.assessment.structure)
    scale = np.diag([1.0, 1.0, 1.0, *[study.frame.arm.axis] * 3])
    off = scale @ (found - wanted) @ scale
    assert np.linalg.norm(off) < 0.1 * np.linalg.norm(scale @ wanted @ scale)
    assert found[2, 2] == pytest.approx(wanted[2, 2], rel=0.02)


def test_strength_is_what_was_solved_scaled_to_the_loads_at_hand(
    study: Study, arm: GrownArm
) -> None:
    plastic = study.task.materials["ASA"]
    for result in study.assessment.results:
        found = bounds(arm, arm_loads(study.assessment.structure, result))
        checks = {each.key: each for each in study.checks}
        plane = checks[f"strength-{result.case.key}-arm"]
        layers = checks[f"layers-{result.case.key}-arm"]
        assert plane.demand == pytest.approx(found.plastic.max() * plastic.strength_xy)
        assert layers.demand == pytest.approx(found.layers.max() * plastic.shear_z)
        for check in (plane, layers):
            assert "as a solid" in check.title
            assert "loads that it was grown for" in check.method
            known = any(case.title == result.case.title for case in arm.cases)
            told = "of the use when it was grown" if known else "that it was not grown for"
            assert told in check.note
    same = [case for case in arm.cases if case.title == "carried by one arm"]
    carried = checks["strength-carried-arm"].demand / plastic.strength_xy
    assert carried == pytest.approx(max(case.plastic for case in same), rel=0.1)


def test_the_solid_is_pulled_at_its_seat_as_the_beams_are(study: Study) -> None:
    """Force and moment on the tenon's top are those on the motor axis at half the plates' gap."""
    seat = np.array([0.0, 0.0, study.frame.arm.depth_root / 2])
    for result in study.assessment.results:
        force, moment = tip_load(study, result)
        wanted = arm_loads(study.assessment.structure, result)[worst_arm(study, result)]
        np.testing.assert_allclose(force, wanted[:3], atol=1e-9)
        np.testing.assert_allclose(moment + np.cross(seat, force), wanted[3:6], atol=1e-9)


def test_the_mesh_error_can_leave_a_check_in_doubt(study: Study, arm: GrownArm) -> None:
    from refledge.airframe.grown_checks import grown_checks  # noqa: PLC0415 - only here

    check = next(c for c in study.checks if c.key == "strength-hover-arm")
    assert check.verdict is not Verdict.UNKNOWN
    near = replace(check, capacity=check.demand * 1.0001)
    (told,) = grown_checks(study.task, arm, study.assessment, (near,))
    assert told.verdict is Verdict.UNKNOWN
    tilt = next(c for c in study.checks if c.key == "motor-tilt")
    close = replace(tilt, capacity=tilt.demand * (1 + arm.give_error / 2), method="beams")
    (told,) = grown_checks(study.task, arm, study.assessment, (close,))
    assert told.verdict is Verdict.UNKNOWN
    assert "as the grown arm does as a solid" in tilt.method


def test_buckling_is_the_worst_bound_of_all_arms_and_loads(study: Study, arm: GrownArm) -> None:
    checks, limits = {each.key: each for each in study.checks}, study.brief.limits
    worst = {"flight": 0.0, "rough": 0.0}
    for result in study.assessment.results:
        held = np.arange(6) == result.case.held_arm
        found = bounds(arm, arm_loads(study.assessment.structure, result), held)
        kind = "flight" if result.case.kind == "flight" else "rough"
        worst[kind] = max(worst[kind], float(found.buckling.max()))
    for kind, factor in (("flight", limits.flight_factor), ("rough", limits.landing_factor)):
        check = checks[f"buckling-{kind}"]
        assert check.demand == pytest.approx(worst[kind])
        assert check.capacity == 1.0 / factor
        assert f"buckles at {1 / worst[kind]:.2f} times the load" in check.note
    assert worst["rough"] > 2 * worst["flight"] > 0.0
    assert any("were grown" in note for note in study.notes)


def test_the_mesh_error_can_leave_buckling_open(study: Study, arm: GrownArm) -> None:
    from refledge.airframe.grown_checks import grown_buckling  # noqa: PLC0415 - only here

    def judged(times: float, error: float) -> Verdict:
        per = tuple(
            tuple(
                replace(each, buckling=times * each.buckling, buckling_error=error)
                for each in stresses
            )
            for stresses in study.assessment.stresses
        )
        found = replace(study.assessment, stresses=per)
        return grown_buckling(study.task, arm, found)[1].verdict

    rough = next(c for c in study.checks if c.key == "buckling-rough")
    reach = rough.capacity / rough.demand
    assert judged(0.5 * reach, 0.01) is Verdict.HOLDS
    assert judged(1.1 * reach, 0.01) is Verdict.FAILS
    assert judged(1.1 * reach, 0.2) is judged(0.9 * reach, 0.2) is Verdict.UNKNOWN


def test_a_warmer_day_softens_and_weakens_the_arm(brief: Brief, study: Study) -> None:
    from refledge.airframe.grown_interface import softened  # noqa: PLC0415 - only here
    from refledge.airframe.working import working  # noqa: PLC0415

    hot = replace(brief, mission=replace(brief.mission, air_temperature=313.15))
    now = working(study.cards["ASA"], hot)
    arm = study.frame.arm.grown
    assert arm is not None
    softer, weaker = softened(hot, arm, now)
    then = study.task.materials["ASA"]
    assert softer == pytest.approx(then.E / now.E)
    assert weaker == pytest.approx(then.strength_xy / now.strength_xy)
    assert softer > 1.05
    assert softened(brief, arm, then) == pytest.approx((1.0, 1.0))


def test_a_crash_breaks_the_arm_by_what_its_tip_feels(study: Study, arm: GrownArm) -> None:
    ready = make_struck(study.task, study.frame, study.assessment)
    mine = [place for place in ready.where if place.part.startswith("arm")]
    assert {place.where for place in mine} == {"grown arm"}
    assert len(mine) == 6
    case = next(
        c for c in crash_cases(study.assessment.structure, ready.points) if c.key == "arm-tip"
    )
    slow, fast = (blow(ready, case, speed).uses["arm 1"] for speed in (1.0, 2.0))
    assert 0.0 < slow < fast
    weaker = replace(arm, unit_plastic=2 * arm.unit_plastic, unit_layers=2 * arm.unit_layers)
    frame = replace(study.frame, arm=replace(study.frame.arm, grown=weaker))
    again = make_struck(study.task, frame, study.assessment)
    assert blow(again, case, 1.0).uses["arm 1"] == pytest.approx(2 * slow)


def test_it_cannot_be_made_the_weak_link_by_a_neck(study: Study, arm: GrownArm) -> None:
    with pytest.raises(AnalysisError, match="keep their shape"):
        necked(study.task, study.frame, study.layout, study.assessment, 0.9)
    words = size_words("arm", study.frame, study.assessment, 0.8)
    assert "grown anew that bears 80%" in words
    pull = 1.0 / max(arm.unit_plastic[2].max(), arm.unit_layers[2].max())
    bolt = study.frame.clamp.first + study.frame.clamp.pitch_x
    wanted = pull * (arm.interface.length - arm.interface.tenon_length / 2 - bolt)
    assert root_moment(study.assessment, study.frame) == pytest.approx(wanted)


def test_the_page_colours_each_arm_by_its_own_bound(study: Study, arm: GrownArm) -> None:
    result = study.assessment.result("full-thrust")
    found = bounds(arm, arm_loads(study.assessment.structure, result))
    uses, factor = body_uses(study, result), study.brief.limits.flight_factor
    for number in range(6):
        worst = factor * max(found.plastic[number], found.layers[number])
        assert uses[f"arm {number + 1}"] == pytest.approx(worst)


def test_it_is_printed_as_it_was_grown(study: Study, arm: GrownArm) -> None:
    assert print_mesh(study, spec_of(study)) is arm.mesh
    plan = plan_prints(replace(study, parts=(spec_of(study),)))
    assert plan.parts[0].chosen.label == "as sized"
    assert plan.parts[0].reason == GROWN
    assert "rest on support" in spec_of(study).print_note


def test_the_drawing_has_the_interface_and_the_outline(study: Study) -> None:
    sheet = part_sheet(
        spec_of(study), study.solids["arm"], study.assembly.meshes["arm"], "ASA", "lake", (1, 1),
        study.version,
    )  # fmt: skip
    words = " ".join(mark.words for mark in sheet.marks if hasattr(mark, "words"))
    clearance = 1e3 * (study.task.hardware.screws["M3"].clearance_hole + 2e-4)
    assert f"8× Ø{clearance:.1f} through" in words
    assert f"{1e3 * study.frame.arm.length:.2f}".rstrip("0") in words
    assert "grown" in words


def test_the_build_holds_the_arm_and_reads_back(
    study: Study, arm: GrownArm, brief: Brief, tmp_path: Path
) -> None:
    files = given_files(brief)
    for name, data in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(data)
    assert 'grown_arm = "given/arm.toml"' in files["brief.toml"].decode()
    text = study_json(study)
    assert "unit_plastic" not in text
    (tmp_path / "study.json").write_text(text)
    built = read_built(tmp_path)
    assert built.frame.arm.grown == arm
    compared = arm_of_build("x", built.frame.arm, built.card, built.arm_mass)
    stiff = 1.0 / (arm.give[2, 2] * arm.plastic.E / built.card.E_xy.value)
    assert compared.predicted_stiffness is not None
    assert compared.predicted_stiffness[0] == pytest.approx(stiff)
    mass = json.loads(text)["study"]["parts"][0]
    assert mass
    assert 'name="arm_1"' in urdf_text(study)


def test_solids_take_its_triangles(study: Study, arm: GrownArm) -> None:
    setup, body = arm_setup(study), printed_body(study, "arm")
    assert body.surface is arm.mesh
    assert setup.size.size == GROWN_EDGE
    key = content_key(setup, body)
    moved = replace(arm.mesh, vertices=arm.mesh.vertices * 1.001)
    assert content_key(setup, replace(body, surface=moved)) != key
