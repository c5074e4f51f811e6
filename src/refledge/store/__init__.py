"""The bench's memory: sessions, predictions and scores in one SQLite file, and cards from it."""

from refledge.store.cards import learned_card, updated_cards
from refledge.store.file import NAME, Store, StoredSession, StoreError

__all__ = ["NAME", "Store", "StoreError", "StoredSession", "learned_card", "updated_cards"]
