"""Every refusal of the local server: forged Host, Origin, token, path; sizes, types, traces."""

import json
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from refledge.interfaces.web.application import create_app
from refledge.interfaces.web.documents import Documents
from refledge.interfaces.web.page import BUILT
from refledge.interfaces.web.routes import Routes
from refledge.interfaces.web.security import MOST_JSON, MOST_TABLE, POLICY, TOKEN, Pass
from refledge.interfaces.web.variants import Variants
from refledge.interfaces.web.workbench import Workbench
from tests.web.conftest import PORT

CHANGES = (
    ("PATCH", "/api/brief", {"edits": [{"path": "motor.mass", "value": "90 g"}]}),
    ("PUT", "/api/brief/text", {"text": ""}),
    ("POST", "/api/undo", {}),
    ("POST", "/api/jobs", {"kind": "design"}),
    ("POST", "/api/start", {"example": "lake-sampler", "name": "x.toml"}),
    ("POST", "/api/variants", {"name": "x"}),
    ("DELETE", "/api/variants/x", None),
    ("GET", "/api/state", None),
    ("GET", "/api/events", None),
    ("GET", "/api/build.zip", None),
)


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", f"evil.example:{PORT}", "", "127.0.0.1:1"]
)
def test_a_forged_host_is_refused(client: TestClient, host: str) -> None:
    for path in ("/", "/api/state"):
        answer = client.get(path, headers={"Host": host})
        assert answer.status_code == 403
        assert "refledge-token" not in answer.text


@pytest.mark.parametrize("origin", ["https://evil.example", "null", f"http://127.0.0.1:{PORT + 1}"])
@pytest.mark.parametrize(("method", "path", "body"), CHANGES)
def test_a_forged_origin_is_refused(
    bench: Workbench,
    client: TestClient,
    project: Path,
    origin: str,
    method: str,
    path: str,
    body: object,
) -> None:
    bench.events.close()  # were it let in, its stream would never end
    before = (project / "brief.toml").read_bytes()
    answer = client.request(method, path, json=body, headers={"Origin": origin})
    assert answer.status_code == 403
    assert answer.json()["error"]["kind"] == "refused"
    assert (project / "brief.toml").read_bytes() == before


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_another_page_of_this_browser_is_refused(client: TestClient, site: str) -> None:
    assert client.get("/", headers={"Sec-Fetch-Site": site}).status_code == 403


def test_our_own_page_is_answered(client: TestClient) -> None:
    own = {"Origin": f"http://127.0.0.1:{PORT}", "Sec-Fetch-Site": "same-origin"}
    assert client.get("/api/state", headers=own).status_code == 200
    localhost = {"Host": f"localhost:{PORT}", "Origin": f"http://localhost:{PORT}"}
    assert client.get("/api/state", headers=localhost).status_code == 200


@pytest.mark.parametrize("token", ["", "wrong", "é"])
@pytest.mark.parametrize(("method", "path", "body"), CHANGES)
def test_without_the_token_nothing_is_answered(
    bench: Workbench, client: TestClient, token: str, method: str, path: str, body: object
) -> None:
    bench.events.close()
    headers = [(TOKEN.encode(), token.encode())]
    del client.headers[TOKEN]
    answer = client.request(method, path, json=body, headers=headers)
    assert answer.status_code == 401
    assert answer.json()["error"]["kind"] == "token"


def test_every_address_under_api_wants_the_token(client: TestClient, bench: Workbench) -> None:
    """Also those that this file does not name."""
    router = Routes(Documents(bench, Variants(bench.folder)), "key").router
    paths = [route.path for route in router.routes if route.path.startswith("/api")]
    assert len(paths) > 25
    bench.events.close()
    del client.headers[TOKEN]
    for path in paths:
        for method in ("GET", "POST", "PUT", "PATCH", "DELETE"):
            assert client.request(method, path).status_code == 401, (method, path)


def test_tokens_are_new_at_every_start_and_stay_out_of_words() -> None:
    one, other = Pass(PORT), Pass(PORT)
    assert one.token != other.token
    assert len(one.token) >= 40
    assert one.token not in repr(one)


def test_the_page_carries_the_token_and_allows_no_inline_script(
    client: TestClient, gate: Pass
) -> None:
    answer = client.get("/")
    assert f'name="refledge-token" content="{gate.token}"' in answer.text
    assert answer.headers["content-security-policy"] == POLICY
    rules = dict(rule.split(" ", 1) for rule in POLICY.split("; "))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == "'self'"
    assert rules["frame-ancestors"] == "'none'"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["cache-control"] == "no-store"


@pytest.mark.parametrize(
    "path",
    [
        "/../pyproject.toml", "/assets/../../page.py", "/%2e%2e/page.py", "/..%2fpage.py",
        "/assets/%2e%2e/%2e%2e/security.py", "//etc/passwd", "/page.py",
    ],
)  # fmt: skip
def test_paths_out_of_the_page_are_refused(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code in (403, 404)
    assert "import" not in answer.text


@pytest.mark.parametrize(
    "name", ["../secret.toml", "/etc/passwd", "sub/../../secret.toml", "link.toml", "a\0.toml"]
)
def test_briefs_outside_the_project_are_refused(
    client: TestClient, project: Path, name: str
) -> None:
    (project.parent / "secret.toml").write_text("title = 'secret'")
    (project / "link.toml").symlink_to(project.parent / "secret.toml")
    answer = client.post("/api/start", json={"open": name})
    assert answer.status_code == 403
    assert "secret" not in answer.text


@pytest.mark.parametrize("name", ["..%2fx.csv", "x.toml", "brief.toml", ".x.csv", "x.csv.sh"])
def test_tables_are_csv_inside_the_project(client: TestClient, project: Path, name: str) -> None:
    before = sorted(project.parent.rglob("*"))
    headers = {"Content-Type": "text/csv"}
    answer = client.put(f"/api/tables/{name}", content="a,b\n", headers=headers)
    assert answer.status_code in (403, 404, 405, 422)
    assert sorted(project.parent.rglob("*")) == before


def test_long_bodies_are_refused(client: TestClient) -> None:
    text = json.dumps({"text": "x" * MOST_JSON})
    headers = {"Content-Type": "application/json"}
    answer = client.put("/api/brief/text", content=text, headers=headers)
    assert answer.status_code == 413
    table = {"Content-Type": "text/csv"}
    answer = client.put("/api/tables/x.csv", content="x" * (MOST_TABLE + 1), headers=table)
    assert answer.status_code == 413


def test_a_body_that_hides_its_length_is_cut_off(client: TestClient) -> None:
    pieces = (b"x" * 65536 for _ in range(MOST_JSON // 65536 + 2))
    headers = {"Content-Type": "application/json"}
    answer = client.put("/api/brief/text", content=pieces, headers=headers)
    assert answer.status_code == 413


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "text/html", ""]
)
def test_other_types_of_body_are_refused(client: TestClient, kind: str) -> None:
    """Those are what a foreign form can send without asking first."""
    answer = client.post("/api/jobs", content='{"kind": "design"}', headers={"Content-Type": kind})
    assert answer.status_code == 415


def test_a_table_must_be_text(client: TestClient) -> None:
    headers = {"Content-Type": "text/csv"}
    assert client.put("/api/tables/x.csv", content=b"\xff\xfe", headers=headers).status_code == 415
    wrong = {"Content-Type": "application/octet-stream"}
    assert client.put("/api/tables/x.csv", content=b"a", headers=wrong).status_code == 415


@pytest.mark.parametrize("body", ["{", "[]", "3", '{"kind": 3}', '{"kind": "design", "x": 1}', ""])
def test_odd_bodies_are_told_so(client: TestClient, body: str) -> None:
    headers = {"Content-Type": "application/json"}
    answer = client.post("/api/jobs", content=body, headers=headers)
    assert answer.status_code == 400
    assert answer.json()["error"]["kind"] == "request"


def test_a_fault_of_ours_shows_no_trace(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_documents: Documents) -> None:
        raise RuntimeError("secret /home/somebody")

    monkeypatch.setattr(Documents, "tables", broken)
    app_client = rebuilt(client)
    answer = app_client.get("/api/tables")
    assert answer.status_code == 500
    assert answer.json()["error"]["kind"] == "fault"
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text


def rebuilt(client: TestClient) -> TestClient:
    """A client of a fresh application, whose routes see what was patched."""
    token, port = client.headers[TOKEN], PORT
    bench = client.app.state.bench
    return TestClient(
        create_app(bench, Pass(port, token)),
        base_url=f"http://127.0.0.1:{port}",
        headers={TOKEN: token},
        raise_server_exceptions=False,
    )


def test_only_reading_outside_api(client: TestClient) -> None:
    assert client.post("/").status_code == 405
    assert client.delete("/index.html").status_code == 405


def test_there_is_no_description_of_the_interface_to_browse(client: TestClient) -> None:
    assert all(client.get(path).status_code == 404 for path in ("/docs", "/openapi.json"))


def test_without_a_built_page_it_says_how_to_build_it(
    client: TestClient, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr("refledge.interfaces.web.page.BUILT", tmp_path)
    answer = client.get("/")
    assert answer.status_code == 200
    assert "make page" in answer.text
    assert "<script" not in answer.text
    assert BUILT.name == "page"
