"""What breaks first and the project's log, as the page asks for them."""

import inspect
import json
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient
from typer.testing import CliRunner

from refledge.errors import InputError
from refledge.interfaces import crashing
from refledge.interfaces.cli import app
from refledge.interfaces.commands.crash import crash
from refledge.interfaces.web.crash_options import DEFAULTS, crash_asked
from refledge.interfaces.web.tasks import crash_task
from refledge.outputs.crash_files import crash_json
from refledge.store.logbook import Logbook
from refledge.study import Study
from tests.web.conftest import FakeWorkers
from tests.web.test_jobs import until


def _start(client: TestClient, **options: Any) -> Any:
    return client.post("/api/jobs", json={"kind": "crash", "options": options})


def write(client: TestClient, form: str, **values: str) -> Any:
    return client.post("/api/logbook", json={"form": form, "values": values})


# ---- what breaks first ----


def test_what_is_asked_reaches_the_job(client: TestClient, workers: FakeWorkers) -> None:
    given: list[Any] = []
    workers.tasks["crash"] = lambda payload, *_rest: given.append(payload) or {"kinds": []}
    answer = _start(client, **{"speed": "18 km/h", "samples": 60, "weak-link": "leg"})
    assert answer.status_code == 202
    until(lambda: client.get("/api/jobs").json()[-1]["state"] == "done")
    study, path, asked = given[0]
    assert (asked.speed, asked.samples, asked.link) == (pytest.approx(5.0), 60, "leg")
    assert path.endswith("brief.toml")
    assert study.frame
    number = client.get("/api/jobs").json()[-1]["id"]
    assert client.get(f"/api/jobs/{number}/result").json() == {"kinds": []}


@pytest.mark.parametrize(
    ("options", "field"),
    [
        ({"speed": "5"}, "speed"),
        ({"speed": "90 m/s"}, "speed"),
        ({"weak-link": "battery"}, "weak-link"),
        ({"service": "120 %"}, "service"),
        ({"flying": "long"}, "flying"),
        ({"samples": 5}, "samples"),
        ({"samples": "many"}, "samples"),
    ],
)
def test_a_wrong_wish_is_told_at_its_field(
    client: TestClient, options: dict[str, Any], field: str
) -> None:
    answer = _start(client, **options)
    assert answer.status_code == 422
    (problem,) = answer.json()["error"]["problems"]
    assert (problem["field"], problem["where"]) == (field, "the page")
    assert client.get("/api/jobs").json() == []


@pytest.mark.parametrize(
    "options", [{"samples": 40.5}, {"samples": True}, {"seed": 1}, {"speed": 5}]
)
def test_options_of_a_wrong_form_are_refused(client: TestClient, options: dict[str, Any]) -> None:
    assert _start(client, **options).status_code == 400
    other = client.post("/api/jobs", json={"kind": "layouts", "options": {"speed": "5 m/s"}})
    assert other.status_code == 400


def test_the_page_asks_by_default_what_the_command_asks() -> None:
    names = {"speed": "speed", "samples": "samples", "weak-link": "link", "flying": "flying",
             "service": "service"}  # fmt: skip
    command = inspect.signature(crash).parameters
    assert {name: command[own].default for name, own in names.items()} == dict(DEFAULTS)
    assert crash_asked({}).seed == command["seed"].default


def test_page_and_command_have_the_same_figures(small: Study, project: Path) -> None:
    told: list[float] = []
    asked = crash_asked({"samples": 20, "weak-link": "leg"})
    found = crashing.crashed(
        small, asked, project / "brief.toml", None, lambda _what, share: told.append(share)
    )
    document = json.loads(crash_json(small, found))
    payload = (small, str(project / "brief.toml"), asked)
    page = crash_task(payload, lambda _what, _share: None)
    json.dumps(page, allow_nan=False)
    assert told == sorted(told)
    for case, shown in zip(document["cases"], page["cases"], strict=True):
        assert (case["key"], case["share"], case["nothing"]) == pytest.approx(
            (shown["key"], shown["share"], shown["nothing"])
        )
        for toll in shown["tolls"]:
            copies = case["copies"][toll["kind"]]
            assert toll["breaks"] == pytest.approx(1 - copies[0])
    assert document["tolls"] == page["tolls"]
    tries = document["weak_link"]["tries"]
    for each, shown in zip(tries, page["link"]["tries"], strict=True):
        assert shown["flight_margin"] == pytest.approx(each["flight_margin"])
        assert shown["landing_margin"] == pytest.approx(each["landing_margin"])
    assert page["spares"]["service"] == pytest.approx(document["spares"][-1]["service"])
    speeds = [each["speed"] for each in page["cases"][0]["energy"]["order"]]
    assert speeds[:2] == sorted(speeds[:2])


# ---- the log ----


def test_without_a_log_there_are_forms_to_begin_one(client: TestClient, project: Path) -> None:
    found = client.get("/api/logbook").json()
    assert (found["summary"], found["entries"]) == (None, [])
    assert [form["key"] for form in found["forms"]][:2] == ["flight", "crash"]
    assert not (project / "bench.sqlite").exists(), "looking must not make a file"


def test_what_the_page_writes_the_command_reads(client: TestClient, project: Path) -> None:
    assert write(client, "on", serial="A1", part="arm", place="arm 1").status_code == 200
    write(client, "flight", time="30 min", note="calm")
    answer = write(client, "crash", case="arm-tip", speed="4 m/s", broke="arm A1, leg").json()
    assert "2 damaged" in answer["said"]
    summary = answer["logbook"]["summary"]
    said = CliRunner().invoke(app, ["log", "show", "--store", str(project), "--json"])
    assert json.loads(said.stdout) == summary
    assert (summary["flown_s"], summary["crashes"]) == (1800.0, 1)
    (life,) = summary["lives"]
    assert (life["serial"], life["seconds"], life["why"]) == ("A1", 1800.0, "crash")
    texts = [each["text"] for each in answer["logbook"]["entries"]]
    assert "arm-tip at 4.00 m/s" in texts
    assert any(text.startswith("arm A1 broken") for text in texts)


def test_a_struck_entry_stays_readable_and_no_longer_counts(client: TestClient) -> None:
    write(client, "flight", time="30 min")
    number = client.get("/api/logbook").json()["entries"][0]["number"]
    found = write(client, "strike", number=str(number), why="another craft").json()["logbook"]
    assert found["summary"]["flights"] == 0
    line = next(each for each in found["entries"] if each["number"] == number)
    assert line["struck"] == "another craft"


@pytest.mark.parametrize(
    ("form", "values", "field"),
    [
        ("flight", {}, "time"),
        ("flight", {"time": "12"}, "time"),
        ("crash", {"case": "sideways"}, "case"),
        ("print", {"part": "arm", "time": "3 h", "copies": "two"}, "copies"),
        ("print", {"part": "arm", "time": "3 h", "serial": "A1, A2"}, "serial"),
    ],
)
def test_a_wrong_value_is_told_at_its_field_and_nothing_is_written(
    client: TestClient, form: str, values: dict[str, str], field: str
) -> None:
    answer = write(client, form, **values)
    assert answer.status_code == 422
    assert answer.json()["error"]["problems"][0]["field"] == field
    assert client.get("/api/logbook").json()["entries"] == []


def test_what_the_log_does_not_allow_is_said(client: TestClient) -> None:
    answer = write(client, "off", serial="A9", why="sound")
    assert answer.status_code == 422
    assert "A9 is not on the aircraft" in answer.json()["error"]["message"]


def test_forms_are_strict(client: TestClient) -> None:
    assert write(client, "song", time="1 h").status_code == 400
    assert write(client, "flight", time="1 h", store="/etc").status_code == 400
    body = {"form": "flight", "values": {"time": 5}}
    assert client.post("/api/logbook", json=body).status_code == 400
    assert write(client, "flight", time="1 h", note="x" * 3000).status_code == 413


def test_every_form_can_be_written(client: TestClient, project: Path) -> None:
    entries = [
        ("print", {"part": "arm", "time": "3.6 h", "mass": "82 g", "serial": "A1", "copies": "1"}),
        ("on", {"serial": "A1", "part": "arm", "flown": "2 h", "date": "2026-05-03T10:00"}),
        ("look", {"serial": "A1", "finding": "white mark"}),
        ("repair", {"part": "arm", "old": "A1", "new": "A2", "time": "40 min"}),
        ("off", {"serial": "A2", "why": "wear"}),
    ]
    for form, values in entries:
        answer = write(client, form, **values)
        assert answer.status_code == 200, answer.text
    with Logbook(project) as book:
        kinds = [each.kind for each in book.entries()]
    assert sorted(kinds) == sorted(["fitted", "print", "inspected", "repair", "removed", "fitted",
                                    "removed"])  # fmt: skip


def test_other_pages_hear_of_an_entry(client: TestClient, bench: Any) -> None:
    last = bench.events.last
    write(client, "flight", time="5 min")
    assert bench.events.last == last + 1
    assert "flight of 5 min" in client.get("/api/log").json()["entries"][0]["text"]


def test_a_refusal_keeps_the_command_line_out_of_its_words() -> None:
    with pytest.raises(InputError) as caught:
        crash_asked({"speed": "fast"})
    assert "--" not in str(caught.value)
