"""The workbench in a real browser: number to moved verdict, first view, memory, many pages at once.

Run: .venv/bin/python benchmarks/workbench.py [edits, edits for memory]
Needs the built page (make page) and Chromium. Measured inside the browser: from the key that ends
the number to the second animation frame after its answer stood in the verdict; the first of the two
comes before that verdict is painted, the second after. Edits follow one another at once, which no
hand does: what the page and the server put off until a pause is no part of it.
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
from collections.abc import Iterable
from pathlib import Path

import psutil
from playwright.sync_api import Browser, Page, sync_playwright

DEMO = Path(__file__).parents[1] / "examples" / "lake-sampler"
EDITS, LONG, CONTEXTS, PARTS = 200, 1000, 20, 8
LIMIT = "mission.all_up_limit"
FLAGS = ["--no-sandbox", "--enable-unsafe-swiftshader"]
"""WebGL in software where there is no graphics card, all else as Chromium has it by itself then."""
SETTLE = 6000
"""ms for what a start leaves to do: a spare process is made ready."""
CLEAR = "Give all dimensions back to the sizing"
DRAWN = "canvas[data-drawn]"
SERVE = "from refledge.interfaces.cli import main; main()"
MOVED = """
async ([path, texts]) => {
  const [found, verdict] = [[], document.querySelector('.verdict')];
  for (const text of texts) {
    const input = document.querySelector(`[data-path="${path}"] input`);
    input.focus();
    input.value = text;
    const begun = performance.now();
    const changed = new Promise((done) => {
      const watch = new MutationObserver(() => { watch.disconnect(); done(); });
      watch.observe(verdict, {attributeFilter: ['data-edits']});
    });
    input.dispatchEvent(new Event('change'));
    await changed;
    for (let k = 0; k < 2; k += 1) await new Promise((done) => requestAnimationFrame(done));
    found.push([performance.now() - begun, Number(verdict.dataset.took)]);
  }
  return found;
}
"""
"""Many edits in one call: the browser's debugger keeps the text of every call, which would count as
memory of the page."""


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
                time.sleep(2)  # it says where it will be a moment before it listens
                with sync_playwright() as playwright:
                    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
                    browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
                    measure(browser, address[0], server.pid, count, long)
                    browser.close()
            finally:
                server.terminate()


def measure(browser: Browser, address: str, server: int, count: int, long: int) -> None:
    """All figures, one line each."""
    cores, load = os.cpu_count(), os.getloadavg()[0]
    print(f"{platform.machine()}, {cores} cores, load {load:.1f}, Chromium {browser.version}")
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    opened(page, address, "have")
    print(f"first view, warm  {first_view(browser, address):8.2f} s")
    page.wait_for_timeout(SETTLE)
    limits = moved(page, LIMIT, (3500 + k for k in range(count)), "g")
    told("edit of the brief", limits)
    opened(page, address, "arm")
    depths = moved(page, "arm.depth_root", (32 + 0.001 * k for k in range(count)), "mm")
    told("edit by hand", depths)
    page.get_by_role("button", name=CLEAR).click()
    opened(page, address, "have")
    for done, heap, rss in memory(page, server, long):
        print(f"after {done:5d} edits  page {heap:6.1f} MB, server {rss:6.0f} MB")
    print(f"{CONTEXTS} contexts       {crowd(browser, address)}")


def opened(page: Page, address: str, question: str) -> None:
    """The page at one question with a frame in the picture."""
    page.goto(f"{address}/#/{question}")
    page.reload()
    page.wait_for_selector(DRAWN, timeout=300_000)


def first_view(browser: Browser, address: str) -> float:
    """Seconds from asking for the page to the airframe drawn, cached: least of 5."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page, best = context.new_page(), float("inf")
    for _ in range(5):
        begun = time.perf_counter()
        page.goto(address)
        page.wait_for_selector(DRAWN)
        best = min(best, time.perf_counter() - begun)
    context.close()
    return best


def moved(page: Page, path: str, numbers: Iterable[float], unit: str) -> list[tuple[float, float]]:
    """Milliseconds in the browser for each edit, and the server's part of them."""
    found = page.evaluate(MOVED, [path, [f"{each:.3f} {unit}" for each in numbers]])
    return [(float(shown), float(server)) for shown, server in found]


def told(what: str, times: list[tuple[float, float]]) -> None:
    shown = sorted(each for each, _ in times)
    server = statistics.median(each for _, each in times)
    late = shown[int(0.95 * len(shown))]
    print(f"{what:17s} {statistics.median(shown):8.0f} ms median, {late:.0f} ms at 95 %, "
          f"{server:.0f} ms of it the server, {len(shown)} edits")  # fmt: skip


def memory(page: Page, server: int, long: int) -> list[tuple[int, float, float]]:
    """Edits done, the page's heap after a collection (MB), the server's resident memory (MB)."""
    watch = page.context.new_cdp_session(page)
    found, part = [], max(1, long // PARTS)
    for done in range(0, long + 1, part):
        watch.send("HeapProfiler.collectGarbage")
        heap = watch.send("Runtime.getHeapUsage")["usedSize"] / 1e6
        found.append((done, heap, psutil.Process(server).memory_info().rss / 1e6))
        moved(page, LIMIT, (3500 + k % 90 + 0.5 for k in range(done, done + part)), "g")
    return found


def crowd(browser: Browser, address: str) -> str:
    """Twenty pages at once, then an edit in one of them: all must show it, none may err."""
    faults: list[str] = []
    pages = [
        browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
        for _ in range(CONTEXTS)
    ]
    begun = time.perf_counter()
    for page in pages:
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.goto(f"{address}/#/have")
    for page in pages:
        page.wait_for_selector(DRAWN, timeout=120_000)
    shown = time.perf_counter() - begun
    moved(pages[0], LIMIT, [3600], "g")
    for page in pages:
        field = page.locator(f'[data-path="{LIMIT}"] input')
        while field.input_value() != "3600.000 g":
            page.wait_for_timeout(50)
    followed = time.perf_counter() - begun - shown
    return (
        f"shown in {shown:.1f} s, all follow an edit within {followed:.1f} s, {len(faults)} errors"
    )


if __name__ == "__main__":
    main()
