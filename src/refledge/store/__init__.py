"""The bench's memory: sessions, predictions and scores in one SQLite file, and cards from it."""

from refledge.errors import StoreError
from refledge.store.cards import learned_card, learned_cards, updated_cards
from refledge.store.file import NAME, Store, StoredSession

__all__ = [
    "NAME",
    "Store",
    "StoreError",
    "StoredSession",
    "learned_card",
    "learned_cards",
    "updated_cards",
]
