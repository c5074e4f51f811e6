"""The pages of a tap recording and of a vibration log."""

from collections.abc import Sequence
from math import isnan

from markupsafe import Markup

from refledge.model.learning import Score
from refledge.model.recordings import MeasuredMode, ModeMatch, Recording, TapResult, VibrationResult
from refledge.outputs.bench_blocks import Block, block_page, finding_block
from refledge.outputs.bench_sounds import (
    orders_chart,
    spectrogram_chart,
    spectrum_chart,
    taps_chart,
)
from refledge.outputs.bench_words import percent_or_not, score_words

_MODES = ("frequency", "damping", "half power", "decrement", "they differ by", "confidence", "note")
_MATCHES = ("predicted mode", "predicted", "heard", "difference", "z")
_LINES = ("line", "frequency", "acceleration, rms", "of the energy", "follows", "matches")


def tap_page(
    recording: Recording,
    found: TapResult,
    matches: Sequence[ModeMatch],
    version: str,
    scores: Sequence[Score] = (),
) -> str:
    """HTML of what the taps say."""
    window = f"{found.window}; lines {found.resolution:.2f} Hz wide; dB of the mean of all taps."
    blocks = [
        Block("Modes heard", "Damping from the poles, in parts of critical.", _MODES,
              tuple(map(_mode, found.modes)), (1, 2, 3, 4, 5)),
        Block("Spectrum", window, charts=(Markup(spectrum_chart(found, matches)),)),
        Block("Recording", charts=(Markup(taps_chart(recording, found)),)),
        finding_block(found.findings),
    ]  # fmt: skip
    if matches:
        rows = tuple(map(_match, matches))
        blocks.insert(1, Block("Against the predicted modes", heads=_MATCHES, rows=rows,
                               numbers=(1, 2, 3, 4)))  # fmt: skip
    if scores:
        heads = ("predicted before the test", "predicted", "measured", "z")
        rows = tuple(score_words(each) for each in scores)
        blocks.insert(1, Block("Against the prediction", heads=heads, rows=rows, numbers=(1, 2, 3)))
    grave = sum(each.grave for each in found.findings)
    words = f"{len(found.modes)} modes from {len(found.taps)} taps"
    head = ("near", f"{words}; {grave} grave findings") if grave else ("good", words)
    return block_page("tap test", recording.source, blocks, version, headline=head)


def _mode(m: MeasuredMode) -> tuple[str, ...]:
    return (
        f"{m.frequency:.2f} ± {m.uncertainty:.2f} Hz", f"{m.damping:.2%}",
        percent_or_not(m.half_power), percent_or_not(m.log_decrement),
        percent_or_not(m.disagreement), f"{m.confidence:.0%}", m.note,
    )  # fmt: skip


def _match(m: ModeMatch) -> tuple[str, ...]:
    predicted = f"{m.predicted:.1f} ± {m.predicted_uncertainty:.1f} Hz"
    if isnan(m.measured):
        return (m.label, predicted, "nothing near", "–", "–")
    return (m.label, predicted, f"{m.measured:.1f} Hz", f"{m.difference:+.1%}", f"{m.z:+.1f}")


def vibration_page(
    recording: Recording,
    found: VibrationResult,
    modes: Sequence[tuple[str, float]],
    blades: int,
    version: str,
) -> str:
    """HTML of where the shaking comes from."""
    rows = tuple(
        (x.name, f"{x.frequency:.1f} Hz", f"{x.rms:.2f} m/s²", f"{x.share:.0%}", x.follows,
         x.matches)
        for x in found.lines
    )  # fmt: skip
    spectrogram = spectrogram_chart(found, recording, modes, blades)
    blocks = [
        Block("What shakes", heads=_LINES, rows=rows, numbers=(1, 2, 3)),
        Block("Spectrogram", "Lines that rise and fall follow the rotors; level ones are the "
              "frame's own. Ticks at the right are predicted modes.",
              charts=(Markup(spectrogram),)),
    ]  # fmt: skip
    if found.orders.size:
        blocks.append(Block("Orders", charts=(Markup(orders_chart(found, blades)),)))
    blocks.append(finding_block(found.findings))
    head = ("good", f"{found.rms:.2f} m/s² in all, all axes")
    return block_page("vibration log", recording.source, blocks, version, headline=head)
