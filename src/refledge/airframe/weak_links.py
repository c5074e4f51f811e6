"""A weak link that the brief chooses: does it break before what is dear, and still bear flight?

Which part goes before which is judged by the static energy method (``blows.energy``): at one peak
force every use of strength is in proportion to it, so the ratio of two uses knows no speed. The
blows are those in which the link itself meets the ground.
"""

from dataclasses import dataclass
from math import hypot

from refledge.airframe.assessment import Assessment
from refledge.airframe.blows.cases import crash_cases
from refledge.airframe.blows.energy import Blow, blow
from refledge.airframe.blows.places import COPY_SPREAD, material_of
from refledge.airframe.blows.struck import make_struck
from refledge.airframe.hinge_uses import bolt_strength, lock_margins
from refledge.airframe.judge import judge, reserve
from refledge.airframe.task import Task
from refledge.geometry.hinge import lock_screw
from refledge.model.checks import Check
from refledge.model.copies import kind_of
from refledge.model.parts import FrameDesign

STRUCK = {
    "arm": ("arm-tip", "cartwheel"),
    "leg": ("flat-drop", "one-leg"),
    "lock": ("arm-tip", "cartwheel"),
}
"""Link to the crash cases in which it meets the ground."""
KEPT = {"plates": "centre plates", "mount": "motor mounts", "electronics": "electronics"}
"""What must outlast the link."""
NAMES = {"arm": "arm", "leg": "landing leg", "lock": "lock bolt"}
KINDS = {"arm": "arm", "leg": "leg", "bolt": "lock"}
"""The brief's weak link to the kind of part in a crash."""
SPEED = 5.0
"""m/s at which the blow is computed; the ratio does not depend on it."""


@dataclass(frozen=True)
class LinkOrder:
    """The blow in which what is dear comes nearest to breaking with the link."""

    case: str
    """Title of the crash case."""
    nearest: str
    """One of KEPT: what goes next."""
    ratio: float
    """Use of the link over that of ``nearest`` (1): above 1 the link goes first."""
    spread: float
    """Relative standard uncertainty of that (1)."""


def link_order(task: Task, frame: FrameDesign, found: Assessment) -> LinkOrder:
    """The least ratio over the blows of the brief's weak link and over what must be kept."""
    link, ready = KINDS[task.brief.frame.weak_link], make_struck(task, frame, found)
    cases = crash_cases(found.structure, ready.points)
    hits = [blow(ready, case, SPEED) for case in cases if case.key in STRUCK[link]]
    return min(
        (_order(task, frame, hit, link, kept) for hit in hits for kept in KEPT),
        key=lambda each: each.ratio,
    )


def _order(task: Task, frame: FrameDesign, hit: Blow, link: str, kept: str) -> LinkOrder:
    own, other = (max(use for part, use in hit.uses.items() if kind_of(part) == kind)
                  for kind in (link, kept))  # fmt: skip
    ratio = own / other if other else float("inf")
    return LinkOrder(hit.case.title, kept, ratio, _spread(task, frame, link, kept))


def _spread(task: Task, frame: FrameDesign, link: str, kept: str) -> float:
    """Of the ratio: copies differ; spools too, where the two parts are not of one."""
    own, other = (material_of(task, frame, part)[0] for part in (link, kept))
    mine = {"leg": frame.leg.material, "lock": ""}.get(link, frame.arm.material)
    theirs = {"plates": frame.plate.material, "mount": frame.mount.material}.get(kept, "")
    spools = 0.0 if mine == theirs else hypot(own, other)
    return hypot(COPY_SPREAD, COPY_SPREAD, spools)


def link_use(task: Task, frame: FrameDesign, found: Assessment) -> dict[str, float]:
    """For sizing: ratio wanted, with the reserve aimed at, over that found; {} without a link."""
    wish = task.brief.frame
    if wish.weak_link == "none":
        return {}
    order = link_order(task, frame, found)
    return {"weak-link": wish.weak_link_ratio * (1.0 + reserve(order.spread)) / order.ratio}


def link_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Both margins of the weak link: over what must outlast it, and in flight and landing."""
    wish = task.brief.frame
    if wish.weak_link == "none":
        return ()
    order, name = link_order(task, frame, found), NAMES[KINDS[wish.weak_link]]
    first = judge(
        key="weak-link-first", title="the weak link breaks before plates, mounts and electronics",
        group="strength", part=name, load_case=order.case, demand=order.ratio,
        capacity=wish.weak_link_ratio, at_least=True, unit="1", shown="1", spread=order.spread,
        method="static energy method: use of strength of the link over that of what is nearest",
        source="ratio from the brief (frame.weak_link_ratio)",
        note=_note(order, name, wish.weak_link_ratio),
    )  # fmt: skip
    return (first, *_bearing(task, frame, found, name))


def _note(order: LinkOrder, name: str, wanted: float) -> str:
    nearest = KEPT[order.nearest]
    if order.ratio >= wanted:
        return f"next to go: {nearest}"
    return (
        f"the {name} cannot be made to go {wanted:g} times before the {nearest}: choose another "
        "frame.weak_link, a stiffer plastic for the rest, or a lower frame.weak_link_ratio"
    )


def _bearing(task: Task, frame: FrameDesign, found: Assessment, name: str) -> tuple[Check, ...]:
    kind = KINDS[task.brief.frame.weak_link]
    limits = task.brief.limits
    margins = link_margins(task, frame, found, kind)
    told = (
        ("flight", "in flight", margins[0], limits.flight_factor),
        ("landing", "in landing and handling", margins[1], limits.landing_factor),
    )
    return tuple(
        judge(
            key=f"weak-link-{key}", title=f"the weak link bears its loads {words}",
            group="strength", part=name, demand=1.0 / (1.0 + margin), capacity=1.0, unit="1",
            shown="1", spread=_own_spread(task, frame, found, kind),
            method=_MEASURE[kind == "lock"].format(factor),
            source=f"factor from the brief; strength from the {_CARD[kind == 'lock']}",
        )
        for key, words, margin, factor in told
    )  # fmt: skip


_MEASURE = (
    "greatest use of strength, in and across layers, times {:g}",
    "two pins by statics, pull and shear combined, times {:g}",
)
_CARD = ("material card", "table of shear bolts")


def _own_spread(task: Task, frame: FrameDesign, found: Assessment, kind: str) -> float:
    if kind == "lock":
        return bolt_strength(lock_screw(frame, task.hardware))[1]
    bar = next(b for b in found.structure.bars if kind_of(_word(b.part)) == kind)
    return float(bar.material.strength_spread)


def link_margins(
    task: Task, frame: FrameDesign, found: Assessment, kind: str
) -> tuple[float, float]:
    """Reserve of a kind of part in flight, and in landing and handling, with the brief's factors.

    1 / (use times factor) - 1, the worst case of each.
    """
    if kind == "lock":
        return lock_margins(task, frame, found)
    limits = task.brief.limits
    worst = {True: 0.0, False: 0.0}
    for result, stresses in zip(found.results, found.stresses, strict=True):
        flying = result.case.kind == "flight"
        factor = limits.flight_factor if flying else limits.landing_factor
        for stress in stresses:
            if kind_of(_word(stress.part)) == kind:
                use = factor * max(stress.in_plane, stress.layers)
                worst[flying] = max(worst[flying], use)
    flight, landing = (1 / each - 1 if each else float("inf") for each in worst.values())
    return flight, landing


def _word(part: str) -> str:
    return "arm" if part == "tube" else part
