"""Material cards as the store has taught them."""

from collections.abc import Mapping, Sequence
from math import isnan

from refledge.bench.learning import learn
from refledge.model.bench_results import Evidence, Learned
from refledge.model.learned_cards import LearnedCards
from refledge.model.materials import MaterialCard
from refledge.store.file import Store


def updated_cards(
    cards: Mapping[str, MaterialCard],
    store: Store,
    spools: Mapping[str, str] | None = None,
) -> dict[str, MaterialCard]:
    """``cards`` with what the store knows of the spools named (by material), or the last tested."""
    return dict(learned_cards(cards, store, spools).cards)


def learned_cards(
    cards: Mapping[str, MaterialCard],
    store: Store,
    spools: Mapping[str, str] | None = None,
) -> LearnedCards:
    """``updated_cards`` with literature against measured, and notes on what was used."""
    after: dict[str, MaterialCard] = {}
    learned: dict[str, tuple[Learned, ...]] = {}
    notes: dict[str, tuple[str, ...]] = {}
    fed: dict[str, tuple[Evidence, ...]] = {}
    for key, card in cards.items():
        spool = (spools or {}).get(key, "")
        evidence = store.evidence(card.key, spool)
        after[key], rows = learn(card, evidence)
        if rows:
            learned[key], fed[key] = rows, evidence
        notes[key] = _notes(card, rows, store, spool)
    return LearnedCards(after, learned, notes, fed)


def learned_card(
    card: MaterialCard, store: Store, spool: str = ""
) -> tuple[MaterialCard, tuple[Learned, ...]]:
    """One card after the bench, and literature against measured for each figure that changed."""
    return learn(card, store.evidence(card.key, spool))


def _notes(
    card: MaterialCard, rows: Sequence[Learned], store: Store, spool: str
) -> tuple[str, ...]:
    own = [row.prop for row in rows if not isnan(row.measured)]
    moved = [row.prop for row in rows if row.prop not in own]
    notes = []
    if own:
        words = f"{card.name}: {', '.join(own)} measured on this bench ({store.path.name})"
        notes.append(words + (f"; {', '.join(moved)} moved with it." if moved else "."))
    return (*notes, *(_unused(card, each) for each in store.left_out(card.key, spool)))


def _unused(card: MaterialCard, why: str) -> str:
    return (
        f"{card.name}: a bench session was left out ({why}). Mend the session, or say in its file "
        "why that does no harm (accepted)."
    )
