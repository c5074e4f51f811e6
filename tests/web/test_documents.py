"""Documents: every figure with its source, shapes that fit the bodies, meshes by contents."""

import json
import struct
from math import isfinite

import numpy as np
import pytest
from starlette.testclient import TestClient

from refledge.interfaces.web.brief_doc import field_texts
from refledge.interfaces.web.results_doc import results_doc
from refledge.interfaces.web.screen import Standing
from refledge.interfaces.web.wording import shown
from refledge.live.figures import key_figures, use_of
from refledge.live.series import hover_discharge, mass_groups, speed_chart
from refledge.live.shapes import arrows, body_uses, rides
from refledge.outputs.words import key_figures as told_figures
from refledge.study import Study
from refledge.units import show
from tests.web.test_editing_live import edit

NO_BODY = ("aircraft", "airframe", "assembly")
"""What checks speak of that is no single body of the picture."""


def test_every_figure_says_where_it_comes_from(client: TestClient) -> None:
    results = client.get("/api/results").json()
    assert len(results["figures"]) > 15
    for each in (*results["figures"], *results["checks"]):
        assert each["method"], each["key"]
        assert each["source"], each["key"]
        assert each["spread_text"], each["key"]
    keys = [each["key"] for each in results["figures"]]
    assert len(set(keys)) == len(keys)
    wanted = ("all_up_mass", "frame_mass", "hover_time", "hover_power", "hover_throttle")
    assert {*wanted, "motor_tilt", "first_mode_arm", "first_mode_airframe"} <= set(keys)


def test_figures_are_those_that_the_command_line_prints(small: Study) -> None:
    ours = {each.key: shown(each.value, each.unit, each.shown) for each in key_figures(small)}
    theirs = dict(told_figures(small))
    assert ours["all_up_mass"] == theirs["all-up mass"]
    assert ours["frame_mass"] == theirs["frame mass"]
    assert ours["hover_time"] == theirs["hover time"]
    assert theirs["hover"] == f"{ours['hover_power']} at {ours['hover_throttle']} throttle"
    modes = f"arm {ours['first_mode_arm']}, airframe {ours['first_mode_airframe']}"
    assert theirs["first modes"] == modes


@pytest.mark.parametrize(
    ("unit", "trade"),
    [("m", "mm"), ("kg", "g"), ("1", "%"), ("rad", "deg"), ("K", "degC"), ("rad/s", "rpm"),
     ("1", "1"), ("Hz", "Hz"), ("s", "min"), ("Pa", "MPa"), ("ohm", "mohm")],
)  # fmt: skip
@pytest.mark.parametrize("value", [1e-7, 0.1234567, 1.0, 273.15, 98765.4, -3.3, 0.0, float("inf")])
def test_remembered_texts_are_those_of_the_units(unit: str, trade: str, value: float) -> None:
    assert shown(value, unit, trade) == show(value, unit, trade)


def test_checks_have_names_of_their_own_and_bodies_to_pick(client: TestClient) -> None:
    checks = client.get("/api/results").json()["checks"]
    bodies = {body["key"] for body in client.get("/api/assembly").json()["bodies"]}
    ids = [check["id"] for check in checks]
    assert len(set(ids)) == len(ids)
    assert all(set(check["keys"]) <= bodies for check in checks)
    assert {"arm"} == set(next(c for c in checks if c["key"] == "tip-deflection")["keys"])
    about = [c for c in checks if c["part"] not in NO_BODY]
    assert [c["part"] for c in about if not c["keys"]] == []


def test_use_is_one_at_the_limit_and_beyond_it_above(small: Study) -> None:
    for check in small.checks:
        use = use_of(check)
        if use is not None:
            assert (use > 1.0) == (check.margin < 0.0)
            if not check.at_least and check.demand > 0 and "heat" not in check.key:
                assert use == pytest.approx(check.demand / check.capacity, rel=1e-9)


def test_drivers_find_their_checks(small: Study) -> None:
    """Every dimension that a check holds is told at that check."""
    named = {driver for check in small.checks for driver in small.drivers_of(check)}
    reasons = ("the least", "nothing", "weight", "the thinnest")
    wanted = {each for each in small.drivers if not each.check.startswith(reasons)}
    assert wanted
    assert wanted == named


def test_masses_add_up(small: Study) -> None:
    groups = mass_groups(small)
    assert sum(group.mass for group in groups) == pytest.approx(small.all_up_mass, rel=1e-12)
    assert [g.mass for g in groups] == sorted((g.mass for g in groups), reverse=True)


def test_hover_lies_on_the_speed_curve(small: Study) -> None:
    chart = speed_chart(small)
    (hover,) = chart.hovers
    assert np.interp(hover.throttle, chart.throttle, chart.once) == pytest.approx(hover.once)
    used = small.hover.rotors[0].throttle  # of a pack half empty; the curve is of a full one
    assert 0.85 * used < hover.throttle < used
    for band in chart.bands:
        assert band.low < band.high
    assert {mode.of for mode in chart.modes} == {"airframe", "arm"}


def test_the_discharge_lasts_as_long_as_the_hover(small: Study) -> None:
    """Two methods: the design's closed figure, and the flight integrated with warming cells."""
    found = hover_discharge(small)
    assert found.endurance == pytest.approx(small.hover.endurance, rel=0.05)
    assert np.all(np.diff(found.charge) < 0)


def test_every_body_rides_on_nodes_beside_it(small: Study) -> None:
    nodes = small.assessment.structure.frame.nodes
    carried = rides(small)
    assert set(carried) == {each.name for each in small.assembly.placements}
    for each in small.assembly.placements:
        ride = carried[each.name]
        assert max(ride.nodes) < len(nodes)
        mesh = small.assembly.meshes[each.key].vertices @ each.rotation.T + each.translation
        low, high = mesh.min(axis=0), mesh.max(axis=0)
        own = nodes[list(ride.nodes)]
        across = np.linalg.norm(np.clip(own, low, high) - own, axis=1)
        if each.group == "part" and ride.how != "rigid":
            assert across.max() < 0.03, each.name


def moved(ride_how: str, at: np.ndarray, nodes: np.ndarray, motion: np.ndarray) -> np.ndarray:
    """A point carried as docs/workbench-api.md says."""
    each = motion[:, :3] + np.cross(motion[:, 3:], at - nodes)
    if ride_how == "rigid":
        return each[0]
    if ride_how == "sheet":
        weights = 1.0 / (np.sum((at - nodes) ** 2, axis=1) + 0.005**2)
        return weights @ each / weights.sum()
    best, found = np.inf, each[0]
    for a in range(len(nodes) - 1):
        along = nodes[a + 1] - nodes[a]
        t = float(np.clip((at - nodes[a]) @ along / (along @ along), 0.0, 1.0))
        away = float(np.linalg.norm(nodes[a] + t * along - at))
        if away < best:
            best, found = away, (1 - t) * each[a] + t * each[a + 1]
    return found


def test_bodies_that_touch_move_together(small: Study) -> None:
    """By the rule of the page, in every load case: arm with its motor, plates with their arms."""
    structure, carried = small.assessment.structure, rides(small)
    nodes = structure.frame.nodes
    for result in small.assessment.results:
        largest = np.abs(result.displacements[:, :3]).max()
        for arm in range(small.layout.n_arms):
            tip, root = nodes[structure.tips[arm]], nodes[structure.roots[arm]]
            pairs = [(f"arm {arm + 1}", f"motor {arm + 1}", tip, 1e-9)]
            pairs += [
                (f"arm {arm + 1}", plate, root, 0.25) for plate in ("upper plate", "lower plate")
            ]
            for one, other, at, apart in pairs:
                found = [
                    moved(
                        ride.how,
                        at,
                        nodes[list(ride.nodes)],
                        result.displacements[list(ride.nodes)],
                    )
                    for ride in (carried[one], carried[other])
                ]
                away = np.linalg.norm(found[0] - found[1])
                assert away < apart * largest, (result.case.key, one, other)


def test_thrust_arrows_add_up_to_the_total(small: Study) -> None:
    for result in small.assessment.results:
        total = sum(each.vector[2] for each in arrows(small, result) if "rotor" in each.label)
        assert total == pytest.approx(float(result.case.rotor_thrust.sum()), abs=0.01)
    held = next(r for r in small.assessment.results if r.case.held_arm >= 0)
    (hand,) = (each for each in arrows(small, held) if "held" in each.label)
    assert hand.vector[2] == pytest.approx(9.80665 * small.all_up_mass)


def test_body_uses_agree_with_the_checks(small: Study) -> None:
    """Worst arm and worst leg of a case against the checks' own demand over capacity."""
    for result in small.assessment.results:
        uses = body_uses(small, result)
        for part, name in (("arm", "arm "), ("leg", "leg "), ("plates", "upper_plate")):
            keys = [f"{kind}-{result.case.key}-{part}" for kind in ("strength", "layers")]
            checks = [use_of(c) or 0.0 for c in small.checks if c.key in keys]
            if checks:
                label = "upper plate" if part == "plates" else name
                found = max(use for body, use in uses.items() if body.startswith(label))
                assert found == pytest.approx(max(checks), rel=0.02)


def test_shapes_have_a_row_for_each_node(client: TestClient, small: Study) -> None:
    shapes = client.get("/api/shapes").json()
    count = len(shapes["nodes"])
    assert all(len(case["displacements"]) == count for case in shapes["cases"])
    assert all(len(mode["shape"]) == count for mode in shapes["modes"])
    found = np.array(shapes["cases"][1]["displacements"])
    exact = small.assessment.results[1].displacements
    assert np.abs(found - exact).max() < 1e-5 * np.abs(exact).max()


def test_meshes_are_named_by_their_contents(client: TestClient) -> None:
    before = client.get("/api/assembly").json()
    assert {body["key"] for body in before["bodies"]} == set(before["meshes"])
    edit(client, "motor.mass", "90 g")
    assert client.get("/api/assembly").json()["meshes"] == before["meshes"]
    name = before["meshes"]["arm"]
    answer = client.get(f"/api/meshes/arm.glb?v={name}")
    assert "max-age" in answer.headers["cache-control"]
    assert client.get("/api/meshes/arm.glb?v=old").headers["cache-control"] == "no-store"
    assert client.get("/api/meshes/nothing.glb").status_code == 404


def test_a_mesh_file_holds_the_mesh_in_its_own_axes(client: TestClient, small: Study) -> None:
    data = client.get("/api/meshes/leg.glb").content
    length = struct.unpack("<I", data[12:16])[0]
    document = json.loads(data[20 : 20 + length])
    (mesh,) = document["meshes"]
    place = document["accessors"][mesh["primitives"][0]["attributes"]["POSITION"]]
    vertices = small.assembly.meshes["leg"].vertices
    assert place["min"] == pytest.approx(vertices.min(axis=0).tolist(), abs=1e-6)
    assert place["max"] == pytest.approx(vertices.max(axis=0).tolist(), abs=1e-6)


def test_the_assembly_file_names_every_body(client: TestClient, small: Study) -> None:
    data = client.get("/api/assembly.glb").content
    length = struct.unpack("<I", data[12:16])[0]
    nodes = json.loads(data[20 : 20 + length])["nodes"][1:]
    assert [n["name"] for n in nodes] == [each.name for each in small.assembly.placements]
    assert all(n["extras"]["key"] for n in nodes)


def test_every_field_of_the_brief_is_there_with_its_bounds(client: TestClient) -> None:
    brief = client.get("/api/brief").json()
    fields = {f["path"]: f for group in brief["groups"] for f in group["fields"]}
    mass = fields["motor.mass"]
    assert (mass["text"], mass["value"], mass["unit"], mass["shown"]) == ("84 g", 0.084, "kg", "g")
    assert mass["low"] < mass["value"] < mass["high"]
    assert brief["text"].splitlines()[mass["line"] - 1] == 'mass = "84 g"'
    assumed = fields["frame.infill"]
    assert not assumed["stated"]
    assert assumed["reason"]
    assert fields["layout.kind"]["choices"]
    assert fields["payload.slung"]["kind"] == "flag"
    assert fields["motor.condition"]["kind"] == "condition"
    repeats = [group["path"] for group in brief["groups"] if group["repeats"]]
    assert repeats == ["others[1]", "others[2]", "others[3]"]
    assert all(f["label"] and f["allowed"] for f in fields.values())


def test_field_texts_cover_the_whole_brief(small: Study, small_text: str) -> None:
    assert {"mission.gust", "others[2].mass", "title"} <= set(field_texts(small.brief, small_text))


def test_documents_are_plain_json_even_where_numbers_are_not(small: Study) -> None:
    document = results_doc(small, Standing("sized", "current", "current"), 1)
    text = json.dumps(document, allow_nan=False)
    assert isfinite(len(text))


def test_nothing_to_show_is_said(client: TestClient) -> None:
    tables = {table["name"]: table for table in client.get("/api/tables").json()}
    assert {"parts", "masses", "bolts", "checks"} <= set(tables)
    assert tables["parts"]["rows"][0][0] in ("lower_plate", "arm")
    assert client.get("/api/charts/measured").json() == []
    assert client.get("/api/build.zip").status_code == 404
    assert client.get("/api/log").json()["entries"] == []
