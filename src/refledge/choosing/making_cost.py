"""Print hours, filament and its price of a sized frame, by the print plan's model on its solids."""

from dataclasses import dataclass

from refledge.airframe.making import make_solids
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.printing.calibration import calibrate
from refledge.printing.orienting import figures_as_laid


@dataclass(frozen=True)
class Making:
    """What the printed parts cost to make."""

    printed_mass: float
    """kg of filament, support included."""
    hours: float  # h of printing, one part after the other, warm-up left out
    hours_spread: float
    """h, standard uncertainty of that; the model's error is common to all parts."""
    price_low: float
    """In the currency of the material cards."""
    price_high: float
    parts: int
    """Printed parts in all."""
    different: int
    """Different printed parts, each a file of its own."""


def making_of(task: Task, sized: Sized) -> Making:
    """Every part drawn as a solid, laid as sizing assumes, and timed (printing/timing.py).

    The model is taken as it is before any print of one's own has set it right. Raises
    GeometryError where a part cannot be drawn.
    """
    solids, model = make_solids(task, sized.frame, sized.layout), calibrate()
    printed = [spec for spec in solids.specs if spec.printed]
    mass = seconds = spread = low = high = 0.0
    for spec in printed:
        mesh, card = solids.assembly.meshes[spec.key], task.cards[spec.material]
        figures = figures_as_laid(mesh, spec.print_rotation, task.brief.frame, task.brief.printer)
        time, doubt = model.seconds(figures)
        part = spec.quantity * model.plastic_of(figures) * card.rho.value
        seconds, spread = seconds + spec.quantity * time, spread + spec.quantity * doubt
        low, high = low + part * card.price_low.value, high + part * card.price_high.value
        mass += part
    return Making(
        printed_mass=mass,
        hours=seconds / 3600,
        hours_spread=spread / 3600,
        price_low=low,
        price_high=high,
        parts=sum(spec.quantity for spec in printed),
        different=len(printed),
    )
