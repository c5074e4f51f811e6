"""A real server in a process of its own: the whole way from the file to the build and back."""

import contextlib
import io
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import psutil
import pytest
from typer.testing import CliRunner

from refledge.interfaces.cli import app
from refledge.interfaces.web.security import TOKEN
from tests.web.conftest import EXAMPLE, WISH

pytestmark = pytest.mark.slow
PATIENCE = 240.0
"""s; a design takes 5 to 10 on a quiet machine, many times that on a loaded one."""


class Server:
    """``refledge serve`` and a page's worth of asking."""

    def __init__(self, brief: Path) -> None:
        start = [sys.executable, "-c", "from refledge.interfaces.cli import main; main()"]
        command = [*start, "serve", str(brief), "--port", "0", "--no-open"]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        said = self.process.stdout.readline()
        match = re.search(r"http://127\.0\.0\.1:(\d+)/", said)
        assert match, said
        self.port = int(match[1])
        self.http = httpx.Client(base_url=f"http://127.0.0.1:{self.port}", timeout=60.0)
        self._take_token()

    def _take_token(self) -> None:
        end = time.monotonic() + 30.0
        while True:
            try:
                page = self.http.get("/").text
                break
            except httpx.ConnectError:
                assert time.monotonic() < end
                time.sleep(0.1)
        token = re.search(r'refledge-token" content="([^"]+)"', page)
        assert token
        self.http.headers[TOKEN] = token[1]

    def get(self, path: str) -> Any:
        return self.http.get(path).json()

    def wait(self, true: Any) -> Any:
        end = time.monotonic() + PATIENCE
        while not (found := true()):
            assert time.monotonic() < end, self.get("/api/jobs")
            time.sleep(0.2)
        return found

    def sized(self) -> Any:
        """Results, once they are a full design's."""

        def look() -> Any:
            results = self.get("/api/results")
            assert results["sizing"] != "failed", results
            return results if results["basis"] == "sized" else None

        return self.wait(look)

    def job(self, kind: str) -> Any:
        number = self.http.post("/api/jobs", json={"kind": kind}).json()["id"]
        return self.wait(
            lambda: next(
                (j for j in self.get("/api/jobs") if j["id"] == number and j["state"] != "running"),
                None,
            )
        )

    def stop(self) -> int:
        self.http.close()
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(30)


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("served") / "lake"
    shutil.copytree(EXAMPLE, folder)
    text = (EXAMPLE / "brief.toml").read_text(encoding="utf-8") + WISH
    (folder / "brief.toml").write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def server(project: Path) -> Iterator[Server]:
    found = Server(project / "brief.toml")
    yield found
    if found.process.poll() is None:
        found.stop()


def test_it_listens_on_the_loopback_address_only(server: Server) -> None:
    listens = [
        each
        for each in psutil.Process(server.process.pid).net_connections("tcp")
        if each.status == psutil.CONN_LISTEN
    ]
    assert {each.laddr.ip for each in listens} == {"127.0.0.1"}
    others = {a[4][0] for a in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
    for address in others - {"127.0.0.1"}:
        with contextlib.closing(socket.socket()) as sock:
            assert sock.connect_ex((address, server.port)) != 0


def test_the_page_and_the_command_line_say_the_same(server: Server, project: Path) -> None:
    server.sized()
    body = {"edits": [{"path": "motor.mass", "value": "90 g"}]}
    answer = server.http.patch("/api/brief", json=body)
    assert answer.json()["results"]["basis"] == "held"
    results = server.sized()
    out = project.parent / "by-command-line"
    done = CliRunner().invoke(
        app, ["design", str(project / "brief.toml"), "--out", str(out), "--json"]
    )
    told = json.loads(done.stdout)
    figures = {each["key"]: each["value"] for each in results["figures"]}
    assert figures["all_up_mass"] == told["all_up_mass_kg"]
    assert figures["frame_mass"] == told["frame_mass_kg"]
    assert figures["hover_time"] == told["hover_time_s"]
    assert figures["first_mode_arm"] == told["arm_modes_Hz"][0]
    assert figures["first_mode_airframe"] == told["airframe_modes_Hz"][0]
    assert results["verdict"] == told["verdict"]
    by_verdict: dict[str, list[str]] = {verdict: [] for verdict in told["checks"]}
    for check in results["checks"]:
        by_verdict[check["verdict"]].append(check["key"])
    assert by_verdict == told["checks"]


def test_solids_follow_a_dimension(server: Server) -> None:
    server.sized()
    begun = time.monotonic()
    body = {"edits": [{"path": "plate.thickness", "value": "6.4 mm"}]}
    server.http.patch("/api/dimensions", json=body)
    server.wait(lambda: server.get("/api/results")["solids"] == "current")
    print(f"solids after {time.monotonic() - begun:.1f} s")
    assert server.get("/api/results")["pending"] == 0
    server.http.patch("/api/dimensions", json={"clear": True})
    assert server.get("/api/results")["basis"] == "sized"


def test_a_job_is_cancelled_and_its_process_is_gone(server: Server) -> None:
    server.sized()
    parent = psutil.Process(server.process.pid)
    started = server.http.post("/api/jobs", json={"kind": "verify"}).json()
    server.wait(lambda: any(j["what"] for j in server.get("/api/jobs") if j["id"] == started["id"]))
    server.wait(lambda: solver(parent))
    before, solving = parent.children(), solver(parent)
    ended = server.http.delete(f"/api/jobs/{started['id']}").json()
    assert ended["state"] == "cancelled"
    _, alive = psutil.wait_procs([*before, *solving], timeout=10)
    assert len(alive) == len(before) - 1, "one process gone, and all that it had started"
    assert not set(alive) & set(solving)


def solver(parent: psutil.Process) -> list[psutil.Process]:
    """Processes that a job of ``parent`` has started in its turn."""
    direct = parent.children()
    return [each for each in parent.children(recursive=True) if each not in direct]


def test_events_survive_a_reload(server: Server) -> None:
    """What came while nobody looked comes again."""
    last = server.get("/api/state")["last_event"]
    server.http.patch("/api/brief", json={"edits": [{"path": "motor.mass", "value": "91 g"}]})
    server.http.post("/api/undo")
    found = []
    with server.http.stream("GET", f"/api/events?after={last}") as stream:
        for line in stream.iter_lines():
            found += [line] if line.startswith("event: ") else []
            if len(found) >= 2:
                break
    assert set(found) <= {"event: results", "event: job", "event: solids"}
    assert "event: results" in found


def test_a_build_is_written_and_downloaded(server: Server, project: Path) -> None:
    server.sized()
    job = server.job("build")
    assert job["state"] == "done", job["error"]
    result = server.get(f"/api/jobs/{job['id']}/result")
    assert (project / result["folder"] / "report.html").is_file()
    packed = zipfile.ZipFile(io.BytesIO(server.http.get("/api/build.zip").content))
    assert packed.testzip() is None
    names = {name.split("/", 1)[1] for name in packed.namelist()}
    assert set(result["files"]) <= names
    assert {"repair.json", "print-plan.html", "plates/plate-1.3mf"} <= names
    report = server.http.get(result["report"], headers={TOKEN: ""})
    assert report.status_code == 200
    assert "script-src" not in report.headers["content-security-policy"]
    assert "default-src 'none'" in report.headers["content-security-policy"]
    wrong = re.sub(r"/build/[^/]+/", "/build/guess/", result["report"])
    assert server.http.get(wrong).status_code == 404
    out_of_it = result["report"].replace("report.html", "%2e%2e/%2e%2e/brief.toml")
    assert server.http.get(out_of_it).status_code in (403, 404)


def test_a_taken_port_is_told_plainly(server: Server, project: Path) -> None:
    done = CliRunner().invoke(
        app, ["serve", str(project / "brief.toml"), "--port", str(server.port)]
    )
    assert done.exit_code == 2
    assert "--port 0" in done.stderr


def test_a_brief_with_faults_is_told_plainly(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text('[motor]\nmass = "x"\n')
    done = CliRunner().invoke(app, ["serve", str(tmp_path / "bad.toml"), "--no-open"])
    assert done.exit_code == 2
    assert "motor.mass" in done.stderr


def test_stopping_leaves_no_process_behind(server: Server) -> None:
    children = psutil.Process(server.process.pid).children(recursive=True)
    assert children
    assert server.stop() in (0, 130, -signal.SIGINT)
    gone, alive = psutil.wait_procs(children, timeout=10)
    assert not alive, [each.cmdline() for each in alive]
    assert len(gone) == len(children)
    assert os.name == "posix"
