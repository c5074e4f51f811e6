"""Layouts in plain words: what each gives, what it gives up."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from refledge.choosing.compare import Comparison
from refledge.choosing.finalist import Buy, Finalist, Miss, misses_of
from refledge.choosing.flying import Steering
from refledge.flight.motor_fit import fit_words
from refledge.flight.turns import split_kind
from refledge.outputs.flying_words import band, loss_short, percent
from refledge.units import figure, show

_SAME = 0.03  # relative; closer figures count as equal: less than any of them is known to
NAMES = {
    "four-x": "four flat, X",
    "four-plus": "four flat, plus",
    "six-x": "six flat, X",
    "six-plus": "six flat, plus",
    "eight-x": "eight flat, X",
    "eight-plus": "eight flat, plus",
    "three-pairs": "three pairs",
    "four-pairs": "four pairs",
    "free": "free layout",
}


def kind_name(kind: str) -> str:
    """Such as ``six flat, X, other turns``."""
    name, turns = split_kind(kind)
    return NAMES.get(name, name) + (", other turns" if turns else "")


@dataclass(frozen=True)
class Axis:
    """One figure in which layouts differ, the difference in words."""

    best: str
    """What having most of it is called."""
    value: Callable[[Finalist], float]
    more_is_better: bool
    less: Callable[[float], str]
    """How far behind, in words, from the absolute difference."""


def _headings(finalist: Finalist) -> float:
    losses = finalist.flying.losses
    return sum(loss.heading for loss in losses) / len(losses)


def _levels(finalist: Finalist) -> float:
    losses = finalist.flying.losses
    return sum(loss.level for loss in losses) / len(losses)


def _yaw(finalist: Finalist) -> float:
    steering = finalist.flying.steering
    return steering.turning[2] if isinstance(steering, Steering) else 0.0


AXES = (
    Axis("longest hover", lambda f: f.flying.endurance.value, True,
         lambda d: f"{show(d, 's', 'min', 2)} of hover"),
    Axis("lightest", lambda f: f.all_up_mass, False,
         lambda d: f"{show(d, 'kg', 'g', 2)} more mass"),
    Axis("smallest across", lambda f: f.footprint, False,
         lambda d: f"{show(d, 'm', 'mm', 2)} more room"),
    Axis("most thrust to spare", lambda f: f.flying.thrust_margin, True,
         lambda d: f"{figure(d, 2)} of thrust over weight"),
    Axis("least printing", lambda f: f.making.hours, False,
         lambda d: f"{figure(d, 2)} h more printing"),
    Axis("quickest yaw", _yaw, True, lambda d: f"{figure(d, 2)} rad/s² of yaw"),
)  # fmt: skip


def gains(one: Finalist, others: Sequence[Finalist]) -> list[str]:
    """What no other finalist has more of."""
    found = [axis.best for axis in AXES if not _behind(axis, one, others)]
    if _headings(one) == 1.0:
        found.append("flies on with its heading whichever rotor stops")
    return found


def gives_up(one: Finalist, others: Sequence[Finalist]) -> list[str]:
    """How far it stays behind the best of the others, where that is more than what is known."""
    found = []
    for axis in AXES:
        ahead = _behind(axis, one, others)
        if ahead:
            by = abs(axis.value(ahead) - axis.value(one))
            found.append(f"{axis.less(by)} ({ahead.key})")
    safest = max(others, key=lambda f: (_levels(f), _headings(f)))
    if (_levels(safest), _headings(safest)) > (_levels(one), _headings(one)):
        words = loss_short(one.flying.losses)
        found.append(f"a stopped rotor: {words} ({safest.key}: {loss_short(safest.flying.losses)})")
    return found


def _behind(axis: Axis, one: Finalist, others: Sequence[Finalist]) -> Finalist | None:
    """The finalist that has most of ``axis``, where ``one`` has less by more than _SAME."""
    sign = 1 if axis.more_is_better else -1
    best = max(others, key=lambda f: sign * axis.value(f))
    gap = sign * (axis.value(best) - axis.value(one))
    return best if gap > _SAME * abs(axis.value(best)) else None


def miss_words(miss: Miss) -> str:
    """Such as ``hover time 9.8 min, 12 min wanted``."""
    bound = "at least" if miss.found < miss.wanted else "at most"
    return (
        f"{miss.what} {show(miss.found, miss.unit, miss.shown)}, {bound} "
        f"{show(miss.wanted, miss.unit, miss.shown)} wanted"
    )


def buy_words(buy: Buy) -> str:
    """Such as ``2 x outrunner (1 of yours after inspection)``."""
    lacking = buy.needed - buy.sound
    inspect = min(buy.suspect, lacking)
    told = f" ({inspect} of yours would do after inspection)" if inspect else ""
    return f"{lacking} × {buy.name}{told}"


def buys(finalist: Finalist) -> str:
    """What is lacking, or ""."""
    return "; ".join(buy_words(each) for each in finalist.to_buy)


def turn_words(finalist: Finalist) -> str:
    """What this turn order keeps, and the order that would keep more; "" for pairs."""
    orders = finalist.flying.orders
    own = next((order for order in orders if order.own), None)
    if own is None:
        return ""
    best = max(orders, key=lambda order: (order.kept, order.healthy))
    if not best.kept:
        return ""  # no order of these rotors keeps anything
    text = f"{own.turns}: heading after {own.kept} of {finalist.rotors} losses"
    if best.kept > own.kept:
        price = 1 - best.healthy / own.healthy
        text += f"; {best.turns} would keep it after {best.kept}, for {percent(price)} of control"
    return text


@dataclass(frozen=True)
class Line:
    """One figure of every finalist."""

    name: str
    cells: tuple[str, ...]


def rows_of(finalists: Sequence[Finalist]) -> tuple[Line, ...]:
    """The table side by side; items are named where the finalists differ in them."""
    all_of = [figures(finalist) for finalist in finalists]
    lines = [
        Line(cells[0][0], tuple(value for _, value in cells)) for cells in zip(*all_of, strict=True)
    ]
    items = [
        Line(name, tuple(getattr(finalist, name) for finalist in finalists))
        for name in ("propeller", "pack", "motor")
    ]
    return (lines[0], *(item for item in items if len(set(item.cells)) > 1), *lines[1:])


def verdict(finalist: Finalist) -> str:
    """Whether frame and wishes hold, in words."""
    parts = [miss_words(miss) for miss in finalist.misses]
    if not finalist.feasible:
        parts.append(f"the frame misses a limit: {finalist.worst}")
    return "; ".join(parts) if parts else "keeps the brief's limits and wishes"


def figures(finalist: Finalist) -> tuple[tuple[str, str], ...]:
    """Name and figure of everything that is compared, in words."""
    flying, making = finalist.flying, finalist.making
    steering = flying.steering
    yaw = f"{figure(steering.yaw, 2)} N m" if isinstance(steering, Steering) else "none"
    turning = "none"
    if isinstance(steering, Steering):
        turning = " / ".join(figure(each, 2) for each in steering.turning)
    return (
        ("layout", kind_name(finalist.kind)),
        ("all-up mass", show(finalist.all_up_mass, "kg", "kg")),
        ("frame mass", show(finalist.frame_mass, "kg", "g")),
        ("arms", finalist.arm),
        ("hover power", show(flying.hover.power, "W", "W")),
        ("hover time (band)", band(flying.endurance)),
        ("hover throttle", percent(max(s.throttle for s in flying.hover.rotors))),
        ("thrust over weight", figure(flying.thrust_margin)),
        ("across", show(finalist.footprint, "m", "mm")),
        ("one rotor stops", loss_short(flying.losses)),
        ("yaw moment", yaw),
        ("roll/pitch/yaw, rad/s²", turning),
        ("printing, about", f"{figure(making.hours, 2)} ± {making.hours_spread:.0f} h"),
        ("plastic, about", f"{figure(making.price_low, 2)} to {figure(making.price_high, 2)}"),
        ("different parts", f"{making.different} ({making.parts} in all)"),
        ("frame", "holds" if finalist.feasible else "misses a limit"),
        ("wishes", "kept" if not finalist.misses else f"{len(finalist.misses)} missed"),
    )


def left_out(comparison: Comparison) -> list[str]:
    """Layout kinds that are not among the finalists, each with why."""
    brief = comparison.brief
    among = {finalist.kind for finalist in comparison.finalists}
    told = [f"{each}" for each in comparison.candidates.left_out]
    told += [f"{kind_name(each.kind)}: {each.why}" for each in comparison.dropped]
    gone = {each.kind for each in comparison.dropped}
    for kind in comparison.candidates.kinds:
        if kind in among or kind in gone:
            continue
        near = comparison.survey.nearest.get(kind)
        if near is None:
            told.append(f"{kind_name(kind)}: cannot hover with any of these items")
            continue
        missed = misses_of(brief, near["endurance"], near["thrust_margin"], near["all_up_mass"])
        short = [miss_words(miss) for miss in missed]
        why = "; ".join(short) if short else "another beats it, or there was no room on the list"
        told.append(f"{kind_name(kind)}: {why} (frame not sized)")
    return told


def notes(comparison: Comparison) -> list[str]:
    """How the figures were made and how far to believe them."""
    law, found = comparison.surrogate.law, comparison.survey
    frames = comparison.surrogate.frames
    how = (
        f"set by {len(frames)} frames of this brief, {comparison.surrogate.family} arms in "
        f"{comparison.surrogate.material}, which it meets within {law.spread:.0%} (root mean "
        "square)"
        if frames
        else f"the ready-made law, {law.spread:.0%} root mean square on other frames"
    )
    off = [
        f.swept_frame_mass / f.frame_mass - 1 for f in comparison.finalists if f.swept_frame_mass
    ]
    lines = [
        f"{found.swept:,} candidates swept, {found.hovering:,} can hover. Their frame mass is "
        f"{how}.",
        "The finalists' frames are sized in full, as design does it, but with part masses by "
        "formula: solids are drawn only to time the print.",
        "Print time (± one standard uncertainty), filament and its price are by the print plan's "
        "model (layers, walls, skins, infill, travel, cooling, support) on the solids of the "
        "parts, laid as sizing assumes, one after the other. Prices are of the material cards.",
    ]
    lines += [words for words in map(fit_words, comparison.candidates.motors) if words]
    if off:
        lines.append(
            f"Against the frames sized in full the sweep's frame mass is off by {min(off):+.0%} to "
            f"{max(off):+.0%}."
        )
    lines += comparison.taught
    if comparison.front.relaxed:
        lines.insert(
            0,
            "No candidate keeps the brief's hover time, thrust and mass together: those shown come "
            "from all that hover.",
        )
    return lines
