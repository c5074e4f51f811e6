"""An arm necked outside its clamp, so that it breaks there: what that costs in stiffness too."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from refledge.airframe.arm_section import layered, section_at
from refledge.airframe.assessment import Assessment, all_stresses
from refledge.airframe.beams import Bar, Row, bars_of
from refledge.airframe.fillness import Fill, fill_of
from refledge.airframe.statics import solve_cases
from refledge.airframe.structure import Structure, span_edges
from refledge.airframe.task import Task
from refledge.airframe.weak_links import link_margins
from refledge.airframe.working import arm_shear
from refledge.analysis.beam import modes
from refledge.errors import AnalysisError
from refledge.model.layout import Layout
from refledge.model.parts import ArmDesign, FrameDesign
from refledge.typed import Floats

NECK = 10e-3
"""m; length of the neck along the arm, from the root block: our choice."""
FIRST_SPAN = 3
"""Beam of an arm that holds its neck: after two in the clamp and one in the tenon."""
SHARE_STEP = 2e-3
"""Of the width, to which a neck is sought: our choice, below what prints show."""
LEAST_INSIDE = 2e-3
"""m; hollow that must be left between the side walls of a neck: our choice."""
_STIFF = {"A": "area", "Iy": "Iy", "Iz": "Iz", "J": "J", "Ay": "Ay", "Az": "Az"}
"""Arrays of the beam frame to columns of a section."""


@dataclass(frozen=True, eq=False)
class Necked:
    """A frame whose arms are necked, solved again."""

    found: Assessment
    first_mode: float
    """Hz, of the free airframe."""
    tilt: float
    """rad, greatest motor tilt at full thrust."""


def necked(
    task: Task, frame: FrameDesign, layout: Layout, found: Assessment, share: float
) -> Necked:
    """The frame with every arm ``share`` (1) of its width over its first centimetre.

    Load cases are kept: the same loads on a softer frame. Raises AnalysisError for tubes and for
    necks whose side walls would meet.
    """
    structure = with_necks(found.structure, frame.arm, share, fill_of(task.brief))
    cases = tuple(result.case for result in found.results)
    results = solve_cases(structure, layout, cases)
    stresses = all_stresses(structure, results)
    again = replace(found, structure=structure, results=results, stresses=stresses)
    return Necked(again, *stiffness_of(again))


def neck_share(
    task: Task, frame: FrameDesign, layout: Layout, found: Assessment, scale: float
) -> float:
    """Width of the neck over the arm's (1) at which the arms bear ``scale`` (1) of what they bear
    now, in whatever of flight, landing and handling uses them most; the least that can be drawn
    where even that bears more.

    By bisection: each narrower neck bears less.
    """
    least = _least_share(frame.arm)
    wanted = scale * (1.0 + min(link_margins(task, frame, found, "arm")))

    def bears(share: float) -> float:
        thin = necked(task, frame, layout, found, share).found
        return 1.0 + min(link_margins(task, frame, thin, "arm"))

    low, high = least, 1.0
    if bears(low) >= wanted:
        return low
    while high - low > SHARE_STEP:
        middle = (low + high) / 2
        low, high = (low, middle) if bears(middle) > wanted else (middle, high)
    return low


def no_neck(arm: ArmDesign) -> str:
    """Why the arm can have no neck, in words; "" where it can."""
    if arm.family == "tube":
        return "tubes are bought: they cannot be necked"
    if arm.grown is not None:
        return "grown arms keep their shape: they cannot be necked"
    edges = span_edges(arm)
    if edges[1] - edges[0] <= NECK:
        return f"the arm's span is too short for a neck of {NECK * 1e3:g} mm"
    if _least_share(arm) >= 1.0:
        return "between the arm's side walls is no room for a neck"
    return ""


def _least_share(arm: ArmDesign) -> float:
    """Width of the narrowest neck over the arm's (1)."""
    return (2 * arm.side + LEAST_INSIDE) / arm.width + 1e-6


def stiffness_of(found: Assessment) -> tuple[float, float]:
    """First mode, Hz, and greatest motor tilt at full thrust, rad."""
    frequencies, _ = modes(found.structure.frame, 1)
    return float(frequencies[0]), float(found.result("full-thrust").motor_tilt.max())


def with_necks(structure: Structure, arm: ArmDesign, share: float, fill: Fill) -> Structure:
    """The beams with a neck in the first of every arm's span.

    Neck and the rest of that beam give in series, by their lengths; its stress is the neck's.
    """
    if told := no_neck(arm):
        raise AnalysisError(told)
    if share * arm.width - 2 * arm.side < LEAST_INSIDE:
        raise AnalysisError(f"a neck {share * arm.width * 1e3:.1f} mm wide has no hollow left")
    bars, arrays = list(structure.bars), {n: getattr(structure.frame, n).copy() for n in _STIFF}
    for index in range(len(structure.tips)):
        number = structure.beams_of("arm", index)[FIRST_SPAN]
        bar = bars[number]
        row = neck_section(arm, share, bar, fill)
        part = NECK / bar.length(structure.frame.nodes)
        for name, value in _in_series(bar.section, row, part).items():
            arrays[name][number] = value
        bars[number] = replace(bar, section=bar.section | row)
    return replace(structure, frame=replace(structure.frame, **arrays), bars=tuple(bars))


def neck_section(arm: ArmDesign, share: float, bar: Bar, fill: Fill) -> Row:
    """Section of the arm as narrow as its neck, where that begins."""
    material = replace(bar.material, G=arm_shear(bar.material))
    thin, at = replace(arm, width=share * arm.width), np.array([arm.root_length + NECK / 2])
    return bars_of(section_at(thin, at, layered(material), fill), 0)


def _in_series(whole: Row, neck: Row, part: float) -> Mapping[str, Floats | float]:
    """Stiffness of a beam of which ``part`` (1) is neck: gives add up by their lengths."""
    return {
        name: 1.0 / ((1.0 - part) / whole[column] + part / neck[column])
        for name, column in _STIFF.items()
    }
