"""Edits over HTTP: time from the number sent to the verdict answered, memory, many pages at once.

Run: .venv/bin/python benchmarks/live_edit.py [edits, edits for memory]
"""

import os
import platform
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import httpx
import psutil

DEMO = Path(__file__).parents[1] / "examples" / "lake-sampler"
EDITS = 200
LONG = 1000
CLIENTS = 20
SOLIDS = 5
SERVE = "from refledge.interfaces.cli import main; main()"


class Page:
    """One client of the server."""

    def __init__(self, address: str) -> None:
        self.http = httpx.Client(base_url=address, timeout=120.0)
        token = re.search(r'refledge-token" content="([^"]+)"', self.http.get("/").text)
        assert token, "no token in the page"
        self.http.headers["X-Refledge-Token"] = token[1]

    def get(self, path: str) -> Any:
        return self.http.get(path).json()

    def mass(self, grams: float) -> float:
        """Seconds for one edit of the brief."""
        return self._timed("/api/brief", "motor.mass", f"{grams:.3f} g")

    def depth(self, millimetres: float) -> float:
        """Seconds for one edit of a dimension."""
        return self._timed("/api/dimensions", "arm.depth_root", f"{millimetres:.3f} mm")

    def _timed(self, address: str, path: str, value: str) -> float:
        body = {"edits": [{"path": path, "value": value}]}
        begun = time.perf_counter()
        answer = self.http.patch(address, json=body)
        taken = time.perf_counter() - begun
        assert answer.status_code == 200, answer.text
        assert answer.json()["results"]["verdict"] != "cannot say"
        return taken


def main() -> None:
    count, long = [int(each) for each in sys.argv[1:3]] or [EDITS, LONG]
    with tempfile.TemporaryDirectory() as folder:
        project = Path(folder) / "lake"
        shutil.copytree(DEMO, project)
        command = [sys.executable, "-c", SERVE, "serve", str(project / "brief.toml"), "--port", "0"]
        with subprocess.Popen([*command, "--no-open"], stdout=subprocess.PIPE, text=True) as server:
            try:
                assert server.stdout is not None
                address = re.search(r"http://[0-9.:]+", server.stdout.readline())
                assert address, "the server did not start"
                measure(address[0], server.pid, count, long)
            finally:
                server.terminate()


def measure(address: str, pid: int, count: int, long: int) -> None:
    """All figures, one line each."""
    print(f"{platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, Python "
          f"{sys.version.split()[0]}")  # fmt: skip
    page = opened(address)
    begun = time.perf_counter()
    while page.get("/api/results")["basis"] != "sized":
        time.sleep(0.2)
    print(f"first design      {time.perf_counter() - begun:8.1f} s")
    before = psutil.Process(pid).cpu_times()
    told("edit of the brief", [page.mass(84 + 0.01 * k) for k in range(1, count + 1)])
    after = psutil.Process(pid).cpu_times()
    each = 1e3 * (after.user + after.system - before.user - before.system) / count
    print(f"  of which server {each:8.0f} ms of one core's time, whatever else ran")
    told("edit by hand", [page.depth(32 + 0.001 * k) for k in range(1, count + 1)])
    told("solids follow", [followed(page, 32.5 + 0.2 * k) for k in range(SOLIDS)])
    together(address)
    memory(page, pid, long)


def opened(address: str) -> Page:
    end = time.monotonic() + 60.0
    while True:
        try:
            return Page(address)
        except httpx.ConnectError:
            if time.monotonic() > end:
                raise
            time.sleep(0.1)


def told(name: str, taken: list[float]) -> None:
    worst = sorted(taken)[int(0.95 * (len(taken) - 1))]
    middle, load = 1e3 * statistics.median(taken), os.getloadavg()[0]
    print(
        f"{name:<18}{middle:8.0f} ms median, {1e3 * worst:.0f} ms at 95 %, "
        f"{len(taken)} times, load {load:.1f}",
        flush=True,
    )


def followed(page: Page, depth: float) -> float:
    """Seconds from an edit by hand to the new solids."""
    while page.get("/api/results")["solids"] != "current":
        time.sleep(0.05)
    begun = time.perf_counter()
    page.depth(depth)
    while page.get("/api/assembly")["solids"] != "current":
        time.sleep(0.02)
    return time.perf_counter() - begun


def together(address: str) -> None:
    """Twenty pages, each reading everything and editing once."""

    def work(number: int) -> float:
        page = Page(address)
        begun = time.perf_counter()
        for path in ("/api/state", "/api/shapes", "/api/assembly"):
            assert page.http.get(path).status_code == 200
        page.depth(33 + 0.01 * number)
        return time.perf_counter() - begun

    with ThreadPoolExecutor(CLIENTS) as pool:
        told(f"{CLIENTS} pages at once", list(pool.map(work, range(CLIENTS))))


def memory(page: Page, pid: int, long: int) -> None:
    """Resident memory of the server over many edits."""
    process = psutil.Process(pid)
    sizes = []
    for k in range(long + 1):
        page.depth(32 + 0.001 * (k % 500))
        if k % (long // 5) == 0:
            sizes.append(f"{process.memory_info().rss / 2**20:.0f}")
    print(f"memory            {' '.join(sizes)} MiB over {long} edits")


if __name__ == "__main__":
    main()
