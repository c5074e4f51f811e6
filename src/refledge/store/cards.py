"""Material cards as the store has taught them."""

from collections.abc import Iterator, Mapping, Sequence
from math import isnan

from refledge.bench.learning import INSERT, TORSION, learn
from refledge.errors import InputError, Problem
from refledge.model.learned_cards import LearnedCards
from refledge.model.learning import Evidence, Learned
from refledge.model.materials import MaterialCard
from refledge.store.file import Store, StoredSpool


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
    """``updated_cards`` with literature against measured, and notes on what was used.

    Raises InputError where the store holds no spool of that name.
    """
    after: dict[str, MaterialCard] = dict(cards)
    learned: dict[str, tuple[Learned, ...]] = {}
    notes: dict[str, tuple[str, ...]] = {}
    fed: dict[str, tuple[Evidence, ...]] = {}
    for key, card in cards.items():
        wanted = (spools or {}).get(key, "")
        spool = _spool(store, key, wanted)
        if spool is None:
            continue
        evidence = store.evidence(key, spool.name, spool.settings)
        after[key], rows = learn(card, evidence)
        if rows:
            learned[key], fed[key] = rows, evidence
        notes[key] = tuple(_notes(card, rows, store, spool, named=bool(wanted)))
    return LearnedCards(after, learned, notes, fed)


def learned_card(
    card: MaterialCard, store: Store, spool: str = ""
) -> tuple[MaterialCard, tuple[Learned, ...]]:
    """One card after the bench, and literature against measured for each figure that changed.

    As design has it: by the spool named, or the one tested last, as it was last printed.
    """
    found = _spool(store, card.key, spool)
    evidence = store.evidence(card.key, found.name, found.settings) if found else ()
    return learn(card, evidence)


def _spool(store: Store, material: str, wanted: str) -> StoredSpool | None:
    """The spool named, else the one tested last; None where none was tested nor named."""
    known = store.spools(material)
    if not wanted:
        return known[0] if known else None
    for each in known:
        if each.name == wanted:
            return each
    allowed = ", ".join(f"{each.name} ({each.date})" for each in known) or f"none of {material}"
    step = "name one of these, or test it first: refledge reduce READINGS --store FILE"
    raise InputError(Problem(str(store.path), f"spool of {material}", f'"{wanted}"', allowed, step))


def _notes(
    card: MaterialCard, rows: Sequence[Learned], store: Store, spool: StoredSpool, *, named: bool
) -> Iterator[str]:
    own = [_named(row.prop) for row in rows if not isnan(row.measured)]
    moved = [row.prop for row in rows if isnan(row.measured)]
    if own:
        why = "named for it" if named else "the one tested last"
        words = (
            f"{card.name}: {', '.join(own)} measured on this bench ({store.path.name}), spool "
            f"{spool.name}, {why} ({spool.date})"
        )
        words += f"; {', '.join(moved)} moved with it" if moved else ""
        others = [each.name for each in store.spools(card.key) if each.name != spool.name]
        yield words + (f"; also tested, not used: {', '.join(others)}." if others else ".")
    for each in store.left_out(card.key, spool.name, spool.settings):
        yield _unused(card, each)


def _named(prop: str) -> str:
    """A figure of the card by its symbol; what is none in words."""
    if prop.startswith(f"{INSERT} "):
        return f"pull-out of {prop.removeprefix(INSERT).strip()} inserts"
    return "torsion" if prop == TORSION else prop


def _unused(card: MaterialCard, why: str) -> str:
    return (
        f"{card.name}: a bench session was left out ({why}). Mend the session, or say in its file "
        "why that does no harm (accepted)."
    )
