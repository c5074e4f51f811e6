"""The pages of a comparison and of the calibration."""

from collections.abc import Callable, Sequence
from math import isnan

from markupsafe import Markup

from refledge.bench.scoring import Running
from refledge.model.bench_results import Finding
from refledge.model.comparing import Candidate, Ranked
from refledge.model.frame_figures import FrameFigures
from refledge.model.learning import Calibration, Score
from refledge.outputs.bench_blocks import Block, block_page
from refledge.outputs.bench_ranks import calibration_chart, rank_chart
from refledge.outputs.bench_words import amount, calibration_lines, score_words
from refledge.outputs.frame_table import frame_heads, frame_rows
from refledge.units import show

Ranking = tuple[str, str, tuple[Ranked, ...]]
"""Title, why it applies, places."""
Cell = Callable[[Candidate], str]


def comparison_page(
    candidates: Sequence[Candidate],
    rankings: Sequence[Ranking],
    version: str,
    frames: Sequence[FrameFigures] = (),
) -> str:
    """HTML of a comparison: side by side, then each ranking with its chart, then whole airframes
    where builds are compared."""
    blocks = [
        _table(candidates, "Side by side", _MARKED, _PAIRS, _PLAINS),
        _table(candidates, "To print and to pay", _PRINTED, _PRINT_PAIRS, _PRICES, "piece"),
    ]
    for title, why, places in rankings:
        words = tuple(Finding("rank", False, p.words) for p in places)
        chart = Markup(rank_chart(places, title))
        blocks.append(Block(title, why, charts=(chart,), findings=words[:-1]))
    if frames:
        heads = frame_heads(frames)
        numbers = tuple(range(1, len(heads)))
        blocks.append(Block("Whole airframes", _WHOLE, heads, tuple(frame_rows(frames)), numbers))
    names = ", ".join(c.name for c in candidates)
    return block_page("comparison", "Compared", blocks, version, note=names)


_WHOLE = (
    "As designed, each named after its folder: masses, motions and uses by the beam frame, "
    "printing by its print plan, support included."
)
_MARKED = "After ±: one standard uncertainty."
_PRINTED = (
    "Print time is an estimate from the layers of the piece's own solid, warm-up left out, before "
    "any print of yours: a build's arm on the brief's printer; for plastics a solid bar of one "
    "length and width, on a typical printer, as thick as it must be to bend like the stiffest "
    "plastic's. – where there is no solid. Prices are the middle of the card's range, in its "
    "currency, support included."
)
_PAIRS = (
    ("modulus", "E", "Pa"), ("density", "rho", "kg/m**3"),
    ("stiffness predicted", "predicted_stiffness", "N/m"),
    ("stiffness measured", "measured_stiffness", "N/m"), ("mass", "mass", "kg"),
)  # fmt: skip
_PLAINS = (
    ("soft above", "heat_limit", "K", "degC"),
    ("left after ten minutes' load", "creep_factor", "1", "1"),
)
_PRINT_PAIRS = (("print time, estimate", "print_time", "s"),)
_PRICES = (("its plastic costs", "piece_price", "1", ""), ("price a kg", "price", "1", ""))
"""Shown in money, with two places."""


def _table(
    candidates: Sequence[Candidate],
    title: str,
    remark: str,
    pairs: Sequence[tuple[str, str, str]],
    plains: Sequence[tuple[str, str, str, str]],
    words: str = "",
) -> Block:
    """One table; ``words``: a field of plain text that stands first after the name."""
    columns = _columns(candidates, pairs, plains)
    texts: list[tuple[str, Cell]] = [("", lambda c: c.name)]
    if words and any(getattr(c, words) for c in candidates):
        texts.append((words, lambda c: getattr(c, words) or "–"))
    heads = tuple(head for head, _ in (*texts, *columns))
    rows = tuple(tuple(cell(c) for _, cell in (*texts, *columns)) for c in candidates)
    numbers = tuple(range(len(texts), len(heads)))
    return Block(title, remark, heads, rows, numbers)


def _columns(
    candidates: Sequence[Candidate],
    pairs: Sequence[tuple[str, str, str]],
    plains: Sequence[tuple[str, str, str, str]],
) -> list[tuple[str, Cell]]:
    """Headings with what stands under them; columns that no candidate fills are left out."""
    found = [
        (head, _pair_cell(name, unit))
        for head, name, unit in pairs
        if any(getattr(c, name) is not None for c in candidates)
    ]
    found += [
        (head, _plain_cell(name, unit, shown))
        for head, name, unit, shown in plains
        if any(not isnan(getattr(c, name)) for c in candidates)
    ]
    return found


def _pair_cell(name: str, unit: str) -> Cell:
    def cell(c: Candidate) -> str:
        pair = getattr(c, name)
        return "–" if pair is None else f"{amount(pair[0], unit, 3)} ± {pair[1]:.1%}"

    return cell


def _plain_cell(name: str, unit: str, shown: str) -> Cell:
    def cell(c: Candidate) -> str:
        value = getattr(c, name)
        if isnan(value):
            return "–"
        return show(value, unit, shown) if shown else f"{value:.2f}"

    return cell


def calibration_page(
    scores: Sequence[Score], found: Calibration, so_far: Running, version: str
) -> str:
    """HTML of how honest our uncertainty has been."""
    heads = ("predicted before the test", "predicted", "measured", "z", "predicted on", "tested on")
    rows = tuple((*score_words(s), s.made[:10], s.scored[:10]) for s in scores)
    blocks = [
        Block("Tests against predictions", _SHARED,
              charts=(Markup(calibration_chart(scores, so_far)),)),
        Block("Every score", heads=heads, rows=rows, numbers=(1, 2, 3)),
    ]  # fmt: skip
    head = ("near" if found.small else "good", found.words[:1].upper() + found.words[1:])
    note = next(calibration_lines(found))
    return block_page("calibration", "Is our uncertainty honest?", blocks, version, note=note,
                      headline=head)  # fmt: skip


_SHARED = (
    "Figures of one piece share its plastic, so that they count for less than their number; the "
    "dotted lines take them for independent."
)
