"""Candidates of ``refledge compare`` with the print time and price of a piece of each."""

from collections.abc import Sequence
from dataclasses import replace

from refledge.bench.candidates import arm_of_build
from refledge.inputs.built import Built
from refledge.inputs.fasteners import hardware
from refledge.model.comparing import Candidate
from refledge.model.materials import MaterialCard
from refledge.planning.pieces import PieceFigures, arm_figures, bars_as_stiff


def timed_arm(built: Built) -> Candidate:
    """The arm of a build, timed on its own solid with the brief's printer."""
    found = arm_of_build(built.title, built.frame.arm, built.card, built.arm_mass)
    figures = arm_figures(built.frame, hardware(), built.wish, built.printer, built.card)
    return found if figures is None else _timed(found, figures)


def timed_plastics(plastics: Sequence[tuple[MaterialCard, Candidate]]) -> tuple[Candidate, ...]:
    """Plastics, each with a bar that is as stiff as the others' bars."""
    if not plastics:
        return ()
    bars = bars_as_stiff([(card, c.E[0]) for card, c in plastics])
    return tuple(_timed(c, bar) for (_, c), bar in zip(plastics, bars, strict=True))


def _timed(candidate: Candidate, figures: PieceFigures) -> Candidate:
    return replace(
        candidate,
        piece=figures.what,
        print_time=(figures.seconds, figures.spread),
        piece_price=figures.price,
    )
