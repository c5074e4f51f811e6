"""What the pages and the command line say about flight: cruise, wind, steering, a rotor lost."""

from collections.abc import Sequence
from dataclasses import dataclass

from refledge.choosing.flying import Flying, Reach, Steering, flying
from refledge.choosing.losses import Loss
from refledge.choosing.stand import odd_rows_of
from refledge.flight.pairs import Flat
from refledge.model.flight import OperatingPoint
from refledge.model.rotors import Estimate, FlightPoint
from refledge.study import Study
from refledge.units import figure, show

_LIMITS = {
    "voltage": "the battery's voltage",
    "motor": "the motors' current",
    "controller": "the speed controllers' current",
    "battery": "the battery's current",
    "tip speed": "the speed of the propeller tips",
}
_SHARE_NAMED = 0.15  # of the variance: inputs that matter less are not named


@dataclass(frozen=True)
class Row:
    """One way of flying, in words; a column that has no meaning there is empty."""

    name: str
    speed: str
    power: str
    throttle: str
    turns: str
    time: str
    way: str
    remark: str


def rows(found: Flying) -> tuple[Row, ...]:
    """Hover, full thrust, cruise, wind and climb, each as one line."""
    limit = found.full.limited_by
    return (
        _point(found.hover, band(found.endurance), ""),
        _point(found.full, "", f"held back by {limit_words(limit)}" if limit else ""),
        _cruise("cruise, longest time", found.long),
        _cruise("cruise, longest way", found.far),
        _reach("strongest wind it holds against", found.wind),
        _reach("fastest climb", found.climb),
    )


def _point(point: OperatingPoint, time: str, remark: str) -> Row:
    throttle = max(state.throttle for state in point.rotors)
    speed = max(state.speed for state in point.rotors)
    power = show(point.power, "W", "W")
    return Row(point.name, "", power, percent(throttle), rpm(speed), time, "", remark)


def _cruise(name: str, point: FlightPoint | str) -> Row:
    if isinstance(point, str):
        return Row(name, "", "", "", "", "", "", point)
    return Row(
        name,
        show(point.speed, "m/s", "m/s"),
        show(point.power, "W", "W"),
        percent(point.throttle),
        rpm(point.rotor_speed),
        show(point.endurance, "s", "min"),
        show(point.range, "m", "km"),
        f"nose down {show(point.tilt, 'rad', 'deg', 2)}, still air",
    )


def _reach(name: str, reach: Reach | str) -> Row:
    if isinstance(reach, str):
        return Row(name, "", "", "", "", "", "", reach)
    return Row(name, show(reach.value, "m/s", "m/s"), "", "", "", "", "", f"ends at {reach.limit}")


def flying_of(study: Study) -> Flying:
    """How the aircraft of a study flies."""
    return flying(study.task, study.frame, study.layout, study.assessment, study.all_up_mass)


def odd_rows(study: Study) -> tuple[str, ...]:
    """Rows of the study's thrust table that do not lie with the others."""
    return odd_rows_of(study.brief)


def capital(words: str) -> str:
    """``words`` with a capital first letter, the rest as it stands."""
    return words[:1].upper() + words[1:]


def limit_words(limit: str) -> str:
    """What limits full thrust, in words."""
    return _LIMITS.get(limit, limit)


def percent(share: float) -> str:
    """Such as ``62 %``."""
    return show(share, "1", "%", 2)


def rpm(speed: float) -> str:
    """``speed`` in rad/s as rev/min."""
    return show(speed, "rad/s", "rpm")


def band(estimate: Estimate) -> str:
    """Such as ``17.1 min (14.5 to 19.7)``: two standard uncertainties each way."""
    low, high = (figure(each / 60) for each in (max(estimate.low, 0.0), estimate.high))
    return f"{show(estimate.value, 's', 'min')} ({low} to {high})"


def band_source(estimate: Estimate) -> str:
    """Which inputs make the band, in words."""
    named = [f"{name} {percent(part)}" for name, part in estimate.shares if part >= _SHARE_NAMED]
    return "variance from " + ", ".join(named)


def loss_short(losses: Sequence[Loss]) -> str:
    """What one stopped rotor leaves, in a few words."""
    level = sum(loss.level for loss in losses)
    heading = sum(loss.heading for loss in losses)
    total = len(losses)
    if not level:
        return "comes down"
    if level < total:
        return f"held after {level} of {total}, heading after {heading}"
    if heading == total:
        return "flies on, keeps heading"
    return f"level; heading {heading} of {total}" if heading else "level, but it spins"


def loss_sentence(losses: Sequence[Loss]) -> str:
    """The same as a sentence, with time to land."""
    held = [loss for loss in losses if loss.level]
    if not held:
        return f"Whichever rotor stops, it comes down: {losses[0].why}."
    shortest = min(loss.seconds for loss in held)
    hardest = max(loss.throttle for loss in held)
    left = (
        f"from half charge {show(shortest, 's', 'min', 2)} are left to land, the hardest-worked "
        f"motor at {percent(hardest)} throttle"
    )
    if len(held) == len(losses) and all(loss.heading for loss in losses):
        return f"Whichever rotor stops, it flies on and keeps its heading; {left}."
    if len(held) == len(losses) and not any(loss.heading for loss in losses):
        return f"Whichever rotor stops, it stays level but spins about the vertical; {left}."
    return f"{mixed(losses)}; {left}."


def mixed(losses: Sequence[Loss]) -> str:
    """Which rotors may stop with what outcome."""
    kept = [loss.rotor for loss in losses if loss.heading]
    spun = [loss.rotor for loss in losses if loss.level and not loss.heading]
    lost = [loss.rotor for loss in losses if not loss.level]
    parts = [
        f"{words} if rotor {_listed(numbers)} stops"
        for words, numbers in (
            ("it keeps its heading", kept),
            ("it stays level but spins", spun),
            ("it comes down", lost),
        )
        if numbers
    ]
    sentence = "; ".join(parts)
    return sentence[:1].upper() + sentence[1:]


def _listed(numbers: Sequence[int]) -> str:
    *first, last = (str(number) for number in numbers)
    return f"{', '.join(first)} or {last}" if first else last


def steering(found: Steering | str) -> str:
    """Yaw moment and angular accelerations."""
    if isinstance(found, str):
        return found
    roll, pitch, yaw = (figure(each, 2) for each in found.turning)
    return (
        f"yaw {figure(found.yaw, 2)} N m; roll {roll}, pitch {pitch}, yaw {yaw} rad/s² at hover's "
        "lift, the weaker sense of each"
    )


def pair_words(flat: Flat | None) -> str:
    """What stacking the rotors costs; "" for flat layouts."""
    if flat is None:
        return ""
    return (
        f"One pair takes {show(flat.pair, 'W', 'W')} on its shafts in hover; two flat rotors of "
        f"the same size would take {show(flat.same_diameter, 'W', 'W')}, and of {flat.ratio:g} "
        f"times the diameter {show(flat.larger_diameter, 'W', 'W')}."
    )
