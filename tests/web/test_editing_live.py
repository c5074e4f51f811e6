"""Edits over HTTP: results move with the answer, errors name the field, conflicts lose nothing."""

import json
import time
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from refledge.interfaces.web.results_doc import from_solids
from refledge.interfaces.web.session import digest
from refledge.interfaces.web.tasks import solids_task
from refledge.interfaces.web.workbench import Workbench
from refledge.interfaces.web.workers import Failed
from refledge.outputs.words import headline, sentence
from refledge.study import Study
from tests.web.conftest import FakeWorkers


def edit(client: TestClient, path: str, value: Any) -> Any:
    return client.patch("/api/brief", json={"edits": [{"path": path, "value": value}]})


def figure(results: dict[str, Any], key: str) -> float:
    return next(each["value"] for each in results["figures"] if each["key"] == key)


def field(brief: dict[str, Any], path: str) -> dict[str, Any]:
    return next(f for group in brief["groups"] for f in group["fields"] if f["path"] == path)


def test_the_first_state_is_the_design_itself(client: TestClient, small: Study) -> None:
    state = client.get("/api/state").json()
    results = state["results"]
    assert results["basis"] == "sized"
    assert results["sizing"] == results["solids"] == "current"
    assert results["headline"] == headline(small)
    assert figure(results, "all_up_mass") == pytest.approx(small.all_up_mass, rel=1e-8)
    assert [c["sentence"] for c in results["checks"]] == [sentence(c) for c in small.checks]
    assert results["stale"] == []


def test_an_edit_answers_with_what_it_did(client: TestClient, project: Path) -> None:
    before = client.get("/api/results").json()
    answer = edit(client, "motor.mass", "94 g").json()
    results = answer["results"]
    assert results["basis"] == "held"
    assert results["sizing"] == "wanted"
    added = figure(results, "all_up_mass") - figure(before, "all_up_mass")
    assert added == pytest.approx(0.06, abs=1e-7)
    assert answer["charts"]["masses"]
    assert answer["revision"] == before["revision"] + 1
    assert field(answer["brief"], "motor.mass")["text"] == "94 g"
    assert answer["brief"]["undo"] == "motor.mass: 94 g"
    assert 'mass = "94 g"' in (project / "brief.toml").read_text()
    assert set(results["stale"]) == {"alternatives", "drivers", "layouts", "notes"}


def test_a_limit_moves_only_its_own_verdict(client: TestClient) -> None:
    before = client.get("/api/results").json()
    after = edit(client, "mission.all_up_limit", "3 kg").json()["results"]
    moved = {c["id"] for c in after["checks"] if c not in before["checks"]}
    assert moved == {"all-up-mass|aircraft"}
    assert after["verdict"] == "fails"


def test_undo_brings_the_design_back(client: TestClient) -> None:
    before = client.get("/api/results").json()
    edit(client, "motor.mass", "94 g")
    after = client.post("/api/undo").json()
    assert after["results"]["basis"] == "sized"
    assert after["results"]["checks"] == before["checks"]
    assert after["brief"]["redo"] == "motor.mass: 94 g"
    again = client.post("/api/redo").json()
    assert again["results"]["basis"] == "held"


def test_a_wrong_value_names_its_field_and_changes_nothing(
    client: TestClient, project: Path
) -> None:
    before = (project / "brief.toml").read_bytes()
    answer = edit(client, "motor.mass", "90")
    assert answer.status_code == 422
    (problem,) = answer.json()["error"]["problems"]
    assert problem["field"] == "motor.mass"
    assert before.decode().splitlines()[problem["line"] - 1].startswith("mass")
    assert problem["next_step"]
    assert (project / "brief.toml").read_bytes() == before
    assert client.get("/api/brief").json()["undo"] is None


def test_edits_that_go_together_are_made_together_or_not_at_all(
    client: TestClient, project: Path
) -> None:
    before = (project / "brief.toml").read_bytes()
    edits = [{"path": "motor.mass", "value": "90 g"}, {"path": "battery.cells", "value": "many"}]
    assert client.patch("/api/brief", json={"edits": edits}).status_code == 422
    assert (project / "brief.toml").read_bytes() == before


def test_what_cannot_be_held_says_why_and_waits_for_sizing(client: TestClient) -> None:
    answer = edit(client, "frame.arm_family", "truss").json()
    results = answer["results"]
    assert results["basis"] == "none"
    assert "size the frame again" in results["why_not"]
    assert results["checks"] == []
    assert answer["charts"] is None
    assert client.get("/api/shapes").status_code == 404
    assert client.post("/api/undo").json()["results"]["basis"] == "sized"


def test_what_cannot_fly_says_so(client: TestClient) -> None:
    results = edit(client, "battery.max_current", "3 A").json()["results"]
    assert results["basis"] == "none"
    assert results["why_not"]


def test_a_change_by_another_program_is_shown_with_both_texts(
    client: TestClient, project: Path
) -> None:
    file = project / "brief.toml"
    theirs = file.read_text().replace("Lake sampler", "Pond sampler")
    file.write_text(theirs)
    answer = edit(client, "motor.mass", "90 g")
    assert answer.status_code == 409
    error = answer.json()["error"]
    assert error["kind"] == "conflict"
    assert error["theirs"] == theirs
    assert '"90 g"' in error["mine"]
    assert error["theirs_hash"] == digest(theirs)
    assert file.read_text() == theirs
    assert client.get("/api/conflict").json()["theirs"] == theirs
    assert client.patch("/api/brief", json={"edits": []}).status_code == 409


def test_theirs_is_taken(client: TestClient, project: Path) -> None:
    file = project / "brief.toml"
    file.write_text(file.read_text().replace('mass = "84 g"', 'mass = "94 g"'))
    answer = client.post("/api/brief/resolve", json={"keep": "theirs"}).json()
    assert field(answer["brief"], "motor.mass")["text"] == "94 g"
    assert answer["results"]["basis"] == "held"
    assert client.get("/api/conflict").status_code == 404


def test_mine_is_kept_only_over_what_was_seen(client: TestClient, project: Path) -> None:
    file = project / "brief.toml"
    mine = file.read_text()
    file.write_text(mine + "\n# theirs\n")
    wrong = client.post("/api/brief/resolve", json={"keep": "mine", "hash": digest("x")})
    assert wrong.status_code == 409
    assert file.read_text().endswith("# theirs\n")
    right = digest(file.read_text())
    assert (
        client.post("/api/brief/resolve", json={"keep": "mine", "hash": right}).status_code == 200
    )
    assert file.read_text() == mine


def test_an_edit_from_a_page_that_lags_behind_is_refused(client: TestClient) -> None:
    seen = client.get("/api/brief").json()["hash"]
    edit(client, "motor.mass", "90 g")
    body = {"edits": [{"path": "motor.mass", "value": "91 g"}], "hash": seen}
    assert client.patch("/api/brief", json=body).status_code == 409


def test_the_watch_tells_of_a_change_once(bench: Workbench, project: Path) -> None:
    told: list[str] = []
    bench.events.publish = lambda name, _data: told.append(name)  # type: ignore[method-assign]
    bench.watch()
    (project / "brief.toml").write_text(bench.opened().text + "\n# theirs\n")
    bench.watch()
    bench.watch()
    assert told == ["external"]


def test_dimensions_by_hand_keep_sizing_off(client: TestClient, small: Study) -> None:
    depth = small.frame.arm.depth_root
    body = {"edits": [{"path": "arm.depth_root", "value": f"{1e3 * depth + 4} mm"}]}
    answer = client.patch("/api/dimensions", json=body).json()
    assert answer["results"]["basis"] == "by hand"
    assert answer["results"]["sizing"] == "off"
    assert answer["results"]["solids"] == "following"
    shown = next(d for d in answer["brief"]["dimensions"] if d["path"] == "arm.depth_root")
    assert shown["by_hand"]
    assert shown["sized"] == pytest.approx(depth)
    assert shown["value"] == pytest.approx(depth + 4e-3)
    cleared = client.patch("/api/dimensions", json={"clear": True}).json()
    assert cleared["results"]["basis"] == "sized"
    assert cleared["results"]["solids"] == "current"


def test_checks_on_solids_wait_for_them(client: TestClient) -> None:
    body = {"edits": [{"path": "plate.thickness", "value": "6.4 mm"}]}
    results = client.patch("/api/dimensions", json=body).json()["results"]
    waiting = [c["key"] for c in results["checks"] if c["pending"]]
    assert "parts-overlap" in waiting
    assert "bed-arm" in waiting
    assert results["pending"] == len(waiting)
    assert sum(results["counts"].values()) == len(results["checks"]) - len(waiting)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("arm.depth_root", "5 mm"),
        ("arm.depth_root", "30"),
        ("arm.nope", "3 mm"),
        ("arm.web", "2 mm"),
    ],
)
def test_a_dimension_that_cannot_be_is_refused(client: TestClient, path: str, value: str) -> None:
    answer = client.patch("/api/dimensions", json={"edits": [{"path": path, "value": value}]})
    assert answer.status_code == 422
    assert answer.json()["error"]["problems"][0]["field"] == path
    assert client.get("/api/results").json()["basis"] == "sized"


def test_solids_follow_and_only_changed_ones_are_told(
    bench: Workbench, client: TestClient, workers: FakeWorkers
) -> None:
    workers.tasks["solids"] = lambda payload, progress, _stopped: solids_task(payload, progress)
    body = {"edits": [{"path": "plate.thickness", "value": "6.4 mm"}]}
    last = bench.events.last
    client.patch("/api/dimensions", json=body)
    (event,) = wait_for(bench, "solids", last)
    assert event["state"] == "current"
    assert event["changed"] == ["lower_plate", "upper_plate"]
    results = client.get("/api/results").json()
    assert results["solids"] == "current"
    assert results["pending"] == 0
    assert not any(c["pending"] for c in results["checks"])


def test_solids_that_cannot_be_made_are_told(
    bench: Workbench, client: TestClient, workers: FakeWorkers
) -> None:
    workers.tasks["solids"] = lambda *_asked: Failed("cannot", "a fillet failed")
    last = bench.events.last
    client.patch("/api/dimensions", json={"edits": [{"path": "arm.top", "value": "1.8 mm"}]})
    (event,) = wait_for(bench, "solids", last)
    assert event["state"] == "failed"
    assert event["message"] == "a fillet failed"
    assert client.get("/api/results").json()["solids"] == "failed"


def wait_for(bench: Workbench, name: str, after: int, seconds: float = 30.0) -> list[Any]:
    """Events of one name since ``after``, as soon as there is one."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        kept = [e for e in list(bench.events._kept) if e.number > after and e.name == name]
        if kept:
            return [json.loads(event.data) for event in kept]
        time.sleep(0.02)
    raise AssertionError(f"no event {name}")


def test_from_solids_names_checks_that_exist(small: Study) -> None:
    """Renamed keys would quietly stop waiting."""
    found = {check.key for check in small.checks if from_solids(check)}
    assert {"propeller-part-gap", "parts-overlap", "bed-arm", "bed-seat"} <= found
    computed = {c.key for c in small.checks if "solid" in c.source}
    assert computed == found
