"""A plain estimate of print hours and the price of the plastic, from printed mass alone."""

from collections import Counter
from dataclasses import dataclass

from refledge.airframe.estimate import material_of
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task

MEAN_SPEED = 0.06
"""m/s, nozzle speed averaged over walls, skins and infill: from memory, typical of printers that
are not built for speed; a factor of two either way."""
TRAVEL = 1.15
"""Whole time over the time in which plastic flows: from memory, typical."""


@dataclass(frozen=True)
class Making:
    """What the printed parts cost to make."""

    printed_mass: float  # kg
    hours: float  # h of printing
    price_low: float
    """In the currency of the material cards."""
    price_high: float
    parts: int
    """Printed parts in all."""
    different: int
    """Different printed parts, each a file of its own."""


def making_of(task: Task, sized: Sized) -> Making:
    """Time: volume of plastic over layer height x line width x MEAN_SPEED, times TRAVEL."""
    lumps = sized.assessment.lumps
    counts = Counter(lump.part for lump in lumps if lump.group == "printed")
    printer = task.brief.printer
    flow = printer.layer * printer.extrusion_width * MEAN_SPEED
    mass = volume = low = high = 0.0
    for key, count in counts.items():
        material = material_of(sized.frame, key)
        card, part = task.cards[material], count * sized.part_masses[key]
        mass, volume = mass + part, volume + part / card.rho.value
        low, high = low + part * card.price_low.value, high + part * card.price_high.value
    return Making(
        printed_mass=mass,
        hours=TRAVEL * volume / flow / 3600,
        price_low=low,
        price_high=high,
        parts=sum(counts.values()),
        different=len(counts),
    )
