"""Dimensions of a frame that may be set by hand, with what bounds them."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from refledge.airframe.body import TRAY_THICKNESS, least_arm_width, mount_for
from refledge.airframe.candidates import LEAST_TIP, SKINS
from refledge.airframe.framing import whole_layers
from refledge.airframe.legs import LEAST_FOOT, LEAST_TOP, deepest_strut
from refledge.airframe.task import Task
from refledge.airframe.tray import THICKEST
from refledge.errors import InputError, Problem
from refledge.model.parts import FrameDesign
from refledge.units import show

ROOM_INSIDE = 3e-3
"""m; clear height that a hollow arm keeps: as candidates.printed_candidates asks."""
CLEAR_WIDTH = 5e-3
"""m; clear width that a hollow arm keeps: as candidates.printed_candidates asks."""
WIDEST = 60e-3
"""m; widest arm by hand: our choice, three times what a sized one comes to."""
DEEPEST_ARM = 60e-3
"""m; deepest arm by hand: our choice; the longest bolts end sooner."""
PLATES = (2e-3, 12e-3)
"""m; thinnest and thickest plate by hand: our choice."""
MOUNT_ROOM = 6e-3
"""m; what a mount may be thicker than its screws need: our choice."""
MOST_LINES = 12
"""Printed lines of the thickest rib or diagonal by hand: our choice."""
HOLLOW = ("box", "channel", "truss")

ByHand = Mapping[str, float]
"""Path of a dimension, such as ``arm.width``, to m."""


@dataclass(frozen=True)
class Dimension:
    """One dimension of the frame at hand. Lengths in m."""

    path: str
    label: str
    part: str
    """Key of the part that it shapes most."""
    value: float
    low: float
    high: float
    step: float
    """One printed line or layer."""


Bounds = tuple[float, float]


@dataclass(frozen=True)
class _Rule:
    """Which frames have the dimension, and its bounds in one."""

    label: str
    part: str
    families: tuple[str, ...]
    in_lines: bool
    """Steps are printed lines; else layers."""
    bounds: Callable[[Task, FrameDesign], Bounds]


ANY = (*HOLLOW, "tube")


def _line(task: Task) -> float:
    return task.brief.printer.extrusion_width


def _skin(task: Task) -> float:
    return whole_layers(SKINS[0], task.brief.printer.layer)


def _width(task: Task, frame: FrameDesign) -> Bounds:
    inside = 2 * frame.arm.side + CLEAR_WIDTH
    return max(least_arm_width(task.hardware.screws[frame.clamp.screw]), inside), WIDEST


def _side(task: Task, frame: FrameDesign) -> Bounds:
    return 2 * _line(task), (frame.arm.width - CLEAR_WIDTH) / 2


def _tip(_task: Task, frame: FrameDesign) -> Bounds:
    arm = frame.arm
    return max(LEAST_TIP, arm.top + arm.bottom + ROOM_INSIDE), arm.depth_root


def _wall(other: str) -> Callable[[Task, FrameDesign], Bounds]:
    def bounds(task: Task, frame: FrameDesign) -> Bounds:
        beside = float(getattr(frame.arm, other))
        return _skin(task), frame.arm.depth_tip - beside - ROOM_INSIDE

    return bounds


def _mount(task: Task, frame: FrameDesign) -> Bounds:
    least = mount_for(task.brief, frame.arm.width, task.paired, task.hardware).thickness
    return least, least + MOUNT_ROOM


RULES: Mapping[str, _Rule] = {
    "arm.width": _Rule("arm width", "arm", HOLLOW, True, _width),
    "arm.depth_root": _Rule(
        "arm depth at the root", "arm", HOLLOW, False,
        lambda _task, frame: (frame.arm.depth_tip, DEEPEST_ARM),
    ),
    "arm.depth_tip": _Rule("arm depth at the tip", "arm", HOLLOW, False, _tip),
    "arm.side": _Rule("side wall or truss width", "arm", HOLLOW, True, _side),
    "arm.top": _Rule("top wall", "arm", HOLLOW, False, _wall("bottom")),
    "arm.bottom": _Rule("bottom wall or chord", "arm", ("box", "truss"), False, _wall("top")),
    "arm.web": _Rule(
        "rib or diagonal", "arm", ("channel", "truss"), True,
        lambda task, _frame: (2 * _line(task), MOST_LINES * _line(task)),
    ),
    "plate.thickness": _Rule(
        "plate thickness", "upper_plate", ANY, False, lambda _task, _frame: PLATES
    ),
    "mount.thickness": _Rule("motor mount thickness", "mount", ANY, False, _mount),
    "leg.depth_top": _Rule(
        "leg depth at the top", "leg", ANY, True,
        lambda _task, frame: (
            max(LEAST_TOP, frame.leg.depth_foot), deepest_strut(frame.leg.height)
        ),
    ),
    "leg.depth_foot": _Rule(
        "leg depth at the foot", "leg", ANY, True,
        lambda _task, frame: (LEAST_FOOT, frame.leg.depth_top),
    ),
    "tray.thickness": _Rule(
        "battery tray thickness", "tray", ANY, False,
        lambda _task, _frame: (TRAY_THICKNESS, THICKEST),
    ),
}  # fmt: skip


def dimensions(task: Task, frame: FrameDesign) -> Iterator[Dimension]:
    """Every dimension of ``frame`` that may be set by hand."""
    for path, rule in RULES.items():
        if frame.arm.family in rule.families:
            low, high = rule.bounds(task, frame)
            step = _line(task) if rule.in_lines else task.brief.printer.layer
            yield Dimension(path, rule.label, rule.part, value_at(frame, path), low, high, step)


def value_at(frame: FrameDesign, path: str) -> float:
    """A dimension by its path, m."""
    part, name = path.split(".")
    return float(getattr(getattr(frame, part), name))


def with_dimensions(frame: FrameDesign, by_hand: ByHand) -> FrameDesign:
    """``frame`` with the dimensions set by hand; nothing else follows from them here."""
    changed: dict[str, Any] = {}
    for path, value in by_hand.items():
        part, name = path.split(".")
        changed[part] = replace(changed.get(part, getattr(frame, part)), **{name: value})
    return replace(frame, **changed)


def check_dimensions(task: Task, frame: FrameDesign, by_hand: ByHand) -> None:
    """Raise InputError for each dimension set by hand that ``frame`` cannot have."""
    allowed = {each.path: each for each in dimensions(task, frame)}
    problems = []
    for path, value in by_hand.items():
        known = allowed.get(path)
        if known is None:
            problems.append(unknown(path, list(allowed)))
        elif not known.low - SLACK <= value <= known.high + SLACK:
            problems.append(_out_of_bounds(known))
    if problems:
        raise InputError(*problems)


SLACK = 1e-9
"""m; rounding of a value typed in millimetres."""


def unknown(path: str, names: list[str]) -> Problem:
    """A dimension that the frame does not have."""
    step = "choose one of these"
    return Problem("dimensions", path, "a dimension of no such name", ", ".join(names), step)


def _out_of_bounds(known: Dimension) -> Problem:
    low, high = (show(each, "m", "mm", 4) for each in (known.low, known.high))
    given = show(known.value, "m", "mm", 4)
    step = "stay between them, or change the dimension beside it first"
    return Problem("dimensions", known.path, given, f"between {low} and {high}", step)
