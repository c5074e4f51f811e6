"""Long work: progress in sight, stopped at once, still there after a reload."""

from playwright.sync_api import Page, expect

from tests.browser.conftest import SIZED, Workbench, go, open_page, wait_sized


def test_a_job_survives_a_reload_and_can_be_stopped(page: Page, workbench: Workbench) -> None:
    wait_sized(page)
    go(page, "Will it hold")
    page.locator('[data-job="verify"]').click()
    line = page.locator(".running .job")
    expect(line).to_be_visible(timeout=20_000)
    expect(line.locator("progress")).to_have_count(1)
    number = line.get_attribute("data-job-id")
    open_page(page, workbench, "hold")
    page.reload()
    expect(page.locator(f'.running [data-job-id="{number}"]')).to_be_visible(timeout=20_000)
    page.locator(f'.running [data-job-id="{number}"]').get_by_role("button").click()
    expect(page.locator(".running .job")).to_have_count(0, timeout=20_000)
    expect(page.locator(".job-press", has_text="was stopped")).to_be_visible()
    states = {each["id"]: each["state"] for each in workbench.ask("GET", "/api/jobs").json()}
    assert states[number] == "cancelled"


def test_an_edit_sizes_the_frame_anew_by_itself(page: Page) -> None:
    wait_sized(page)
    go(page, "What you have")
    field = page.locator('[data-path="mission.gust"] input')
    field.fill("6 m/s")
    field.press("Enter")
    expect(page.locator(".state")).to_contain_text("under these numbers")
    expect(page.locator(".running .job")).to_contain_text("Size", timeout=20_000)
    go(page, "Will it hold")
    page.locator('[data-job="verify"]').click()
    expect(page.locator(".job-press", has_text="begins by itself")).to_be_visible()
    expect(page.locator(".trouble")).to_be_hidden()
    expect(page.locator(".state")).to_have_text("saved.", timeout=SIZED)
    verifying = page.locator(".running .job", has_text="Check")
    expect(verifying).to_be_visible(timeout=SIZED)
    verifying.get_by_role("button").click()
    expect(page.locator(".running .job")).to_have_count(0, timeout=20_000)
