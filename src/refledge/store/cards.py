"""Material cards as the store has taught them."""

from collections.abc import Mapping

from refledge.bench.learning import learn
from refledge.model.bench_results import Learned
from refledge.model.materials import MaterialCard
from refledge.store.file import Store


def updated_cards(
    cards: Mapping[str, MaterialCard],
    store: Store,
    spools: Mapping[str, str] | None = None,
) -> dict[str, MaterialCard]:
    """``cards`` with what the store knows of the spools named (by material), or the last tested."""
    return {key: learned_card(card, store, (spools or {}).get(key, ""))[0] for key, card in
            cards.items()}  # fmt: skip


def learned_card(
    card: MaterialCard, store: Store, spool: str = ""
) -> tuple[MaterialCard, tuple[Learned, ...]]:
    """One card after the bench, and literature against measured for each figure that changed."""
    return learn(card, store.evidence(card.key, spool))
