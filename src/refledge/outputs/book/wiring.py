"""The wiring table: every lead with its current, gauge and length."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from refledge.flight.wires import LEADS, SIGNAL, TIGHTEST, Gauge, bundle, gauge, gauge_for
from refledge.geometry.folded import wire_way
from refledge.study import Study
from refledge.typed import Floats
from refledge.units import show

LOOP = 0.03
"""Length for bends, solder and plugs at both ends of a lead, m: common practice, no source."""
DETOUR = 1.1
"""Wires run along parts, not straight: our choice."""


@dataclass(frozen=True)
class Wire:
    """Leads of one kind."""

    what: str
    number: int
    hover: float  # A
    full: float  # A
    gauge: Gauge
    length: float
    """Of each lead, m."""
    note: str

    @property
    def lost(self) -> float:
        """V, along one lead in hover."""
        return self.hover * self.gauge.resistance * self.length


def wires(study: Study) -> tuple[Wire, ...]:
    """Power first, then signals."""
    return (*_power(study), *_signals(study))


def way(study: Study) -> str:
    """How the motor leads run, and whether they pass the arm's bore."""
    wire, arm = wires(study)[0].gauge, study.frame.arm
    number, bore = LEADS * study.frame.mount.per_arm, arm.bore
    together = bundle(number, wire)
    turn = show(TIGHTEST * wire.outside, "m", "mm", 2)
    size = show(wire.outside, "m", "mm", 2)
    words = (
        f"The way of the motor leads: a lead is about {size} thick over its insulation (typical, "
        f"from memory); {number} together pass a hole of {show(together, 'm', 'mm', 2)}. The arm's "
        f"bore is {show(bore, 'm', 'mm', 2)}"
    )
    if study.frame.clip is not None:
        passes = "; they run on top of the arm in its clips. "
    elif together <= bore:
        passes = ": draw them through before plugs are soldered on, as plugs do not pass. "
    elif bundle(LEADS, wire) <= bore:
        passes = (
            ": too narrow for all. Draw those of the upper motor through before plugs are "
            "soldered on; tie those of the lower motor under the arm every 50 mm, clear of its "
            "propeller. "
        )
    else:
        passes = (
            ": they do not pass. Tie them along the arm's underside every 50 mm, clear of the "
            "propellers. "
        )
    if study.frame.hinge is not None:
        loop = show(_past_hinge(study), "m", "mm", 2)
        start = "the innermost clip" if study.frame.clip is not None else "the arm's inner end"
        passes += (
            f"Between {start} and the middle of the plates leave a loose loop of "
            f"{loop}, lying flat between the plates: so much longer is their way with the arm "
            "folded. "
        )
    return words + passes + f"Bend no lead tighter than a radius of {turn}, least of all at a bore."


def _length(*steps: Floats) -> float:
    """Along the axes between points (3,), m, with detour and loops."""
    straight = sum(float(np.abs(b - a).sum()) for a, b in pairwise(steps))
    return DETOUR * straight + LOOP


def _power(study: Study) -> Iterator[Wire]:
    layout, hover, full = study.layout, study.hover, study.full
    n = layout.n_rotors
    rim = study.frame.plate.outer_radius
    motor = max(
        DETOUR * (float(np.hypot(p[0], p[1])) - rim / 2 + abs(float(p[2]))) + LOOP
        for p in layout.positions
    ) + _past_hinge(study)
    lasting, short = (max(s.current for s in point.rotors) for point in (hover, full))
    yield Wire(
        "motor to its speed controller", LEADS * n, lasting, short, gauge_for(lasting, short),
        motor, "their way: below; swap any two of the three to turn the other way",
    )  # fmt: skip
    lasting, short = (
        max(s.electrical_power for s in point.rotors) / point.battery_voltage
        for point in (hover, full)
    )
    yield Wire(
        "speed controller to the power joint, plus and minus", 2 * n, lasting, short,
        gauge_for(lasting, short), DETOUR * rim + LOOP, "between the plates",
    )  # fmt: skip
    yield Wire(
        "battery to the power joint, plus and minus", 2, hover.battery_current,
        full.battery_current, gauge_for(hover.battery_current, full.battery_current),
        _length(_place(study, "battery"), np.zeros(3)) + study.brief.battery.length / 2,
        "with the plug of the battery; through the power module where there is one",
    )  # fmt: skip


def _past_hinge(study: Study) -> float:
    """What a lead is longer by, so that it follows a folding arm, m."""
    return 0.0 if study.frame.hinge is None else wire_way(study.frame).slack


def _signals(study: Study) -> Iterator[Wire]:
    controller = _place(study, "flight_controller")
    yield Wire(
        "speed controller to the flight controller, signal and ground", 2 * study.layout.n_rotors,
        0.0, 0.0, gauge(SIGNAL),
        _length(np.array([study.frame.plate.outer_radius, 0.0, 0.0]), controller),
        "output number is the motor number",
    )  # fmt: skip
    for index, item in enumerate(study.brief.others, 1):
        place = _place(study, f"other_{index}")
        yield Wire(
            f"{item.name} to the flight controller", 1, 0.0, 0.0, gauge(SIGNAL),
            _length(place, controller), "a cable; as many cores as its plug has",
        )  # fmt: skip


def _place(study: Study, key: str) -> Floats:
    """Where an item stands, (3,), m; the middle where the assembly does not show it."""
    found = [p.translation for p in study.assembly.placements if p.key == key]
    return found[0] if found else np.zeros(3)
