"""The printer, as the brief describes it."""

from dataclasses import dataclass

from refledge.model.fields import part, quantity


@dataclass(frozen=True, kw_only=True)
class Printer:
    """What the printer can make."""

    bed_length: float = quantity("bed, longer side", "m", "mm", low=0.05, high=2.0)
    bed_width: float = quantity("bed, shorter side", "m", "mm", low=0.05, high=2.0)
    height: float = quantity("greatest printed height", "m", "mm", low=0.05, high=2.0)
    nozzle: float = quantity(
        "nozzle bore", "m", "mm", low=1e-4, high=2e-3, default=4e-4, reason="the usual nozzle"
    )
    layer: float = quantity(
        "layer height",
        "m",
        "mm",
        low=5e-5,
        high=1.2e-3,
        default=2e-4,
        reason="half of the usual nozzle",
    )
    nozzle_limit: float = quantity(
        "highest nozzle temperature",
        "K",
        "degC",
        low=453.15,
        high=773.15,
        default=533.15,
        reason="260 °C, a common hot end",
    )
    bed_limit: float = quantity(
        "highest bed temperature",
        "K",
        "degC",
        low=293.15,
        high=473.15,
        default=373.15,
        reason="100 °C, a common bed",
    )
    enclosed: bool = part("closed or heated chamber", default=False)
    hardened_nozzle: bool = part("nozzle stands fibre-filled plastic", default=False)
    filaments: tuple[str, ...] = part("material keys of the spools on the shelf")

    @property
    def extrusion_width(self) -> float:
        """Width of one printed line, m: 1.125 nozzle bores (common practice, no source)."""
        return 1.125 * self.nozzle
