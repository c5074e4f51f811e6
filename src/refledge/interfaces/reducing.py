"""What ``refledge reduce`` does."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from refledge import __version__
from refledge.bench.predicting import answers
from refledge.bench.reduce import reduce_session
from refledge.inputs.cards import material_cards
from refledge.inputs.readings import read_session
from refledge.interfaces.bench_options import opened, store_file
from refledge.model.bench import Session
from refledge.model.bench_results import Reduction
from refledge.model.learning import Learned, Score
from refledge.outputs.bench_reduction import reduction_page
from refledge.outputs.bench_words import learned_lines, reduction_lines, score_lines
from refledge.outputs.record import plain
from refledge.store import Store, learned_card
from refledge.whole import write_whole


@dataclass(frozen=True)
class Done:
    """One session reduced, perhaps kept, perhaps scored."""

    session: Session
    reduction: Reduction
    number: int
    """Of the session in the store; 0 where it was not kept."""
    store: str
    learned: tuple[Learned, ...]
    scores: tuple[Score, ...]
    page: Path | None


def run(readings: Path, store: Path | None, out: Path | None) -> Done:
    """Read, keep, reduce, score, draw; the readings are kept whatever comes of them."""
    session = read_session(readings)
    card = material_cards()[session.file.material]
    with opened(store_file(store, readings.parent)) as kept:
        number = 0 if kept is None else kept.keep(session)
        found = reduce_session(session, card)
        learned: tuple[Learned, ...] = ()
        scores: tuple[Score, ...] = ()
        if kept is not None:
            kept.save(session, found, __version__)
            _, learned = learned_card(card, kept, session.file.spool.name)
            scores = _scored(kept, session) if found.usable else ()
        page = _page(out, readings, session, found, scores)
        where = "" if kept is None else str(kept.path)
    return Done(session, found, number, where, learned, scores, page)


def _scored(store: Store, session: Session) -> tuple[Score, ...]:
    """Scores of the predictions of these pieces; those scored before stand as they are."""
    name = session.file.predicted
    if not name:
        return ()
    known = {each.prediction.name: each for each in store.scores()}
    scores = []
    for found in answers(session.file, store.predictions(name)):
        note = f"{session.source}: {found.note}"
        scores.append(
            known.get(found.name) or store.score(found.name, found.value, found.uncertainty, note)
        )
    return tuple(scores)


def _page(
    out: Path | None, readings: Path, session: Session, found: Reduction, scores: tuple[Score, ...]
) -> Path | None:
    if out is None:
        return None
    text = reduction_page(session, found, __version__, scores)
    return write_whole(out / f"{readings.stem}.html", text)


def lines(done: Done) -> Iterator[str]:
    """What was found, what became of the card, where it is kept."""
    yield from reduction_lines(done.reduction)
    yield ""
    if done.scores:
        yield "against the prediction:"
        yield from score_lines(done.scores)
    elif done.session.file.predicted and done.store:
        yield f"no prediction {done.session.file.predicted!r} in {done.store}; nothing was scored"
    if done.learned:
        yield f"what design takes for {done.reduction.material} now:"
        yield from learned_lines(done.learned)
    if not done.store:
        yield "not kept: add --store bench.sqlite to keep it and let design learn from it"
    else:
        yield f"kept as session {done.number} of {done.store}"
    if not done.reduction.usable:
        yield "design leaves this session out until what is marked ! is mended or accepted"
    if done.page is not None:
        yield f"page: {done.page}"


def as_json(done: Done) -> str:
    """The same for machines, SI."""
    document = {
        "reduction": done.reduction,
        "usable": done.reduction.usable,
        "session": done.number,
        "store": done.store,
        "learned": done.learned,
        "scores": done.scores,
        "assumed": done.session.assumed,
        "page": None if done.page is None else str(done.page),
    }
    return json.dumps(plain(document), indent=1, ensure_ascii=False, allow_nan=False)
