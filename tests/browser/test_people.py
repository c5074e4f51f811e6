"""For people: axe-core finds nothing serious, keys reach everything, nothing is cut off."""

import os
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Workbench, go, open_page, wait_sized
from tests.browser.test_job import QUESTIONS

AXE = Path(__file__).parents[2] / "web" / "node_modules" / "axe-core" / "axe.min.js"
SHOTS = os.environ.get("REFLEDGE_SHOTS", "")
"""Folder for pictures of every page, outside the repository; none are kept without it."""
SERIOUS = ("serious", "critical")


def _faults(page: Page) -> list[str]:
    """What axe-core finds, in words."""
    if not AXE.is_file():
        pytest.skip("axe-core is not installed: make page (takes Node)")
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found: dict[str, Any] = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{each['id']}: {each['nodes'][0]['html'][:160]}"
        for each in found["violations"]
        if each["impact"] in SERIOUS
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(browser: Browser, workbench: Workbench, scheme: str) -> None:
    workbench.restore()
    context = browser.new_context(viewport={"width": 1280, "height": 800}, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    open_page(page, workbench)
    wait_sized(page)
    found = {}
    for number, question in enumerate(QUESTIONS):
        go(page, question)
        page.wait_for_timeout(500)
        if SHOTS:
            page.screenshot(path=f"{SHOTS}/{scheme}-{number}.png")
        found[question] = _faults(page)
    context.close()
    assert sorted({fault for faults in found.values() for fault in faults}) == []


@pytest.mark.parametrize("size", [(1280, 800), (820, 1180)])
def test_nothing_runs_over_the_edge(
    browser: Browser, workbench: Workbench, size: tuple[int, int]
) -> None:
    context = browser.new_context(viewport={"width": size[0], "height": size[1]})
    page = context.new_page()
    open_page(page, workbench)
    for number, question in enumerate(QUESTIONS):
        go(page, question)
        page.wait_for_timeout(300)
        if SHOTS:
            page.screenshot(path=f"{SHOTS}/{size[0]}-{number}.png", full_page=size[0] < 1000)
        over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert over <= 0, question
        assert page.locator(".verdict").is_visible()
    context.close()


def test_the_verdict_stays_in_sight_on_a_tablet(browser: Browser, workbench: Workbench) -> None:
    context = browser.new_context(viewport={"width": 820, "height": 1180})
    page = context.new_page()
    open_page(page, workbench, "hold")
    page.mouse.wheel(0, 1500)
    page.wait_for_timeout(300)
    expect(page.locator(".verdict")).to_be_in_viewport()
    context.close()


def test_questions_and_fields_are_reached_by_keys(page: Page) -> None:
    page.keyboard.press("4")
    expect(page.locator(".question")).to_have_text("The arm")
    page.keyboard.press("j")
    expect(page.locator(".question")).to_have_text("The frame")
    page.keyboard.press("1")
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.closest('.line') !== null"):
            break
    assert page.evaluate("document.activeElement.closest('.line') !== null")
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"


def test_every_field_has_a_name(page: Page) -> None:
    for question in ("What you have", "The arm", "Will it hold"):
        go(page, question)
        nameless = page.evaluate(
            "[...document.querySelectorAll('main input, main select')].filter("
            "(e) => !e.labels?.length && !e.getAttribute('aria-label')).length"
        )
        assert nameless == 0


def test_every_field_of_the_brief_stands_on_a_page(page: Page, workbench: Workbench) -> None:
    """A wish that the program knows and the page does not show could only be written by hand."""
    groups = workbench.ask("GET", "/api/brief").json()["groups"]
    wanted = {field["path"] for group in groups for field in group["fields"]}
    for question in QUESTIONS:
        go(page, question)
        expect(page.locator(".question")).to_contain_text(question)
        shown = "[...document.querySelectorAll('main [data-path]')].map((e) => e.dataset.path)"
        wanted -= set(page.evaluate(shown))
    assert sorted(wanted) == []


def test_the_verdict_is_said_to_screen_readers(page: Page) -> None:
    region = page.locator("[aria-live=polite][aria-atomic=true]")
    assert region.locator("h1.verdict").count() == 1
