"""The bench's memory: sessions, predictions and scores in one SQLite file, and cards from it."""

from refledge.errors import StoreError
from refledge.store.cards import learned_card, learned_cards, updated_cards
from refledge.store.file import NAME, Store, StoredSession
from refledge.store.taught import read_taught, taught_text

__all__ = [
    "NAME",
    "Store",
    "StoreError",
    "StoredSession",
    "learned_card",
    "learned_cards",
    "read_taught",
    "taught_text",
    "updated_cards",
]
