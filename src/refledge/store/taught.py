"""What the bench taught, as JSON in a build: cards after it, and every measurement behind them.

The store itself stays where it is: it holds the log too, which is no part of a build, and a copy
would go stale. Numbers are written in full, so that a build made again has the very same cards.
"""

import json
import math
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from refledge.errors import StoreError
from refledge.model.learned_cards import LearnedCards
from refledge.model.learning import Evidence, Learned
from refledge.model.materials import MaterialCard, Property, PullOut

SCHEMA = "refledge taught 1"


def taught_text(found: LearnedCards) -> str:
    """Only materials that the bench taught something, or has a note on."""
    document = {
        "schema": SCHEMA,
        "cards": {key: asdict(found.cards[key]) for key in found.learned},
        "learned": {key: [asdict(row) for row in rows] for key, rows in found.learned.items()},
        "evidence": {key: [asdict(row) for row in rows] for key, rows in found.evidence.items()},
        "notes": {key: list(notes) for key, notes in found.notes.items() if notes},
    }
    text = json.dumps(_said(document), indent=1, sort_keys=True, ensure_ascii=False)
    return text + "\n"


def read_taught(path: Path, cards: Mapping[str, MaterialCard]) -> LearnedCards:
    """``cards`` with those of the file in their place; raises StoreError."""
    try:
        document = json.loads(path.read_text(encoding="utf-8"))
        if document["schema"] != SCHEMA:
            raise ValueError(f"schema {document['schema']}")
        return LearnedCards(
            cards={**cards, **{key: _card(row) for key, row in document["cards"].items()}},
            learned={k: tuple(_row(Learned, r) for r in v) for k, v in document["learned"].items()},
            notes={key: tuple(notes) for key, notes in document["notes"].items()},
            evidence={
                k: tuple(_row(Evidence, r) for r in v) for k, v in document["evidence"].items()
            },
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise StoreError(
            f"{path} is not what the bench taught as this version writes it ({error}); design the "
            "build again from its brief with --store"
        ) from error


def _said(value: Any) -> Any:
    """Numbers that JSON has no word for as texts."""
    if isinstance(value, dict):
        return {key: _said(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [_said(item) for item in value]
    return str(value) if isinstance(value, float) and not math.isfinite(value) else value


def _row(model: type[Any], row: Mapping[str, Any]) -> Any:
    hints = model.__dataclass_fields__
    return model(**{k: float(v) if hints[k].type is float else v for k, v in row.items()})


def _card(row: Mapping[str, Any]) -> MaterialCard:
    values: dict[str, Any] = {
        k: Property(**v) if isinstance(v, dict) else v for k, v in row.items()
    }
    values["pull_outs"] = tuple(
        PullOut(each["thread"], Property(**each["load"])) for each in row["pull_outs"]
    )
    return MaterialCard(**values)
