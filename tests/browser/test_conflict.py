"""The file changed by an editor while it is open: noticed, asked about, never written over."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Workbench, go, write


def _edit_outside(workbench: Workbench, limit: str) -> None:
    text = workbench.brief.read_text(encoding="utf-8")
    changed = text.replace('all_up_limit = "3.5 kg"', f'all_up_limit = "{limit}"')
    assert changed != text
    workbench.brief.write_text(changed, encoding="utf-8")


def test_it_is_noticed_and_the_file_can_be_taken(page: Page, workbench: Workbench) -> None:
    go(page, "What you have")
    _edit_outside(workbench, "2.9 kg")
    dialog = page.get_by_role("dialog", name="The file was changed meanwhile")
    expect(dialog).to_be_visible()
    expect(dialog).to_contain_text('all_up_limit = "2.9 kg"')
    expect(dialog).to_contain_text('all_up_limit = "3.5 kg"')
    page.get_by_role("button", name="Take the file").click()
    expect(dialog).to_be_hidden()
    expect(page.locator('[data-path="mission.all_up_limit"] input')).to_have_value("2.9 kg")


def test_what_is_here_can_be_kept(page: Page, workbench: Workbench) -> None:
    _edit_outside(workbench, "2.8 kg")
    page.get_by_role("button", name="Keep what is here").click()
    expect(page.get_by_role("dialog", name="The file was changed meanwhile")).to_be_hidden()
    page.wait_for_timeout(300)
    assert 'all_up_limit = "3.5 kg"' in workbench.brief.read_text(encoding="utf-8")


@pytest.mark.parametrize("reload", [False, True])
def test_an_edit_meanwhile_writes_nothing(page: Page, workbench: Workbench, reload: bool) -> None:
    go(page, "What you have")
    _edit_outside(workbench, "2.7 kg")
    if reload:
        page.reload()
    else:
        write(page, "mission.hover_time", "11 min")
    expect(page.get_by_role("dialog", name="The file was changed meanwhile")).to_be_visible()
    text = workbench.brief.read_text(encoding="utf-8")
    assert 'all_up_limit = "2.7 kg"' in text
    assert 'hover_time = "12 min"' in text
