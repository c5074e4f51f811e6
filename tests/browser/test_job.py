"""The whole job on the example, from a first run in an empty folder to the build in hand."""

import json
import subprocess
import zipfile
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import (
    COMMAND,
    SIZED,
    Workbench,
    go,
    open_page,
    start_workbench,
    stop_workbench,
    verdict,
    wait_answered,
    wait_sized,
    write,
)

QUESTIONS = (
    "What you have",
    "How it is laid out",
    "What it is printed from",
    "The arm",
    "The frame",
    "Will it hold",
    "Will it shake",
    "What breaks first",
    "Print it",
    "Build it",
    "Log",
)


def test_from_an_empty_folder_to_the_build(browser: Browser, tmp_path: Path) -> None:
    process, workbench = start_workbench(tmp_path)
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    context.set_default_timeout(60_000)
    try:
        page = context.new_page()
        page.goto(workbench.address)
        page.locator(".offers button", has_text="Rebuilt from a wreck").click()
        wait_answered(page)
        assert "It holds" in verdict(page)
        _read_every_question(page)
        _take_the_build(page, tmp_path / "build.zip")
    finally:
        context.close()
        stop_workbench(process)
    with zipfile.ZipFile(tmp_path / "build.zip") as build:
        names = build.namelist()
    assert any(name.endswith("parts/arm.3mf") for name in names)
    assert any(name.endswith("report.html") for name in names)
    assert (tmp_path / "brief.toml").read_text().startswith("# Invented example")


def _read_every_question(page: Page) -> None:
    for question in QUESTIONS:
        go(page, question)
        expect(page.locator(".question")).to_contain_text(question)
        assert page.locator("main h3").count() >= 1


def _take_the_build(page: Page, to: Path) -> None:
    wait_sized(page)
    go(page, "Build it")
    page.locator('[data-job="build"]').click()
    with page.expect_download(timeout=SIZED) as download:
        page.get_by_role("button", name="Download the build").click(timeout=SIZED)
    download.value.save_as(to)


def test_page_and_command_line_give_the_same_figures(page: Page, workbench: Workbench) -> None:
    wait_sized(page)
    command = [COMMAND, "design", str(workbench.brief)]
    said = subprocess.run(
        [*command, "--out", str(workbench.folder / "by-hand"), "--json"],
        capture_output=True,
        text=True,
        check=True,
    )
    found = workbench.ask("GET", "/api/results").json()
    assert json.loads(said.stdout)["verdict"] == found["verdict"]
    report = (workbench.folder / "by-hand" / "report.html").read_text(encoding="utf-8")
    assert f">{verdict(page)}<" in report
    for key in ("all_up_mass", "frame_mass", "hover_time"):
        text = page.locator(f'.caption [data-figure="{key}"]').inner_text()
        assert f">{text}<" in report.replace("\n", ""), key
    study = json.loads((workbench.folder / "by-hand" / "study.json").read_text(encoding="utf-8"))
    by_command = {(c["key"], c["part"]): c["demand"] for c in study["study"]["checks"]}
    by_page = {
        (c["key"], c["part"]): c["demand"]
        for c in workbench.ask("GET", "/api/results").json()["checks"]
    }
    assert by_page.keys() == by_command.keys()
    for name, demand in by_page.items():
        assert demand == pytest.approx(by_command[name], rel=1e-8), name  # the file has 9 digits


def test_a_reload_comes_back_to_the_question(page: Page, workbench: Workbench) -> None:
    open_page(page, workbench, "shake")
    before = verdict(page)
    page.reload()
    wait_answered(page)
    assert page.inner_text(".question") == "Will it shake?"
    assert verdict(page) == before


def test_every_figure_opens_to_its_source(page: Page) -> None:
    page.locator('.caption [data-figure="all_up_mass"]').click()
    slip = page.locator("#slip")
    for term in ("method", "source", "uncertainty"):
        assert slip.locator("dt", has_text=term).count() == 1
    page.keyboard.press("Escape")
    expect(slip).to_be_hidden()


def test_a_brief_that_cannot_fly_says_why(page: Page) -> None:
    go(page, "What you have")
    page.locator("summary", has=page.get_by_text("Motors", exact=True)).click()
    write(page, "motor.max_current", "1 A")
    expect(page.locator(".verdict")).not_to_contain_text("It holds")
    expect(page.locator(".driver")).to_contain_text("motor")


def test_two_numbers_that_cannot_both_be_right_are_told_at_the_field(page: Page) -> None:
    go(page, "What you have")
    page.locator("details.item", has_text="What it carries").locator("summary").click()
    write(page, "payload.mass", "19 kg")
    expect(page.locator('[data-path="payload.mass"] .fault')).to_contain_text("one of the two")
    expect(page.locator('[data-path="payload.mass"] input')).to_be_focused()
