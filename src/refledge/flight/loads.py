"""Load cases of flight, landing and handling, each with its reason."""

from dataclasses import dataclass

import numpy as np

from refledge.flight.air import GRAVITY, site_density
from refledge.flight.lost import one_rotor_lost
from refledge.flight.rotor import RotorModel
from refledge.flight.shafts import shafts_for
from refledge.model.brief import Brief
from refledge.model.flight import OperatingPoint
from refledge.model.layout import Layout
from refledge.model.loads import LoadCase
from refledge.typed import Floats

ONE_LEG_SHARE = 0.5
# A blow at a distance r from the centre of mass meets the mass m / (1 + r^2/k^2), with k the radius
# of gyration (rigid-body impact, any mechanics text); feet stand about k out, so half.
SIDE_SHARE = 0.5  # sideways over vertical force on a foot: common practice, no source


@dataclass(frozen=True, eq=False)
class _Flight:
    """What every case of one aircraft shares."""

    brief: Brief
    layout: Layout
    rotor: RotorModel
    rho: float
    mass: float
    n_legs: int

    def case(
        self,
        key: str,
        title: str,
        reason: str,
        kind: str,
        *,
        thrust: Floats | None = None,
        torque: Floats | None = None,
        feet: Floats | None = None,
        load_factor: float | None = None,
        held_arm: int = -1,
        sustained: bool = False,
    ) -> LoadCase:
        """A load case; forces not given are zero, the slung payload pulls with ``load_factor``.

        Without ``load_factor`` it is that of the rotor thrust: total over weight.
        """
        none = np.zeros(self.layout.n_rotors)
        thrust = none if thrust is None else thrust
        factor = (
            float(np.sum(thrust)) / (self.mass * GRAVITY) if load_factor is None else load_factor
        )
        slung = self.brief.payload.mass * GRAVITY * factor if self.brief.payload.slung else 0.0
        return LoadCase(
            key=key,
            title=title,
            reason=reason,
            kind=kind,
            rotor_thrust=thrust,
            rotor_torque=none if torque is None else torque,
            foot_force=np.zeros((self.n_legs, 3)) if feet is None else feet,
            slung_force=slung,
            held_arm=held_arm,
            sustained=sustained,
        )

    def reaction(self, torque: Floats) -> Floats:
        """(n_rotors,), N m about z on the frame, for shaft ``torque``: against the turn."""
        return -np.asarray(self.layout.spin) * torque

    def torque_at(self, thrust: Floats) -> Floats:
        """(n_rotors,), N m, shaft torques that go with ``thrust`` (n_rotors,), N."""
        shafts = shafts_for(self.layout, self.rotor, self.rho, thrust)
        return np.array([shaft.torque for shaft in shafts])


def load_cases(
    brief: Brief,
    layout: Layout,
    rotor: RotorModel,
    hover: OperatingPoint,
    full: OperatingPoint,
    all_up_mass: float,
    n_legs: int,
    landing_force_total: float,
) -> tuple[LoadCase, ...]:
    """All load cases; ``landing_force_total``, N, is the ground's push on all legs together."""
    flight = _Flight(brief, layout, rotor, site_density(brief.mission), all_up_mass, n_legs)
    return (
        _at_point(flight, "hover", hover),
        _at_point(flight, "full-thrust", full),
        _full_yaw(flight, hover, full),
        _gust(flight, hover),
        _rotor_lost(flight, hover, full),
        *_landings(flight, landing_force_total),
        _carried(flight),
        *_caught(flight, full),
    )


def _at_point(flight: _Flight, key: str, point: OperatingPoint) -> LoadCase:
    hovers = key == "hover"
    limit = "rotors hold the weight" if hovers else f"limited by {point.limited_by}"
    return flight.case(
        key,
        "hover" if hovers else "full thrust",
        "held for the whole flight, so creep counts" if hovers else f"full climb, {limit}",
        "flight",
        thrust=_thrusts(point),
        torque=flight.reaction(np.array([state.torque for state in point.rotors])),
        sustained=hovers,
    )


def _full_yaw(flight: _Flight, hover: OperatingPoint, full: OperatingPoint) -> LoadCase:
    """Rotors of one turn direction at 1 + c of hover thrust, the others at 1 - c; c as large as
    full thrust allows, at most 1, so that lift stays about hover's."""
    level = _thrusts(hover)
    command = min(1.0, float(np.min(_thrusts(full) / level)) - 1)
    thrust = level * (1 + command * np.asarray(flight.layout.spin))
    return flight.case(
        "yaw",
        "full yaw",
        f"rotors of one turn direction {command:.0%} above hover thrust, the others as far below",
        "flight",
        thrust=thrust,
        torque=flight.reaction(flight.torque_at(thrust)),
    )


def _gust(flight: _Flight, hover: OperatingPoint) -> LoadCase:
    """Thrust gained in a sharp upward gust before speed or inflow can follow: blade element, CT
    falls linearly with inflow (RotorModel.inflow_slope), so a gust w adds that slope times w."""
    gust = flight.brief.mission.gust
    gain = [
        flight.rotor.thrust_per_inflow(state.speed, flight.rho) * gust for state in hover.rotors
    ]
    thrust = _thrusts(hover) + np.array(gain)
    factor = float(np.sum(thrust)) / hover.total_thrust
    return flight.case(
        "gust",
        "upward gust or pull-up",
        f"sharp upward gust of {gust:g} m/s at hover speed, nothing giving way: "
        f"{factor:.2f} times hover thrust",
        "flight",
        thrust=thrust,
        torque=flight.reaction(np.array([state.torque for state in hover.rotors])),
    )


def _rotor_lost(flight: _Flight, hover: OperatingPoint, full: OperatingPoint) -> LoadCase:
    trim = one_rotor_lost(flight.layout, hover)
    if not trim.possible:
        outcome = "the others cannot hold it level; loads of the moment of the loss"
    else:
        heading = "heading kept" if trim.yaw_kept else "heading given up"
        outcome = f"the others work at up to {trim.factor:.2f} times hover thrust, {heading}"
        if np.any(trim.thrust > _most_without(flight.layout, full, trim.lost)):
            outcome += ", more than full thrust gives"
    torque = flight.torque_at(trim.thrust)
    torque[trim.lost] = 0.0
    return flight.case(
        "rotor-lost",
        f"rotor {trim.lost + 1} lost",
        outcome,
        "flight",
        thrust=trim.thrust,
        torque=flight.reaction(torque),
    )


def _most_without(layout: Layout, full: OperatingPoint, lost: int) -> Floats:
    """(n_rotors,), N: full thrust of each rotor; a lower one freed of its wake gives an upper's."""
    most = _thrusts(full)
    if layout.paired and layout.upper[lost]:
        most[lost + 1] = most[lost]
    return most


def _landings(flight: _Flight, force: float) -> tuple[LoadCase, ...]:
    """Touchdowns with the rotors unloaded; a slung payload lies on the ground already."""
    speed = f"touchdown at {flight.brief.mission.landing_speed:g} m/s, rotors unloaded"
    upright = np.zeros((flight.n_legs, 3))
    upright[:, 2] = force / flight.n_legs
    single = np.zeros((flight.n_legs, 3))
    single[0, 2] = ONE_LEG_SHARE * force
    sideways, forwards = upright.copy(), upright.copy()
    sideways[:, 1] = SIDE_SHARE * upright[:, 2]
    forwards[:, 0] = -SIDE_SHARE * upright[:, 2]
    one = f"{speed}; one leg first: a rigid body hit as far out as its radius of gyration, half"
    drift = f"{SIDE_SHARE:g} of vertical, common practice"
    side = f"{speed}, drifting to the right: sideways {drift}"
    ahead = f"{speed}, drifting forwards: back {drift}; it bends other legs than to the right"
    listed = (
        ("landing-all", "hard landing on all legs", speed, upright),
        ("landing-one", "hard landing on one leg", one, single),
        ("side-load", "side load at landing", side, sideways),
        ("drift", "drift forwards at landing", ahead, forwards),
    )
    return tuple(
        flight.case(key, title, reason, "landing", feet=feet) for key, title, reason, feet in listed
    )


def _carried(flight: _Flight) -> LoadCase:
    reason = "picked up with one hand near a motor: the whole weight on one arm"
    return flight.case(
        "carried", "carried by one arm", reason, "handling", load_factor=1.0, held_arm=0
    )


def _caught(flight: _Flight, full: OperatingPoint) -> tuple[LoadCase, ...]:
    """A slung payload that holds on to the ground or to a tree; nothing without one."""
    payload = flight.brief.payload
    pull = line_pull(payload.mass, flight.mass, full.total_thrust)
    if not payload.slung or pull <= 0.0:
        return ()
    reason = f"the line holds fast while it climbs: full thrust pulls it by {pull:.0f} N"
    case = flight.case(
        "caught",
        "line caught in full climb",
        reason,
        "handling",
        thrust=_thrusts(full),
        torque=flight.reaction(np.array([state.torque for state in full.rotors])),
        load_factor=pull / (payload.mass * GRAVITY),
    )
    return (case,)


def line_pull(payload: float, all_up: float, thrust: float) -> float:
    """Pull of a line that holds fast, N: ``thrust`` (N) less the weight of all but the payload.

    payload, all_up: masses, kg.
    """
    return thrust - (all_up - payload) * GRAVITY


def _thrusts(point: OperatingPoint) -> Floats:
    return np.array([state.thrust for state in point.rotors])
