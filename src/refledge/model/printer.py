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
    first_layer_spread: float = quantity(
        "how far the first layer spreads on each side; print files draw it in by that much",
        "m",
        "mm",
        low=0.0,
        high=1e-3,
        default=2e-4,
        reason="common practice, no source; measure your own printer (docs/fits.md)",
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
    speed_walls: float = quantity(
        "speed along walls",
        "m/s",
        "mm/s",
        low=5e-3,
        high=1.0,
        default=0.06,
        reason="from memory, typical of a well-kept hobby printer",
    )
    speed_fill: float = quantity(
        "speed along skins and infill",
        "m/s",
        "mm/s",
        low=5e-3,
        high=1.0,
        default=0.09,
        reason="from memory, typical of a well-kept hobby printer",
    )
    speed_travel: float = quantity(
        "speed without printing",
        "m/s",
        "mm/s",
        low=5e-3,
        high=2.0,
        default=0.15,
        reason="from memory, typical of a well-kept hobby printer",
    )
    acceleration: float = quantity(
        "acceleration of the head",
        "m/s^2",
        "mm/s^2",
        low=0.1,
        high=50.0,
        default=2.0,
        reason="from memory, typical of a well-kept hobby printer",
    )
    most_flow: float = quantity(
        "most plastic that the hot end melts",
        "m^3/s",
        "mm^3/s",
        low=1e-9,
        high=1e-7,
        default=11 * 1e-9,
        reason="from memory, typical of a common hot end",
    )
    layer_change: float = quantity(
        "time from one layer to the next",
        "s",
        "s",
        low=0.0,
        high=60.0,
        default=1.0,
        reason="from memory, lift, move and prime",
    )
    least_layer_time: float = quantity(
        "least time on one layer, so that it cools",
        "s",
        "s",
        low=0.0,
        high=120.0,
        default=8.0,
        reason="common practice, no source",
    )
    warm_up: float = quantity(
        "time from start to first layer",
        "s",
        "min",
        low=0.0,
        high=7200.0,
        default=360.0,
        reason="from memory, heating and levelling of a common printer",
    )
    power: float = quantity(
        "mean electrical power while printing",
        "W",
        "W",
        low=1.0,
        high=3000.0,
        default=120.0,
        reason="from memory, typical with a heated bed at 60 °C",
    )
    energy_price: float = quantity(
        "price of electricity, in the currency of the filament, for one kWh",
        "1",
        "1",
        low=0.0,
        high=10.0,
        default=0.3,
        reason="a guess; see your bill",
    )
    filaments: tuple[str, ...] = part("material keys of the spools on the shelf")
    spools: tuple[str, ...] = part(
        'which of several spools that the bench tested is printed, such as "PETG: grey 3"',
        default=(),
        reason="of each material the spool tested last",
    )

    @property
    def spool_names(self) -> dict[str, str]:
        """Material key to the spool named for it."""
        pairs = (each.split(":", 1) for each in self.spools)
        return {key.strip(): name.strip() for key, name in pairs}

    @property
    def extrusion_width(self) -> float:
        """Width of one printed line, m: 1.125 nozzle bores (common practice, no source)."""
        return 1.125 * self.nozzle
