"""Snapshots side by side; the first run."""

import json
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from refledge.inputs.brief import read_brief
from refledge.interfaces.web.security import Pass
from refledge.interfaces.web.starting import examples
from refledge.interfaces.web.workbench import Workbench
from refledge.live.compare import changes, differ
from tests.web.conftest import NEVER, FakeWorkers, client_of
from tests.web.test_editing_live import edit


def keep(client: TestClient, name: str) -> int:
    return client.post("/api/variants", json={"name": name}).status_code


def test_two_variants_are_compared(client: TestClient) -> None:
    assert keep(client, "as it was") == 200
    edit(client, "motor.mass", "94 g")
    found = client.get("/api/compare?names=as it was,now").json()
    assert found["names"] == ["as it was", "now"]
    row = next(row for row in found["rows"] if row["key"] == "all_up_mass")
    assert row["values"][1] - row["values"][0] == pytest.approx(0.06, abs=1e-7)
    assert row["changes"][1] == pytest.approx(0.06 / row["values"][0], rel=1e-6)
    assert row["change_texts"][1].startswith("+")
    assert row["differs"]
    (line,) = found["brief"]
    assert (line["path"], line["texts"]) == ("motor.mass", ["84 g", "94 g"])
    assert len(found["checks"]) > 50
    assert client.get("/api/results?variant=as it was").json()["basis"] == "sized"
    assert client.get("/api/assembly.glb?variant=as it was").content[:4] == b"glTF"


def test_a_variant_is_used_again_and_that_undone(client: TestClient, project: Path) -> None:
    keep(client, "first")
    edit(client, "motor.mass", "94 g")
    answer = client.post("/api/variants/first/use").json()
    assert answer["results"]["basis"] == "sized"
    assert answer["brief"]["undo"] == "variant first"
    assert read_brief(project / "brief.toml").motor.mass == pytest.approx(0.084)
    client.post("/api/undo")
    assert read_brief(project / "brief.toml").motor.mass == pytest.approx(0.094)


def test_dimensions_by_hand_are_kept_with_a_variant(client: TestClient) -> None:
    body = {"edits": [{"path": "plate.thickness", "value": "6.4 mm"}]}
    client.patch("/api/dimensions", json=body)
    keep(client, "thick")
    client.patch("/api/dimensions", json={"clear": True})
    again = client.post("/api/variants/thick/use").json()
    assert again["results"]["basis"] == "by hand"
    shown = {d["path"]: d["value"] for d in again["brief"]["dimensions"]}
    assert shown["plate.thickness"] == pytest.approx(6.4e-3)


def test_names_are_not_taken_twice_and_deleted_ones_are_gone(client: TestClient) -> None:
    assert keep(client, "One") == 200
    assert keep(client, "one") == 409, "the same folder"
    assert keep(client, "now") == 409, "the word for the screen"
    assert [v["name"] for v in client.get("/api/variants").json()] == ["One"]
    assert client.delete("/api/variants/One").status_code == 200
    assert client.get("/api/variants").json() == []
    assert client.delete("/api/variants/One").status_code == 404


@pytest.mark.parametrize("name", ["../../x", "/etc", "", ".hidden", "a/b"])
def test_odd_names_are_refused(client: TestClient, project: Path, name: str) -> None:
    before = sorted(path for path in project.parent.iterdir())
    assert keep(client, name) == 422
    assert client.get("/api/results", params={"variant": name or "-"}).status_code in (404, 422)
    assert sorted(path for path in project.parent.iterdir()) == before


def test_a_broken_snapshot_is_passed_over(client: TestClient, project: Path) -> None:
    keep(client, "good")
    bad = project / ".refledge" / "variants" / "bad"
    bad.mkdir()
    (bad / "variant.json").write_text("{")
    (project / ".refledge" / "variants" / "odd").mkdir()
    (project / ".refledge" / "variants" / "odd" / "variant.json").write_text(json.dumps([1]))
    assert [v["name"] for v in client.get("/api/variants").json()] == ["good"]
    assert client.post("/api/variants/bad/use").status_code == 404


def test_comparing_takes_two_or_three(client: TestClient) -> None:
    for names in ("now", "now,now", ""):
        assert client.get(f"/api/compare?names={names}").status_code == 400
    assert client.get("/api/compare?names=now,nothing").status_code == 404


def test_changes_and_differences() -> None:
    assert changes([2.0, 3.0, None]) == [None, 0.5, None]
    assert changes([0.0, 3.0]) == [None, None]
    assert not differ([1.0, 1.0001])
    assert differ([1.0, 1.01])
    assert differ([1.0, None])


@pytest.fixture
def first(tmp_path: Path, workers: FakeWorkers, gate: Pass) -> TestClient:
    """A workbench in an empty folder."""
    return client_of(Workbench(tmp_path, pause=NEVER, workers=workers), gate)  # type: ignore[arg-type]


def test_the_first_run_offers_the_examples(first: TestClient) -> None:
    state = first.get("/api/state").json()
    assert (state["file"], state["brief"], state["results"]) == (None, None, None)
    offered = first.get("/api/start").json()
    assert {"lake-sampler", "three-pairs"} <= {each["key"] for each in offered["examples"]}
    assert offered["briefs"] == []
    assert first.get("/api/brief").status_code == 404
    edit_answer = edit(first, "motor.mass", "90 g")
    assert edit_answer.status_code == 404


@pytest.mark.parametrize("key", sorted(examples()))
def test_an_example_is_copied_with_its_tables_and_opened(
    first: TestClient, tmp_path: Path, key: str
) -> None:
    state = first.post("/api/start", json={"example": key}).json()
    assert state["file"] == "brief.toml"
    assert state["results"]["basis"] == "none"
    read_brief(tmp_path / "brief.toml")
    assert (tmp_path / "propeller-11x4.7.csv").is_file()
    assert first.get("/api/start").json()["briefs"] == ["brief.toml"]


def test_a_starter_can_be_read_as_it_stands(first: TestClient, tmp_path: Path) -> None:
    assert (
        first.post("/api/start", json={"starter": True, "name": "my own.toml"}).status_code == 200
    )
    read_brief(tmp_path / "my own.toml")


def test_no_file_is_written_over(first: TestClient, tmp_path: Path) -> None:
    (tmp_path / "brief.toml").write_text("mine")
    (tmp_path / "propeller-11x4.7.csv").write_text("mine")
    for body in ({"example": "lake-sampler"}, {"starter": True}):
        assert first.post("/api/start", json=body).status_code == 409
    other = {"example": "lake-sampler", "name": "other.toml"}
    assert first.post("/api/start", json=other).status_code == 409, "the table would be lost"
    assert not (tmp_path / "other.toml").exists()
    assert {path.read_text() for path in tmp_path.iterdir()} == {"mine"}


def test_a_brief_with_faults_is_not_opened(first: TestClient, tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text('[motor]\nmass = "x"\n')
    answer = first.post("/api/start", json={"open": "bad.toml"})
    assert answer.status_code == 422
    assert answer.json()["error"]["problems"]
    assert first.get("/api/state").json()["file"] is None


def test_a_table_is_put_beside_the_brief(first: TestClient, tmp_path: Path) -> None:
    headers = {"Content-Type": "text/csv"}
    address = "/api/tables/mine.csv"
    assert first.put(address, content="rpm,CT\n1,2\n", headers=headers).status_code == 200
    assert first.put(address, content="other\n", headers=headers).status_code == 409
    assert (tmp_path / "mine.csv").read_text() == "rpm,CT\n1,2\n"
    again = first.put(f"{address}?replace=true", content="other\n", headers=headers)
    assert again.status_code == 200
    assert (tmp_path / "mine.csv").read_text() == "other\n"
