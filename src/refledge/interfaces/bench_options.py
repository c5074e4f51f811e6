"""Options that the bench commands share: amounts with units, materials, the store."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from refledge.errors import InputError, Problem
from refledge.inputs.cards import material_cards
from refledge.inputs.rules import check_field, nearest
from refledge.inputs.values import FieldError
from refledge.model.brief import Brief
from refledge.model.learned_cards import LearnedCards
from refledge.model.materials import MaterialCard
from refledge.store import NAME, Store, learned_cards, read_taught, taught_text
from refledge.units import EXAMPLES, UnitError, to_si


def wrong(option: str, given: str, allowed: str, step: str) -> InputError:
    """One thing wrong with the command line."""
    return InputError(Problem("command line", option, given, allowed, step))


def amount(option: str, text: str, unit: str) -> float:
    """An option such as "120 mm" in SI, above zero."""
    allowed = f"an amount above zero such as {EXAMPLES[unit]}"
    try:
        value = to_si(text, unit)
    except UnitError as error:
        raise wrong(option, f'"{text}"', allowed, "write number and unit") from error
    if value <= 0:
        raise wrong(option, f'"{text}"', allowed, "write a larger one")
    return value


def card_of(option: str, key: str, cards: LearnedCards) -> MaterialCard:
    """The card of a material key."""
    if key not in cards.cards:
        hint = nearest(key, cards.cards)
        step = f'did you mean "{hint}"?' if hint else "choose one of these"
        raise wrong(option, f'"{key}"', ", ".join(cards.cards), step)
    return cards.cards[key]


TAUGHT = "given/taught.json"
"""Where a build keeps what the bench had taught when it was designed."""


def learned_for(brief: Brief, file: Path, store: Path | None = None) -> LearnedCards | None:
    """What the bench taught for the brief at ``file``; None where there is no bench.

    By the store that is named, else the one beside the brief, else as the build that the brief
    lies in keeps it.
    """
    if store is not None:
        existing("--store", store / NAME if store.is_dir() else store)
    kept, spools = file.parent / TAUGHT, brief.printer.spool_names
    with opened(store_file(store, file.parent)) as found:
        if found is not None:
            return learned_cards(material_cards(), found, spools)
    if kept.is_file():
        return read_taught(kept, material_cards())
    if spools:
        step = "add --store with the bench's store, or strike the spools out"
        names = ", ".join(brief.printer.spools)
        raise InputError(Problem(str(file), "printer.spools", names, "none without a bench", step))
    return None


def with_spools(brief: Brief, named: Sequence[str]) -> Brief:
    """The brief with spools of the command line, such as "PETG: grey 3", before its own."""
    if not named:
        return brief
    try:
        check_field("printer.spools", tuple(named))
    except FieldError as error:
        raise wrong("--spool", error.given, error.allowed, error.next_step) from error
    keys = {each.split(":")[0].strip() for each in named}
    kept = tuple(e for e in brief.printer.spools if e.split(":")[0].strip() not in keys)
    return replace(brief, printer=replace(brief.printer, spools=(*named, *kept)))


def taught_files(learned: LearnedCards | None) -> dict[str, bytes]:
    """Path in the build to contents; nothing where the bench taught nothing."""
    if learned is None or not (learned.learned or any(learned.notes.values())):
        return {}
    return {TAUGHT: taught_text(learned).encode("utf-8")}


def store_file(given: Path | None, beside: Path) -> Path | None:
    """The store that is named, or ``bench.sqlite`` in ``beside`` where there is one."""
    if given is not None:
        return given / NAME if given.is_dir() else given
    return beside / NAME if (beside / NAME).is_file() else None


@contextmanager
def opened(file: Path | None) -> Iterator[Store | None]:
    """The store in ``file``, made where it is not there; None where there is no file."""
    if file is None:
        yield None
        return
    with Store(file) as store:
        yield store


def existing(option: str, file: Path) -> Path:
    """``file`` where it is there; raises InputError."""
    if not file.is_file():
        step = "keep readings first: refledge reduce READINGS --store FILE"
        raise wrong(option, f"{file}, which is no file", "the store of a bench", step)
    return file


def cards_of(store: Store | None, spools: Mapping[str, str] | None = None) -> LearnedCards:
    """Every card, as the store has taught it; ``spools``: material to the spool named for it."""
    if store is None:
        return LearnedCards(material_cards(), {}, {})
    return learned_cards(material_cards(), store, spools)
