"""A real workbench and a real browser: one of each for all tests, a fresh page for every test."""

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Browser, Page, Playwright, expect, sync_playwright

from refledge.interfaces.web.page import BUILT

EXAMPLE = Path(__file__).parents[1] / "briefs" / "lake-sampler"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = ["--no-sandbox", "--enable-unsafe-swiftshader"]
"""No sandbox inside containers; WebGL in software where there is no graphics card, all else as
Chromium has it by itself then: pages laid together by SwiftShader too cost it two cores."""
expect.set_options(timeout=30_000)  # two cores, and other tests beside this one
BRIEF = (EXAMPLE / "brief.toml").read_text(
    encoding="utf-8"
) + '\n[frame]\nmaterial = "ASA"\narm_family = "box"\n'
"""The example in one family and one material: sized in seconds, again and again. The example as it
stands is sized in test_job.py."""
SIZED = 240_000
"""ms within which a first sizing has ended, on a machine that has other work too."""
ROOT = Path(__file__).parent
COMMAND = str(Path(sys.executable).parent / "refledge")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """All of them start a server and a browser, so all are slow."""
    for item in items:
        if ROOT in item.path.parents:
            item.add_marker(pytest.mark.slow)


@dataclass(frozen=True)
class Workbench:
    """A server of its own process, and what it works on."""

    address: str
    folder: Path

    @property
    def brief(self) -> Path:
        return self.folder / "brief.toml"

    @property
    def token(self) -> str:
        found = re.search(r'name="refledge-token" content="([^"]+)"', httpx.get(self.address).text)
        assert found
        return found[1]

    def ask(self, method: str, path: str, **more: object) -> httpx.Response:
        """A request as the page makes it."""
        head = {"X-Refledge-Token": self.token}
        return httpx.request(method, self.address + path, headers=head, timeout=60, **more)  # type: ignore[arg-type]

    def restore(self) -> None:
        """The text of the start again, no dimension set by hand."""
        if self.brief.read_text(encoding="utf-8") != self.ask("GET", "/api/brief").json()["text"]:
            self.ask("POST", "/api/brief/resolve", json={"keep": "theirs"}).raise_for_status()
        now = self.ask("GET", "/api/brief").json()
        if any(each["by_hand"] for each in now["dimensions"]):
            self.ask("PATCH", "/api/dimensions", json={"clear": True}).raise_for_status()
        if now["text"] != BRIEF:  # else the frame that is there need not be sized again
            self.ask("PUT", "/api/brief/text", json={"text": BRIEF}).raise_for_status()


def start_workbench(folder: Path, *brief: str) -> tuple[subprocess.Popen[str], Workbench]:
    """``refledge serve`` in ``folder`` on a free port."""
    process = subprocess.Popen(
        [COMMAND, "serve", *brief, "--port", "0", "--no-open"],
        cwd=folder,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "OMP_NUM_THREADS": "1", "PYTHONUNBUFFERED": "1"},
    )
    assert process.stdout
    for line in process.stdout:
        found = re.search(r"http://127\.0\.0\.1:\d+", line)
        if found:
            _wait_listening(found[0])
            return process, Workbench(found[0], folder)
    raise AssertionError("the workbench ended before it said where it is")


def _wait_listening(address: str) -> None:
    """It says where it will be a moment before it listens there."""
    for _ in range(100):
        try:
            httpx.get(address)
            return
        except httpx.ConnectError:
            time.sleep(0.1)
    raise AssertionError(f"nothing listens at {address}")


def stop_workbench(process: subprocess.Popen[str]) -> None:
    process.send_signal(signal.SIGINT)
    try:
        process.wait(15)
    except subprocess.TimeoutExpired:
        process.kill()


@pytest.fixture(scope="session")
def workbench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    """The example, served."""
    if not (BUILT / "index.html").is_file():
        pytest.skip("the page is not built: make page (takes Node)")
    folder = tmp_path_factory.mktemp("project")
    shutil.copytree(EXAMPLE, folder, dirs_exist_ok=True)
    (folder / "brief.toml").write_text(BRIEF, encoding="utf-8")
    process, found = start_workbench(folder, "brief.toml")
    yield found
    stop_workbench(process)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as found:
        yield found


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    if CHROMIUM is None:
        pytest.skip("no Chromium on this machine: apt install chromium")
    found = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
    yield found
    found.close()


@pytest.fixture
def page(browser: Browser, workbench: Workbench) -> Iterator[Page]:
    """The page on the example with a frame sized; nothing may go wrong in its console."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, accept_downloads=True)
    context.set_default_timeout(60_000)
    found = context.new_page()
    faults: list[str] = []
    strangers: list[str] = []
    found.on("pageerror", lambda error: faults.append(str(error)))
    found.on("request", lambda ask: _note(strangers, ask.url, workbench.address))
    workbench.restore()
    open_page(found, workbench)
    yield found
    context.close()
    assert faults == []
    assert strangers == []


def _note(strangers: list[str], url: str, own: str) -> None:
    if not url.startswith((own, "blob:", "data:")):
        strangers.append(url)


def open_page(page: Page, workbench: Workbench, question: str = "have") -> None:
    """Load the page at one question and wait for a frame."""
    page.goto(f"{workbench.address}/#/{question}")
    wait_answered(page)


def wait_answered(page: Page) -> None:
    """Until checks have been answered, whatever they say."""
    expect(page.locator(".verdict")).to_contain_text("check", timeout=SIZED)


def go(page: Page, question: str) -> None:
    page.get_by_role("navigation").get_by_role("link", name=question).click()


def verdict(page: Page) -> str:
    return page.inner_text(".verdict")


def write(page: Page, path: str, text: str) -> None:
    """Write over the value of one field and press Enter."""
    field = page.locator(f'[data-path="{path}"] input')
    field.fill(text)
    field.press("Enter")


def value(page: Page, path: str) -> str:
    return page.locator(f'[data-path="{path}"] input').input_value()


def wait_sized(page: Page) -> None:
    """Until sizing and solids have caught up with the brief, on the page too."""
    expect(page.locator(".state")).to_have_text("saved.", timeout=SIZED)
    expect(page.locator(".following")).to_have_count(0, timeout=SIZED)
