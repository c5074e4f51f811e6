"""Antennas that a printed holder keeps."""

from dataclasses import dataclass
from math import pi

from refledge.model.fields import count, quantity


@dataclass(frozen=True, kw_only=True)
class Antennas:
    """Antennas in a printed holder, each stiff end in a tube of its own. Used only where
    frame.antenna_holder names the item that they belong to."""

    count: int = count(
        "how many: one, or two that lean away from one another",
        low=1,
        high=2,
        default=2,
        reason="common practice: two at right angles, so that one of them always sees the ground",
    )
    length: float = quantity(
        "of the stiff end, from where its lead is soft",
        "m",
        "mm",
        low=10e-3,
        high=0.2,
        default=31e-3,
        reason="a quarter wave at 2.4 GHz: the speed of light over four times the frequency",
    )
    diameter: float = quantity(
        "of the stiff end with its sleeve",
        "m",
        "mm",
        low=0.8e-3,
        high=8e-3,
        default=2.5e-3,
        reason="from memory, typical with a heat-shrink sleeve; measure yours",
    )
    lead: float = quantity(
        "diameter of the coaxial lead",
        "m",
        "mm",
        low=0.5e-3,
        high=4e-3,
        default=1.2e-3,
        reason="from memory, typical of the leads of small receivers; measure yours",
    )
    tilt: float = quantity(
        "lean of each from the upright; two lean apart by twice this",
        "rad",
        "deg",
        low=0.0,
        high=pi / 4,
        default=pi / 4,
        reason="two stand at right angles; a tube that leans more does not print without support",
    )
    clear: float = quantity(
        "from the stiff ends to motors, battery, other electronics and carbon",
        "m",
        "mm",
        low=0.0,
        high=0.3,
        default=20e-3,
        reason="wavelength over 2 pi at 2.4 GHz, where the reactive near field ends: what conducts "
        "within it detunes the antenna",
    )
    mass: float = quantity(
        "of one with its lead, where the item's own mass leaves it out",
        "kg",
        "g",
        low=0.0,
        high=0.1,
        default=2e-3,
        reason="from memory, typical",
    )
