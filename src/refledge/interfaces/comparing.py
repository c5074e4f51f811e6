"""What ``refledge compare`` does."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from refledge import __version__
from refledge.bench.candidates import arm_of_session, is_arm, levelled, plastic_of_session
from refledge.bench.comparing import INDICES, candidate_of, rank_materials, rank_variants
from refledge.bench.reduce import reduce_session
from refledge.bench.scoring import calibration, running
from refledge.inputs.built import read_built
from refledge.inputs.built_frame import read_built_frame
from refledge.inputs.cards import material_cards
from refledge.inputs.readings import read_session
from refledge.interfaces.bench_options import (
    card_of,
    cards_of,
    existing,
    opened,
    store_file,
    wrong,
)
from refledge.interfaces.timing_pieces import timed_arm, timed_plastics
from refledge.model.comparing import Candidate, Ranked
from refledge.model.frame_figures import FrameFigures
from refledge.model.learned_cards import LearnedCards
from refledge.model.learning import Calibration, Score
from refledge.model.materials import MaterialCard
from refledge.outputs.bench_comparison import calibration_page, comparison_page
from refledge.outputs.bench_words import (
    calibration_lines,
    candidate_lines,
    ranking_lines,
    score_lines,
)
from refledge.outputs.frame_table import frame_lines
from refledge.outputs.record import plain
from refledge.whole import write_whole

_FILES = (".toml", ".csv")


@dataclass(frozen=True)
class Compared:
    """Candidates side by side, ranked."""

    candidates: tuple[Candidate, ...]
    rankings: tuple[tuple[str, str, tuple[Ranked, ...]], ...]
    """Title, why it applies, places."""
    notes: tuple[str, ...]
    page: Path | None
    frames: tuple[FrameFigures, ...] = ()
    """Of builds, where nothing else is compared."""


def compare(things: Sequence[str], by: str, store: Path | None, out: Path | None) -> Compared:
    """Materials, readings and builds side by side; all printed materials where none is named."""
    if by not in ("all", *INDICES):
        raise wrong("--by", f'"{by}"', ", ".join(("all", *INDICES)), "choose one of these")
    with opened(store_file(store, Path())) as kept:
        cards = cards_of(kept)
    named = tuple(things) or tuple(k for k, c in cards.cards.items() if c.kind == "printed")
    arms: list[tuple[str, Candidate]] = []
    plastics: list[tuple[MaterialCard, Candidate]] = []
    for thing in named:
        of_arm, card, candidate = _candidate(thing, cards)
        if of_arm:
            arms.append((card.key, candidate))
        else:
            plastics.append((card, candidate))
    if arms and plastics:
        step = "compare arms with arms and materials with materials"
        raise wrong("THING", ", ".join(named), "arms only, or materials only", step)
    candidates = levelled(arms) or timed_plastics(plastics)
    if len(candidates) < 2:
        raise wrong("THING", ", ".join(named), "two or more to compare", "name another")
    rankings = _rankings(candidates, by, arms=bool(arms))
    frames = tuple(map(read_built_frame, named)) if all(map(_is_build, named)) else ()
    text = comparison_page(candidates, rankings, __version__, frames) if out else ""
    page = write_whole(out / "comparison.html", text) if out else None
    return Compared(candidates, rankings, cards.about(named), page, frames)


def _is_build(thing: str) -> bool:
    return Path(thing).is_dir() or Path(thing).name == "study.json"


def _candidate(thing: str, cards: LearnedCards) -> tuple[bool, MaterialCard, Candidate]:
    """Of a build, readings, or a material's key; whether it is an arm, and its material."""
    path = Path(thing)
    if _is_build(thing):
        built = read_built(path)
        return True, built.card, timed_arm(built)
    if path.suffix.lower() in _FILES:
        session = read_session(path)
        card = material_cards()[session.file.material]
        if is_arm(session.file):
            return True, card, arm_of_session(session.file, card)
        return False, card, plastic_of_session(reduce_session(session, card), card)
    card = card_of("THING", thing, cards)
    return False, card, candidate_of(card)


def _rankings(
    candidates: tuple[Candidate, ...], by: str, *, arms: bool
) -> tuple[tuple[str, str, tuple[Ranked, ...]], ...]:
    if arms:
        why = "Measured stiffness where it was measured, predicted otherwise, over the mass."
        return (("Stiffness for mass at the tip", why, rank_variants(candidates)),)
    wanted = INDICES if by == "all" else {by: INDICES[by]}
    return tuple(
        (index.formula, f"For {index.applies}.", rank_materials(candidates, index))
        for index in wanted.values()
    )


def compared_lines(done: Compared) -> Iterator[str]:
    """Side by side, then each ranking with what it is for."""
    yield from candidate_lines(done.candidates)
    for title, why, places in done.rankings:
        yield ""
        yield from ranking_lines(places, f"{title}. {why}")
    if done.frames:
        yield ""
        yield from frame_lines(done.frames)
    if done.notes:
        yield ""
    yield from done.notes
    if done.page is not None:
        yield f"page: {done.page}"


def compared_json(done: Compared) -> str:
    """The same for machines, SI."""
    rankings = [{"by": t, "why": why, "places": plain(p)} for t, why, p in done.rankings]
    page = None if done.page is None else str(done.page)
    document = {"candidates": plain(done.candidates), "rankings": rankings,
                "frames": plain(done.frames), "notes": list(done.notes), "page": page}  # fmt: skip
    return json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False)


@dataclass(frozen=True)
class Calibrated:
    """Every score so far, and what they say together."""

    scores: tuple[Score, ...]
    found: Calibration
    page: Path | None


def calibrate(store: Path | None, out: Path | None) -> Calibrated:
    """How honest the predictions of one store have been."""
    file = store_file(store, Path())
    if file is None:
        step = "add --store with the store that holds predictions and scores"
        raise wrong("--store", "nothing", "the store of a bench", step)
    with opened(existing("--store", file)) as kept:
        assert kept is not None  # a file was given
        scores = kept.scores()
    z = [each.z for each in scores]
    found, page = calibration(z), None
    if out and scores:
        text = calibration_page(scores, found, running(z), __version__)
        page = write_whole(out / "calibration.html", text)
    return Calibrated(scores, found, page)


def calibrated_lines(done: Calibrated) -> Iterator[str]:
    """Every score, then what they say together."""
    yield from score_lines(done.scores)
    yield from calibration_lines(done.found)
    if done.page is not None:
        yield f"page: {done.page}"


def calibrated_json(done: Calibrated) -> str:
    """The same for machines, SI."""
    page = None if done.page is None else str(done.page)
    document = {"scores": plain(done.scores), "calibration": plain(done.found), "page": page}
    return json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False)
