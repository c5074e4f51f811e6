"""What the rotors' residual unbalance makes each part bear in hover, beside the hover itself."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from refledge.airframe.felt import rotor_force
from refledge.airframe.statics import CaseResult
from refledge.airframe.stressing import PartStress
from refledge.airframe.structure import Structure
from refledge.airframe.task import Task
from refledge.analysis.shaken import steady, steady_ends
from refledge.typed import Floats

Judge = Callable[[tuple[CaseResult, ...]], tuple[tuple[PartStress, ...], ...]]
"""Stress of each kind of part in each result."""


@dataclass(frozen=True)
class Swing:
    """Half the swing of one kind of part's use of strength, without factor (1)."""

    part: str
    in_plane: float
    layers: float


def hover_swings(
    task: Task, structure: Structure, hover: CaseResult, damping: float, judge: Judge
) -> tuple[Swing, ...]:
    """At the highest hover speed; rotors out of step, so that they add as root of squares.

    Each rotor's force (ISO 21940-11 at the brief's grade) goes round in its plane. A stress that
    swings as use(re) cos + use(im) sin is at most the root of their squares; parts that bear one
    way better than the other count with the worse.
    """
    speed = max(task.speeds.hover_speeds)
    per_arm = rotor_force(task, speed) * np.sqrt(len(task.speeds.hover_speeds))
    loads = np.zeros((len(structure.tips), len(structure.frame.nodes), 6), np.complex128)
    for row, tip in enumerate(structure.tips):
        loads[row, tip, :2] = per_arm, -1j * per_arm
    loss = 2 * damping
    moved = steady(structure.frame, loads, speed, loss)
    ends = steady_ends(structure.frame, moved, speed, loss)
    waves = [part for each in ends for wave in (each.real, each.imag) for part in (wave, -wave)]
    still = np.zeros(6)
    results = tuple(replace(hover, forces=wave, acceleration=still) for wave in waves)
    return tuple(_swing(parts) for parts in zip(*judge(results), strict=True))


def _swing(parts: tuple[PartStress, ...]) -> Swing:
    """Of one kind of part in the waves: both ways of both phases of each arm's rotors."""

    def total(uses: Floats) -> float:
        return float(np.sqrt((uses.reshape(-1, 2).max(axis=1) ** 2).sum()))

    return Swing(
        parts[0].part,
        total(np.array([each.in_plane for each in parts])),
        total(np.array([each.layers for each in parts])),
    )
