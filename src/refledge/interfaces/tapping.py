"""What ``refledge tap`` and ``refledge vibration`` do."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from refledge import __version__
from refledge.bench.predicting import FIRST_MODE, answer_of_taps, off_prediction, with_spread
from refledge.bench.tap import match_modes, tap_test
from refledge.bench.vibration import vibration
from refledge.inputs.built import MODE_SETS, Built, read_built
from refledge.inputs.recordings import read_recording
from refledge.interfaces.bench_options import existing, opened, store_file, wrong
from refledge.model.learning import Score
from refledge.model.recordings import ModeMatch, Recording, TapResult, VibrationResult
from refledge.outputs.bench_recordings import tap_page, vibration_page
from refledge.outputs.bench_words import score_lines, tap_lines, vibration_lines
from refledge.outputs.record import plain
from refledge.whole import write_whole

_CURVES = ("frequency", "power", "time", "orders", "order_rms")


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What was asked for on the command line."""

    recording: Path
    against: Path | None
    modes: str
    predicted: str
    store: Path | None
    out: Path | None
    blades: int = 2


@dataclass(frozen=True)
class Tapped:
    """One recording of taps, against what was predicted."""

    found: TapResult
    matches: tuple[ModeMatch, ...]
    scores: tuple[Score, ...]
    page: Path | None

    @property
    def holds(self) -> bool:
        """Nothing grave, and no mode farther off its prediction than both may err."""
        z = [m.z for m in self.matches] + [s.z for s in self.scores]
        return not any(f.grave for f in self.found.findings) and not off_prediction(z)


def tap(wanted: Wanted) -> Tapped:
    """Hear the modes, match them, score the piece's prediction, draw."""
    built = _built(wanted)
    recording = read_recording(wanted.recording)
    found = tap_test(recording)
    matches: tuple[ModeMatch, ...] = ()
    if built is not None:
        matches = match_modes(found.modes, with_spread(built.modes[wanted.modes], built.card))
    scores = _scored(wanted, found) if wanted.predicted else ()
    text = tap_page(recording, found, matches, __version__, scores) if wanted.out else ""
    return Tapped(found, matches, scores, _page(wanted, text))


def _built(wanted: Wanted) -> Built | None:
    if wanted.modes not in MODE_SETS:
        raise wrong("--modes", f'"{wanted.modes}"', ", ".join(MODE_SETS), "choose one of these")
    return None if wanted.against is None else read_built(wanted.against)


def _scored(wanted: Wanted, found: TapResult) -> tuple[Score, ...]:
    """The first mode against what was written down before; a score that stands is kept."""
    file = store_file(wanted.store, wanted.recording.parent)
    if file is None:
        step = "add --store with the store that the prediction was kept in"
        raise wrong("--predicted", f'"{wanted.predicted}"', "a store with that prediction", step)
    with opened(existing("--store", file)) as store:
        assert store is not None  # a file was given
        known = {each.prediction.name: each for each in store.scores()}
        predictions = {each.name: each for each in store.predictions(wanted.predicted)}
        name = f"{wanted.predicted}: {FIRST_MODE}"
        if name not in predictions:
            names = sorted({each.name.split(": ")[0] for each in store.predictions()})
            step = "predict first: refledge coupon short-arm --brief BRIEF --store FILE"
            raise wrong("--predicted", f'"{wanted.predicted}"', "; ".join(names) or "none", step)
        answer = answer_of_taps(found.modes, predictions[name])
        note = f"{wanted.recording.name}: {answer.note}"
        score = known.get(name) or store.score(name, answer.value, answer.uncertainty, note)
    return (score,)


def _page(wanted: Wanted, text: str) -> Path | None:
    if wanted.out is None:
        return None
    return write_whole(wanted.out / f"{wanted.recording.stem}.html", text)


def tapped_lines(done: Tapped) -> Iterator[str]:
    """Modes, matches, scores, where the page is."""
    yield from tap_lines(done.found, done.matches)
    if done.scores:
        yield "against the prediction:"
        yield from score_lines(done.scores)
    if done.page is not None:
        yield f"page: {done.page}"


@dataclass(frozen=True)
class Shaken:
    """One vibration log."""

    recording: Recording
    found: VibrationResult
    page: Path | None

    @property
    def holds(self) -> bool:
        """Nothing grave stands against the log."""
        return not any(f.grave for f in self.found.findings)


def shake(wanted: Wanted) -> Shaken:
    """Where the shaking comes from, and which predicted mode answers."""
    if wanted.blades < 1:
        raise wrong("--blades", str(wanted.blades), "1 or more", "count the propeller's blades")
    built = _built(wanted)
    recording = read_recording(wanted.recording)
    modes = () if built is None else built.modes[wanted.modes]
    found = vibration(recording, modes, wanted.blades)
    text = ""
    if wanted.out:
        text = vibration_page(recording, found, modes, wanted.blades, __version__)
    return Shaken(recording, found, _page(wanted, text))


def shaken_lines(done: Shaken) -> Iterator[str]:
    """Lines of the log, where the page is."""
    yield from vibration_lines(done.found)
    if done.page is not None:
        yield f"page: {done.page}"


def as_json(done: Tapped | Shaken) -> str:
    """For machines, SI; without the curves, which the page draws."""
    found = {k: v for k, v in vars(done.found).items() if k not in _CURVES}
    document = {name: plain(value) for name, value in found.items()}
    document |= {"holds": done.holds, "page": None if done.page is None else str(done.page)}
    if isinstance(done, Tapped):
        document |= {"matches": plain(done.matches), "scores": plain(done.scores)}
    return json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False)
