"""The figures of one whole airframe that are held against another's. SI."""

from dataclasses import dataclass

from refledge.model.fields import part, quantity, text

BORNE = ("strength", "joints")
"""Groups of checks that say how much of its strength a frame uses."""
FULL, LANDING = "full-thrust", "landing-all"
"""Load cases of flight and of landing that airframes are compared by."""


@dataclass(frozen=True, kw_only=True)
class FrameFigures:
    """One airframe as designed and planned."""

    name: str = text("how it is told from the others")
    arms: str = text("kind and plastic of its arms")
    all_up_mass: float = quantity("all-up mass", "kg", "kg")
    frame_mass: float = quantity("frame mass", "kg", "g")
    arm_mass: float = quantity("each arm", "kg", "g")
    hover_time: float = quantity("hover time", "s", "min")
    first_mode: float = quantity("lowest mode of the free airframe", "Hz", "Hz")
    tilt: float = quantity("motor tilt at full thrust", "rad", "deg")
    deflection: float = quantity("arm tip moves at full thrust", "m", "mm")
    felt: float = quantity(
        "flight controller, were its worst mode in resonance", "m/s**2", "m/s**2"
    )
    landing: float = quantity("hard landing pushes the legs with", "N", "N")
    use: float = quantity("greatest use of strength and joints", "1", "%")
    worst: str = text("where")
    seconds: float = quantity("printing time", "s", "h")
    filament: float = quantity("filament, support included", "kg", "g")
    support: float = quantity("support to break away", "m**3", "cm**3")
    price: tuple[float, float] = part("its price, currency of the material card")
    verdicts: tuple[tuple[str, int], ...] = part("checks by what they say")
