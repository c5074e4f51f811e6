"""Material cards after the bench, with what they were before and where the change came from."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from refledge.model.learning import Evidence, Learned
from refledge.model.materials import MaterialCard


@dataclass(frozen=True, eq=False)
class LearnedCards:
    """Every card, those that the bench taught something among them."""

    cards: Mapping[str, MaterialCard]
    learned: Mapping[str, tuple[Learned, ...]]
    """By material: literature against measured; only materials that changed."""
    notes: Mapping[str, tuple[str, ...]]
    """By material: what was learned from which store, and what was left out, in words."""
    evidence: Mapping[str, tuple[Evidence, ...]] = field(default_factory=dict)
    """By material: every measurement that the cards learned from."""

    def of(self, materials: Collection[str]) -> dict[str, tuple[Learned, ...]]:
        """What was learned of these materials only, sorted by key."""
        return {key: rows for key, rows in sorted(self.learned.items()) if key in materials}

    def about(self, materials: Collection[str]) -> tuple[str, ...]:
        """Notes on these materials only, sorted by key."""
        return tuple(n for key in sorted(self.notes) if key in materials for n in self.notes[key])
