"""The picture: drawn, picked in both directions, bent, cut, taken apart, measured, compared."""

import io

from PIL import Image, ImageStat
from playwright.sync_api import Page, expect

from tests.browser.conftest import go, wait_sized


def _shot(page: Page) -> Image.Image:
    page.wait_for_timeout(600)
    return Image.open(io.BytesIO(page.locator(".canvas").screenshot())).convert("L")


def _differ(a: Image.Image, b: Image.Image) -> float:
    """Mean difference of two pictures, grey levels of 255."""
    size = (min(a.width, b.width), min(a.height, b.height))
    pixels = zip(a.resize(size).tobytes(), b.resize(size).tobytes(), strict=True)
    return sum(abs(p - q) for p, q in pixels) / (size[0] * size[1])


def _settled(page: Page) -> None:
    wait_sized(page)
    expect(page.locator("canvas[data-drawn]")).to_be_visible(timeout=30_000)


def test_it_draws_something_with_depth(page: Page) -> None:
    _settled(page)
    assert ImageStat.Stat(_shot(page)).stddev[0] > 15  # an empty sheet has about 2


def test_a_row_picks_the_part_and_the_picture_picks_the_row(page: Page) -> None:
    _settled(page)
    go(page, "The frame")
    row = page.locator('tr[data-keys="arm"]')
    before = _shot(page)
    row.click()
    expect(row).to_have_attribute("aria-selected", "true")
    assert _differ(before, _shot(page)) > 0.5
    page.keyboard.press("Escape")
    expect(row).to_have_attribute("aria-selected", "false")
    page.get_by_role("button", name="above", exact=True).click()
    page.wait_for_timeout(400)
    box = page.locator(".canvas").bounding_box()
    assert box
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(page.locator(".pick")).to_be_visible()


def test_each_tool_changes_the_picture_and_gives_it_back(page: Page) -> None:
    _settled(page)
    first = _shot(page)
    for key in ("e", "c", "d"):
        page.keyboard.press(key)
        assert _differ(first, _shot(page)) > 0.3, key
        for _ in range(3 if key == "c" else 1):
            page.keyboard.press(key)
        assert _differ(first, _shot(page)) < 0.1, key


def test_a_load_bends_it_with_arrows_and_a_legend(page: Page) -> None:
    _settled(page)
    go(page, "Will it hold")
    before = _shot(page)
    page.locator(".choices button", has_text="full thrust").click()
    expect(page.locator(".legend")).to_contain_text("Movement, full thrust")
    expect(page.locator(".legend")).to_contain_text("mm")
    expect(page.locator(".key")).to_contain_text("times as large")
    assert _differ(before, _shot(page)) > 2
    page.get_by_role("combobox", name="Colours").select_option("use")
    expect(page.locator(".legend")).to_contain_text("Strength used")


def test_a_mode_swings(page: Page) -> None:
    _settled(page)
    go(page, "Will it shake")
    page.get_by_role("button", name="Show how it moves").first.click()
    page.wait_for_timeout(400)
    first = _shot(page)
    page.wait_for_timeout(250)
    assert _differ(first, _shot(page)) > 0.05


def test_two_points_give_a_dimension(page: Page) -> None:
    _settled(page)
    page.get_by_role("button", name="above", exact=True).click()
    page.keyboard.press("m")
    box = page.locator(".canvas").bounding_box()
    assert box
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.click(middle[0] - 6, middle[1])
    page.mouse.click(middle[0] + 14, middle[1] + 4)
    expect(page.locator(".dimension")).to_contain_text("mm")


def test_variants_are_laid_over_and_compared(page: Page) -> None:
    _settled(page)
    go(page, "Log")
    page.get_by_label("name of the variant").fill("as it was")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.locator(".variants")).to_contain_text("as it was")
    go(page, "What you have")
    field = page.locator('[data-path="mission.all_up_limit"] input')
    field.fill("3 kg")
    field.press("Enter")
    expect(page.locator(".verdict")).to_contain_text("It does not hold")
    go(page, "Log")
    before = _shot(page)
    page.get_by_role("checkbox", name="as it was").check()
    expect(page.locator(".compared")).to_contain_text("3.5 kg", timeout=20_000)
    expect(page.locator(".compared")).to_contain_text("fails")
    page.wait_for_timeout(1500)
    assert _differ(before, _shot(page)) > 0.05
    page.get_by_role("button", name="Throw as it was away").click()
    expect(page.locator(".variants")).to_have_count(0)


def test_a_chart_takes_the_large_place_and_gives_it_back(page: Page) -> None:
    _settled(page)
    go(page, "Will it shake")
    page.get_by_role("button", name="Larger: Modes against rotor speed").click()
    expect(page.locator(".large svg")).to_be_visible()
    page.get_by_role("button", name="Back to the airframe").click()
    expect(page.locator(".canvas")).to_be_visible()
