"""From a brief and items to try to the grid of a sweep."""

import numpy as np

from refledge.flight.air import site_density, speed_of_sound
from refledge.flight.other_power import other_power
from refledge.flight.rotor import RotorModel
from refledge.flight.throttle import MOST_TIP_MACH
from refledge.model.brief import Brief
from refledge.model.items import Battery, Motor, Propeller
from refledge.sweeps.grid import Common, Grid, Motors, Packs, Propellers
from refledge.typed import Floats


def propellers_of(rotors: list[tuple[Propeller, RotorModel]]) -> Propellers:
    """Each rotor's coefficients as a power law of speed, least squares over its table.

    The law meets a measured table within about 2 % (docs/flight.md); one row gives powers of 0.
    """
    rows = [_power_law(item, rotor) for item, rotor in rotors]
    return Propellers(*np.array(rows, dtype=np.float64).reshape(-1, 8).T)


def _power_law(item: Propeller, rotor: RotorModel) -> tuple[float, ...]:
    speed = np.array(rotor.CT_curve.knots)
    CT, CP = np.array(rotor.CT_curve.values), np.array(rotor.CP_curve.values)
    reference = float(np.exp(np.mean(np.log(speed))))
    laws = []
    for values in (CT, CP):
        if len(speed) == 1:
            laws += [float(values[0]), 0.0]
            continue
        power, level = np.polyfit(np.log(speed / reference), np.log(values), 1)
        laws += [float(np.exp(level)), float(power)]
    top, rise, cost, growth = laws
    return (item.diameter, item.mass, top, cost, rise, growth, reference, rotor.blades)


def packs_of(batteries: list[Battery]) -> Packs:
    """The packs as arrays."""
    rows = [
        (
            each.cells,
            each.capacity,
            each.resistance,
            each.mass,
            each.max_current,
            each.usable,
            each.chemistry == "Li-ion",
        )
        for each in batteries
    ]
    return Packs(*np.array(rows, dtype=np.float64).reshape(-1, 7).T)


def motors_of(motors: list[Motor]) -> Motors:
    """The motors as arrays."""
    rows = [
        (each.Kv, each.resistance, each.no_load_current, each.max_current, each.mass)
        for each in motors
    ]
    return Motors(*np.array(rows, dtype=np.float64).reshape(-1, 5).T)


def brief_grid(
    brief: Brief,
    rotors: list[tuple[Propeller, RotorModel]],
    packs: list[Battery],
    motors: list[Motor],
    kinds: tuple[str, ...],
    reach: Floats,
) -> Grid:
    """The grid about one brief: what it carries and its air, with the items to try.

    ``reach`` (kinds, packs), m, encloses what a propeller's tip must pass.
    """
    fixed = brief.payload.mass + brief.flight_controller.mass + brief.wiring
    controller = brief.speed_controller
    return Grid(
        kinds=kinds,
        propellers=propellers_of(rotors),
        packs=packs_of(packs),
        motors=motors_of(motors),
        common=Common(
            rho=site_density(brief.mission),
            carried=fixed + sum(each.mass for each in brief.others),
            controller_mass=controller.mass,
            controller_resistance=controller.resistance,
            controller_current=controller.max_current,
            tip_gap=brief.layout.tip_gap,
            body_gap=brief.layout.body_gap,
            other_power=other_power(brief),
            most_tip_speed=MOST_TIP_MACH * speed_of_sound(brief.mission.air_temperature),
        ),
        reach=reach,
    )
