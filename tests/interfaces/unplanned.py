"""A design without its print plan, which a hand-made study cannot give."""

import pytest

from refledge.interfaces import designing


def no_print_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """``designing.run`` leaves the printing out."""
    monkeypatch.setattr(designing, "plan_prints", lambda *_, **__: None)
    monkeypatch.setattr(designing, "as_planned", lambda study, _: study)
    monkeypatch.setattr(designing, "plan_files", lambda *_: {})
