"""Layouts compared with what the bench taught: the cards reach sizing, and the page says so."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from refledge.choosing import finalist, sized, surrogate
from refledge.choosing.candidates import gather
from refledge.choosing.compare import Comparison
from refledge.choosing.finalist import Wanted
from refledge.choosing.kept import content_key
from refledge.choosing.picking import Pick
from refledge.choosing.sized import Closed
from refledge.errors import FlightError
from refledge.inputs.also import Also
from refledge.inputs.cards import material_cards
from refledge.model.brief import Brief
from refledge.model.materials import MaterialCard
from refledge.outputs.layouts_words import notes

CARDS = material_cards()


def heavier(share: float) -> dict[str, MaterialCard]:
    """ASA printed denser than literature has it."""
    rho = replace(CARDS["ASA"].rho, value=share * CARDS["ASA"].rho.value)
    return {**CARDS, "ASA": replace(CARDS["ASA"], rho=rho)}


def wanted(brief: Brief, cards: dict[str, MaterialCard]) -> Wanted:
    candidates = gather(brief, Also(), cards)
    own = candidates.brief_of(candidates.own)
    return Wanted("A", Pick(candidates.own, ()), own, candidates, 3.2, 0.0)


def test_a_finalist_is_sized_with_the_cards_that_were_taught(
    brief: Brief, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = []

    def sizing(*given: object) -> Closed:
        seen.append(given[-1])
        raise FlightError("far enough")

    monkeypatch.setattr(finalist, "size_layout", sizing)
    finalist.make_finalist(wanted(brief, heavier(1.2)))
    assert seen == [heavier(1.2)]


def test_sizing_takes_the_cards_in_every_pass(
    brief: Brief, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two passes, of which the second finds its mass again."""
    candidates, masses = gather(brief, Also()), iter((3.3, 3.3))
    one, rotor = candidates.brief_of(candidates.own), candidates.rotor_of(0)
    found = SimpleNamespace(assessment=SimpleNamespace(lumps=()))
    found.pool = SimpleNamespace(family="box", material="ASA")
    monkeypatch.setattr(sized, "search", lambda _: SimpleNamespace(sized=found))
    monkeypatch.setattr(sized, "size", lambda *_: found)
    monkeypatch.setattr(sized, "total_mass", lambda _: next(masses))
    seen: list[object] = []

    def making(*given: Any, cards: Any) -> Any:
        seen.append(cards)
        return SimpleNamespace(all_up_mass=given[3])

    monkeypatch.setattr(sized, "make_task", making)
    assert sized.size_layout(one, rotor, 3.2, heavier(1.2)).passes == 2
    assert seen == [heavier(1.2), heavier(1.2)]


def test_the_sweep_is_set_by_frames_of_the_plastic_that_was_taught(
    brief: Brief, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[object] = []

    def making(*_: Any, cards: Any) -> Any:
        seen.append(cards)
        raise FlightError("far enough")

    monkeypatch.setattr(surrogate, "make_task", making)
    candidates = gather(brief, Also(), heavier(1.2))
    surrogate.surrogate_for(candidates, lambda *_: None)
    assert seen
    assert all(each == heavier(1.2) for each in seen)


def test_a_finalist_of_other_cards_is_not_taken_from_the_folder(brief: Brief) -> None:
    keys = {content_key(wanted(brief, cards)) for cards in (CARDS, heavier(1.1), heavier(1.2))}
    assert len(keys) == 3
    assert content_key(wanted(brief, dict(CARDS))) in keys


def test_the_page_says_what_the_bench_taught(comparison: Comparison) -> None:
    assert comparison.taught == ()
    said = notes(replace(comparison, taught=("ASA: E_xy measured on this bench",)))
    assert "ASA: E_xy measured on this bench" in said
