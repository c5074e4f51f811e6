"""Whether a part is solved again on finer meshes is asked for."""

from types import SimpleNamespace
from typing import Any

import pytest

from refledge.verify import run


@pytest.mark.parametrize(("settle", "wanted"), [(True, "finer"), (False, "two meshes")])
def test_finer_meshes_only_where_asked_for(
    settle: bool, wanted: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(run, "solve_part", lambda *_given, **_more: "two meshes")
    monkeypatch.setattr(run, "settled", lambda *_: "finer")
    limits = SimpleNamespace(flight_factor=2.0, landing_factor=1.3)
    study: Any = SimpleNamespace(brief=SimpleNamespace(limits=limits))
    setup: Any = SimpleNamespace(
        key="arm", regions={}, supports=(), cases=(), masses=(), size=None, watch=(), n_modes=0,
        kinds={}, yields=(),
    )  # fmt: skip
    body: Any = None
    assert run.solved(study, setup, body, settle=settle) == wanted
    assert run.solved(study, setup, body) == "finer"
