"""What the bench should read of an airframe: bending of one arm under a weight, its first mode.

The same beam frame as everywhere, held as a vice would hold it: plates fast, one arm free.
"""

from dataclasses import dataclass

import numpy as np

from refledge.analysis.beam import all_dofs, solve_static
from refledge.errors import AnalysisError
from refledge.flight.air import GRAVITY
from refledge.study import Study

WEIGHTS = (10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05)
"""Weights that a bench has, kg, heaviest first."""


@dataclass(frozen=True)
class BenchReadings:
    """Expected readings; spreads are relative standard uncertainties (1)."""

    weight: float
    """Hung at the motor axis, kg."""
    deflection: float
    """Of the motor axis, down, when the weight is added, m."""
    deflection_spread: float
    frequency: float
    """First mode of one arm with its motor, plates held, Hz."""
    frequency_spread: float
    moves: str
    """What moves in that mode."""
    dry_mass: float
    """Everything but battery and payload, kg."""
    all_up_mass: float


def bench_readings(study: Study) -> BenchReadings:
    """Readings of one arm in a vice and of the scale.

    The weight is the heaviest on the shelf that the arm's motors lift at full thrust, so that the
    test loads it no more than flight does.
    """
    lifted = sum(
        state.thrust
        for state, arm in zip(study.full.rotors, study.layout.arm_of_rotor, strict=True)
        if arm == 0
    )
    weight = next((w for w in WEIGHTS if w * GRAVITY <= lifted), WEIGHTS[-1])
    spread = study.cards[study.frame.arm.material].E_xy.spread
    brief = study.brief
    return BenchReadings(
        weight=weight,
        deflection=weight * GRAVITY * tip_compliance(study),
        deflection_spread=spread,
        frequency=float(study.arm_modes.frequencies[0]),
        frequency_spread=spread / 2,  # frequency goes with the root of stiffness
        moves=study.arm_modes.labels[0].split(",")[0].replace("arms bend", "the arm bends"),
        dry_mass=study.all_up_mass - brief.battery.mass - brief.payload.mass,
        all_up_mass=study.all_up_mass,
    )


def tip_compliance(study: Study) -> float:
    """Downward motion of the first arm's motor axis for each newton there, plates held, m/N."""
    structure = study.assessment.structure
    beams = [
        number
        for number, bar in enumerate(structure.bars)
        if bar.part in ("arm", "tube") and bar.index == 0
    ]
    if not beams:
        raise AnalysisError("the beam frame has no arm to hang a weight on")
    mine = set(structure.frame.elements[beams].ravel().tolist())
    held = [node for node in range(len(structure.frame.nodes)) if node not in mine]
    loads = np.zeros((len(structure.frame.nodes), 6))
    loads[structure.tips[0], 2] = -1.0
    found = solve_static(structure.frame, loads, all_dofs(*held)).displacements
    return float(-found[structure.tips[0], 2])
