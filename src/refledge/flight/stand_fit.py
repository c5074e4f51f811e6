"""Motors and propellers fitted together to thrust-stand runs, with uncertainty.

Every run pairs one of several motors with one of several propellers. A propeller's coefficients
are the same on each motor and a motor's constants under each propeller, so a grid of runs parts
what one run cannot: without torque, a single run hardly tells a hungry propeller from a lossy
motor. Model: T = CT rho n^2 D^4, Q = CP rho n^2 D^5 / (2 pi), coefficients powers of speed,
I = Q Kv + I0, P = I^2 R + I omega/Kv with R of motor, controller and leads together, I0 changing
with speed. Below full throttle the controller chops: of the plug's voltage V it loses the share
k (1 - d) with d its duty, one k for the stand, so P grows by k V I (1 - d); at full throttle
V = I R + omega/Kv. Everything is fitted in logarithms, so errors count in per cent.
"""

from dataclasses import dataclass, field, replace

import numpy as np

from refledge.errors import AnalysisError
from refledge.flight.curve import curve_through
from refledge.flight.regression import Fit, fit
from refledge.flight.rotor import TURN, RotorModel
from refledge.model.items import Motor, SpeedController
from refledge.typed import Bools, Floats, Ints

SPREAD = 0.03  # of thrust and power of one row: from memory, typical of a hobby thrust stand
VOLT_SPREAD = 0.03  # of the full-throttle voltage: from memory; timing of controllers
PRIOR = {
    "Kv": 0.05,
    "R": 0.5,
    "I0": 0.5,
    "slope": 0.3,
    "CT_power": 0.2,
    "CP_power": 0.2,
    "chop": 0.1,
}
"""Relative (powers: absolute) spread of what is known beforehand: maker's figures and what static
propeller runs show; from memory."""


@dataclass(frozen=True, eq=False)
class StandRows:
    """Rows of thrust-stand runs, (n,) each."""

    motor: Ints
    """Index into the motors."""
    propeller: Ints
    """Index into the propellers."""
    speed: Floats  # rad/s
    thrust: Floats  # N
    power: Floats  # W, at the plug
    voltage: Floats  # V, at the plug
    full: Bools
    """True where the throttle is fully open."""
    torque: Floats = field(default_factory=lambda: np.empty(0))
    """N m, on the shaft; (0,) where the stand does not measure it."""

    def where(self, chosen: Bools) -> "StandRows":
        """Only the rows marked in ``chosen`` (n,)."""
        return StandRows(
            self.motor[chosen],
            self.propeller[chosen],
            self.speed[chosen],
            self.thrust[chosen],
            self.power[chosen],
            self.voltage[chosen],
            self.full[chosen],
            self.torque[chosen] if len(self.torque) else self.torque,
        )


@dataclass(frozen=True, eq=False)
class Known:
    """What the makers say, to start from."""

    Kv: Floats
    """(motors,), rad/s/V."""
    resistance: Floats
    """(motors,), ohm, motor and controller."""
    idle: Floats
    """(motors,), A at ``reference`` speed."""
    diameter: Floats
    """(propellers,), m."""
    rho: float  # kg/m3
    reference: float  # rad/s, where I0, CT and CP are quoted


@dataclass(frozen=True, eq=False)
class StandFit:
    """Fitted constants of all motors and propellers."""

    known: Known
    fit: Fit

    def motor(self, index: int) -> dict[str, float]:
        """Kv (rad/s/V), R (ohm), I0 (A at the reference speed) and its slope."""
        at = {name: self.fit[f"{name}[{index}]"] for name in ("Kv", "R", "I0")}
        return {**{name: float(np.exp(v)) for name, v in at.items()},
                "slope": self.fit[f"slope[{index}]"]}  # fmt: skip

    def propeller(self, index: int) -> dict[str, float]:
        """CT, CP at the reference speed and their powers of speed."""
        names = ("CT", "CT_power", "CP", "CP_power")
        at = {name: self.fit[f"{name}[{index}]"] for name in names}
        return {name: float(np.exp(v)) if len(name) == 2 else v for name, v in at.items()}

    def spread(self, name: str, index: int) -> float:
        """Relative standard uncertainty (absolute for powers and slopes)."""
        return self.fit.uncertainty(f"{name}[{index}]")

    def speed_at(self, propeller: int, thrust: Floats) -> Floats:
        """rad/s that gives ``thrust``, N: CT's power law inverted."""
        at, D = self.propeller(propeller), float(self.known.diameter[propeller])
        unit = self.known.reference / TURN
        top = at["CT"] * self.known.rho * unit**2 * D**4
        speed: Floats = self.known.reference * (thrust / top) ** (1 / (2 + at["CT_power"]))
        return speed

    def power_at(self, motor: int, propeller: int, thrust: Floats, voltage: Floats) -> Floats:
        """W at the plug at ``voltage``, V, for ``thrust``, N, of this pairing, measured or not."""
        speed = self.speed_at(propeller, thrust)
        m = np.full(len(thrust), motor)
        p = np.full(len(thrust), propeller)
        return _model(self.known, _unpack(self.known, self.fit.values), m, p, speed, voltage)[1]


def without_copies(rows: StandRows) -> Bools:
    """(n,): False where a row repeats the one before it, as stands do at the end of a run."""
    values = np.column_stack((rows.speed, rows.thrust, rows.power, rows.voltage))
    same = np.all(values[1:] == values[:-1], axis=1)
    keep: Bools = np.append(True, ~same)
    return keep


def fit_stand(rows: StandRows, known: Known, *, simple: bool = False) -> StandFit:
    """All constants together: soft L1, priors as observations.

    Twice: the first fit shows how far the rows scatter, the second weighs them by that against the
    priors, whose spreads are as stated.

    ``simple`` holds to a constant no-load current and an ideal controller, as the other formulas of
    ``flight`` do: right for one run, which cannot tell these losses from the propeller's.
    """
    if np.any(rows.speed <= 0) or np.any(rows.thrust <= 0) or np.any(rows.power <= 0):
        raise AnalysisError("rows without speed, thrust or power cannot be fitted: leave them out")
    start, prior = _start(rows, known, simple)
    scale = np.where(np.isfinite(prior), prior, 0.1)
    sure = np.isfinite(prior)

    def residuals(x: Floats, scatter: float) -> Floats:
        held = ((x - start) / prior)[sure]
        return np.concatenate((_misses(rows, known, x) / scatter, held))

    names = _names(known)
    first = fit(lambda x: residuals(x, 1.0), names, start, scale, robust=True, rough=True)
    scatter = float(1.4826 * np.median(np.abs(_misses(rows, known, first.values))))
    again = fit(lambda x: residuals(x, scatter), names, first.values, scale, robust=True)
    return StandFit(known, again)


def _misses(rows: StandRows, known: Known, x: Floats) -> Floats:
    """Errors of thrust, power, full-throttle voltage and, where it was measured, torque in units of
    their stated spreads."""
    thrust, power, volts, torque = _model(
        known, _unpack(known, x), rows.motor, rows.propeller, rows.speed, rows.voltage
    )
    off = [
        np.log(thrust / rows.thrust) / SPREAD,
        np.log(power / rows.power) / SPREAD,
        np.log(volts[rows.full] / rows.voltage[rows.full]) / VOLT_SPREAD,
    ]
    if len(rows.torque):
        off.append(np.log(torque / rows.torque) / SPREAD)
    return np.concatenate(off)


def misfit(found: StandFit, rows: StandRows) -> float:
    """Robust relative scatter of the rows about the fit, of thrust or power, whichever is more.

    1.4826 times the median deviation of each.
    """
    off = np.abs(SPREAD * _misses(rows, found.known, found.fit.values))
    count = len(rows.speed)
    return float(1.4826 * max(np.median(off[:count]), np.median(off[count : 2 * count])))


_FIXED = 1e-4  # of a spread: a parameter held where it starts
_MOTOR = ("Kv", "R", "I0", "slope")
_PROPELLER = ("CT", "CT_power", "CP", "CP_power")


def _names(known: Known) -> tuple[str, ...]:
    motors = [f"{name}[{i}]" for name in _MOTOR for i in range(len(known.Kv))]
    propellers = [f"{n}[{i}]" for n in _PROPELLER for i in range(len(known.diameter))]
    return (*motors, *propellers, "chop")


def _start(rows: StandRows, known: Known, simple: bool) -> tuple[Floats, Floats]:
    """Parameters to start from and their spreads; infinite where nothing is known."""
    slope, fixed = (0.0, _FIXED) if simple else (0.5, 1.0)
    m, p = len(known.Kv), len(known.diameter)
    CT = np.empty(p)
    for i in range(p):
        of = rows.propeller == i
        if not np.any(of):
            raise AnalysisError(f"propeller {i} has no rows to fit")
        unit = known.rho * (rows.speed[of] / TURN) ** 2 * known.diameter[i] ** 4
        CT[i] = np.median(rows.thrust[of] / unit)
    CP = np.sqrt(2 / np.pi) * CT**1.5 / 0.5  # a middling figure of merit, only to start from
    start = [np.log(known.Kv), np.log(known.resistance), np.log(known.idle), np.full(m, slope)]
    start += [np.log(CT), np.full(p, 0.1), np.log(CP), np.full(p, 0.1), np.zeros(1)]
    spread = [np.full(m, PRIOR[name]) for name in _MOTOR]
    spread[-1] *= fixed
    spread += [np.full(p, PRIOR.get(name, np.inf)) for name in _PROPELLER]
    spread.append(np.full(1, fixed * PRIOR["chop"]))
    return np.concatenate(start), np.concatenate(spread)


def _unpack(known: Known, x: Floats) -> dict[str, Floats]:
    m, p = len(known.Kv), len(known.diameter)
    found = {name: x[k * m : (k + 1) * m] for k, name in enumerate(_MOTOR)}
    rest = x[len(_MOTOR) * m :]
    found |= {name: rest[k * p : (k + 1) * p] for k, name in enumerate(_PROPELLER)}
    found["chop"] = x[-1:]
    logs = ("Kv", "R", "I0", "CT", "CP")
    return {name: np.exp(v) if name in logs else v for name, v in found.items()}


def _model(
    known: Known, at: dict[str, Floats], motor: Ints, propeller: Ints, speed: Floats, plug: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """Thrust, N, power at the plug, W, voltage before R, V, and torque, N m, (n,) each."""
    ratio = np.log(speed / known.reference)
    turns, D = speed / TURN, known.diameter[propeller]
    CT = at["CT"][propeller] * np.exp(at["CT_power"][propeller] * ratio)
    CP = at["CP"][propeller] * np.exp(at["CP_power"][propeller] * ratio)
    thrust = CT * known.rho * turns**2 * D**4
    torque = CP * known.rho * turns**2 * D**5 / TURN
    Kv, R = at["Kv"][motor], at["R"][motor]
    idle = at["I0"][motor] * (1 + at["slope"][motor] * (speed / known.reference - 1))
    current = torque * Kv + np.maximum(idle, 0.0)
    volts = current * R + speed / Kv
    chopped = at["chop"] * current * np.maximum(plug - volts, 0.0)
    return thrust, current * volts + chopped, volts, torque


def outliers(found: StandFit, rows: StandRows, limit: float = 5.0) -> tuple[tuple[int, str], ...]:
    """Rows further than ``limit`` robust standard deviations from the fit, and in what.

    Robust: 1.4826 times the median absolute deviation of all rows.
    """
    at = _unpack(found.known, found.fit.values)
    thrust, power, *_ = _model(
        found.known, at, rows.motor, rows.propeller, rows.speed, rows.voltage
    )
    listed = []
    for what, modelled, measured in (
        ("thrust", thrust, rows.thrust),
        ("power", power, rows.power),
    ):
        off = np.log(measured / modelled)
        spread = 1.4826 * float(np.median(np.abs(off - np.median(off))))
        for row in np.flatnonzero(np.abs(off - np.median(off)) > limit * spread):
            listed.append((int(row), f"{what} {np.expm1(off[row]):+.0%} from the fit"))
    return tuple(listed)


def fitted_items(
    found: StandFit,
    motor: Motor,
    controller: SpeedController,
    blades: int,
    speeds: Floats,
    source: str,
) -> tuple[Motor, RotorModel]:
    """Motor and rotor of a simple fit with one motor and one propeller, for all formulas here.

    The controller keeps its own resistance; ``speeds`` (n,), rad/s, rising, are those of the run.
    """
    m, p = found.motor(0), found.propeller(0)
    if abs(found.fit["chop"]) > 1e-3 or abs(m["slope"]) > 1e-3:
        raise AnalysisError("a motor of three constants needs a simple fit: fit_stand(simple=True)")
    fitted = replace(
        motor,
        Kv=m["Kv"],
        resistance=max(m["R"] - controller.resistance, 1e-3),
        no_load_current=m["I0"],
    )
    ratio = speeds / found.known.reference
    rotor = RotorModel(
        diameter=float(found.known.diameter[0]),
        blades=blades,
        CT_curve=curve_through(speeds, p["CT"] * ratio ** p["CT_power"]),
        CP_curve=curve_through(speeds, p["CP"] * ratio ** p["CP_power"]),
        method=f"motor and propeller fitted to a thrust-stand run, {source}",
        spread=found.spread("CT", 0),
    )
    return fitted, rotor
