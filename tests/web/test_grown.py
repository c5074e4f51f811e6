"""The arm grown in the workbench: what is asked, what may be seen of it."""

import inspect
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from refledge.interfaces.commands.shape import shape
from refledge.interfaces.web.shape_options import DEFAULTS, shape_asked
from tests.web.conftest import FakeWorkers
from tests.web.test_jobs import until


def _start(client: TestClient, **options: Any) -> Any:
    return client.post("/api/jobs", json={"kind": "shape", "options": options})


def test_what_is_asked_reaches_the_job_with_a_folder_of_its_own(
    client: TestClient, workers: FakeWorkers
) -> None:
    given: list[Any] = []
    workers.tasks["shape"] = lambda payload, *_rest: given.append(payload) or {"rows": []}
    assert _start(client, voxel="2 mm", iterations="25", solved="yes").status_code == 202
    until(lambda: client.get("/api/jobs").json()[-1]["state"] == "done")
    study, _, folder, (wish, solved) = given[0]
    assert solved
    assert (wish.voxel, wish.iterations) == (pytest.approx(2e-3), 25)
    assert study.frame
    assert Path(folder).parent.name == "build"
    assert Path(folder).name.endswith("-grown-arm")


@pytest.mark.parametrize(
    ("options", "field"),
    [({"voxel": "1"}, "voxel"), ({"voxel": "9 mm"}, "voxel"), ({"iterations": "4"}, "iterations"),
     ({"iterations": "many"}, "iterations"), ({"solved": "perhaps"}, "solved")],
)  # fmt: skip
def test_a_wrong_wish_is_told_at_its_field(
    client: TestClient, options: dict[str, Any], field: str
) -> None:
    answer = _start(client, **options)
    assert answer.status_code == 422
    (problem,) = answer.json()["error"]["problems"]
    assert (problem["field"], problem["where"]) == (field, "the page")


@pytest.mark.parametrize("options", [{"iterations": 30}, {"seed": "1"}, {"voxel": 1.5}])
def test_options_of_a_wrong_form_are_refused(client: TestClient, options: dict[str, Any]) -> None:
    assert _start(client, **options).status_code == 400


def test_the_page_grows_for_as_many_steps_as_the_command() -> None:
    steps = inspect.signature(shape).parameters["iterations"].default
    wish, solved = shape_asked({})
    assert int(DEFAULTS["iterations"]) == steps == wish.iterations
    assert not solved


def test_only_its_own_pictures_are_shown(client: TestClient, workers: FakeWorkers) -> None:
    folders: list[str] = []
    workers.tasks["shape"] = lambda payload, *_rest: folders.append(payload[2]) or {"rows": []}
    assert client.get("/api/grown/growing.png").status_code == 404
    _start(client)
    until(lambda: bool(folders))
    folder = Path(folders[0])
    folder.mkdir(parents=True)
    for name in ("growing.png", "shape.json"):
        (folder / name).write_bytes(b"picture")
    found = client.get("/api/grown/growing.png")
    assert (found.content, found.headers["content-type"]) == (b"picture", "image/png")
    for name in ("shape.json", "..%2F..%2Fbrief.toml", "present.png"):
        assert client.get(f"/api/grown/{name}").status_code == 404
