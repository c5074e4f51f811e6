"""What breaks first is crashed from the page; the log is written and read in it."""

import json
import subprocess

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import COMMAND, SIZED, Workbench, go, wait_sized


def _ask(page: Page, name: str, text: str) -> None:
    page.locator(f'[data-ask="{name}"] input').fill(text)


def test_a_crash_is_asked_for_told_and_kept_over_a_reload(page: Page) -> None:
    wait_sized(page)
    go(page, "What breaks first")
    expect(page.locator(".question")).to_have_text("What breaks first?")
    expect(page.locator(".drawn .empty")).to_contain_text("Crash it")
    _ask(page, "speed", "5")
    page.locator('[data-job="crash"]').click()
    fault = page.locator('[data-ask="speed"] .fault')
    expect(fault).to_contain_text("unit")
    expect(page.locator('[data-ask="speed"] input')).to_be_focused()
    _ask(page, "speed", "5 m/s")
    _ask(page, "samples", "20")
    page.locator('[data-ask="weak-link"] select').select_option("leg")
    page.locator('[data-job="crash"]').click()
    expect(fault).to_be_hidden()
    expect(page.locator("main .found")).to_contain_text("of printing", timeout=SIZED)
    _read_the_answer(page)
    page.reload()
    expect(page.locator("main .found")).to_be_visible(timeout=SIZED)


def _read_the_answer(page: Page) -> None:
    for title in ("How often, and what it costs", "The order, way by way", "The weak link"):
        expect(page.locator("main h3", has_text=title)).to_be_visible()
    expect(page.locator("main .drawing svg")).to_be_visible()
    link = page.get_by_role("region", name="Each strength tried")
    expect(link.locator("tr.strong")).to_have_count(1)
    row = page.locator('tr[data-keys="arm"]').first
    expect(row).to_contain_text("±")
    row.click()
    expect(row).to_have_class("pickable  picked")


def test_what_is_written_into_the_log_is_told_and_can_be_struck_out(
    page: Page, workbench: Workbench
) -> None:
    go(page, "Log")
    page.locator('[data-form="flight"]').click()
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator('[data-ask="time"] .fault')).to_contain_text("time in the air")
    _ask(page, "time", "90 min")
    _ask(page, "note", "<b onclick=1>calm</b>")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("main .lead").first).to_contain_text("1 flight, 1.5 h in the air")
    expect(page.locator(".entry-text").first).to_contain_text("<b onclick=1>calm</b>")
    page.locator('[data-form="crash"]').click()
    page.locator('[data-ask="case"] select').select_option("one-leg")
    _ask(page, "broke", "leg")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("main .lead").first).to_contain_text("1 crash")
    said = subprocess.run([COMMAND, "log", "show", "--store", str(workbench.folder), "--json"],
                          capture_output=True, text=True, check=True)  # fmt: skip
    found = json.loads(said.stdout)
    assert (found["flown_s"], found["by_case"]) == (pytest.approx(5400.0), {"one-leg": 1})
    line = page.locator("[data-entry]", has_text="Flight")
    line.get_by_role("button").click()
    line.locator("form input").fill("on the bench only")
    line.locator("form button").click()
    expect(line).to_contain_text("struck out: on the bench only")
    expect(page.locator("main .lead").first).to_contain_text("0 flights")
