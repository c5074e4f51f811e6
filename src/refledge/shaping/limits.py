"""What the lightest arm must still do: how far its tip may move, tilt and swing, by load case."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from refledge.errors import InputError, Problem
from refledge.shaping.figures import Figures, Moved, Stand
from refledge.shaping.loads import rider
from refledge.study import Study
from refledge.typed import Floats
from refledge.verify.beam_forces import arm_figures
from refledge.voxels.problem import FrequencyLimit, Limit

FULL = "full-thrust"
SWING = "first mode"
MODES = 2
"""Lowest modes that must lie above the least frequency, of whatever kind: then all do."""


@dataclass(frozen=True)
class Bound:
    """One motion of the seat under one load that must stay small."""

    case: str
    what: str
    """deflection or tilt."""
    axis: int
    """Of the seat's six motions, x y z and turns about them: 0 to 5."""
    most: float
    """m or rad."""

    def used(self, moved: Moved) -> float:
        """Share of what is allowed; above 1 it is passed."""
        return abs(moved.motion[self.axis]) / self.most


@dataclass(frozen=True)
class Bounds:
    """All that a grown arm of least mass must keep."""

    motions: tuple[Bound, ...]
    frequency: float
    """Hz, of the arm alone with what rides on its tip."""
    use: float = np.inf
    """Greatest use of strength of any voxel; none to keep where it was left off."""

    def tighter(self, softer: Mapping[str, float]) -> "Bounds":
        """For an arm that moves ``softer`` times as far as its voxels say, by load, and swings as
        one that gives ``softer[SWING]`` times as much; loads that none was measured of take the
        greatest. Never wider."""
        most = max((each for name, each in softer.items() if name != SWING), default=1.0)
        motions = tuple(
            replace(each, most=each.most / max(1.0, softer.get(each.case, most)))
            for each in self.motions
        )
        swing = max(1.0, softer.get(SWING, 1.0))
        return replace(self, motions=motions, frequency=self.frequency * swing**0.5)

    def worst(self, figures: Figures) -> float:
        """Greatest share used of any, frequencies by their squares."""
        least = min(figures.frequencies, default=0.0)
        swing = (self.frequency / least) ** 2 if least > 0 else np.inf
        strong = figures.use / self.use
        return max(swing, strong, *(each.used(figures.of(each.case)) for each in self.motions))


def bounds_of(study: Study, stand: Stand, before: Figures, use: float = np.inf) -> Bounds:
    """At full thrust what the brief allows, less the tilt that plates and clamps take of it; under
    every other load what the present arm does, by the axis that it moves most along and turns most
    about. Its first frequency keeps the share that the airframe's lowest mode may lose, but is
    asked for no more than the present arm has."""
    case = study.assessment.result(FULL).case.title
    if case not in stand.names:
        raise _refused(case)
    found = [
        Bound(case, "deflection", 2, study.brief.limits.tip_deflection * _reach(study)),
        Bound(case, "tilt", 4, _tilt_left(study, case)),
    ]
    for moved in before.moved:
        if moved.case != case:
            found += [_as_before(moved, "deflection", 0), _as_before(moved, "tilt", 3)]
    return Bounds(tuple(found), min(_least(study), *before.frequencies), use)


def as_limits(bounds: Bounds, stand: Stand, ratio: float) -> tuple[Limit, ...]:
    """For the optimiser, each ``ratio`` of what is allowed."""
    return tuple(
        Limit(f"{each.what}, {each.case}", each.case, stand.grip.field(_unit(each.axis)),
              ratio * each.most) for each in bounds.motions
    )  # fmt: skip


def as_frequency(study: Study, bounds: Bounds, stand: Stand, ratio: float) -> FrequencyLimit:
    """The same, ``ratio`` taken of the square's inverse."""
    return FrequencyLimit(bounds.frequency / ratio**0.5, MODES, (rider(study, stand.grip),))


def _unit(axis: int) -> Floats:
    found = np.zeros(6)
    found[axis] = 1.0
    return found


def _as_before(moved: Moved, what: str, first: int) -> Bound:
    part = np.abs(moved.motion[first : first + 3])
    axis = first + int(np.argmax(part))
    return Bound(moved.case, what, axis, float(part.max()))


def _reach(study: Study) -> float:
    return study.layout.motor_radius - study.frame.clamp.root_radius


def _tilt_left(study: Study, case: str) -> float:
    """rad: the airframe's tilt beyond that of its arm alone is not the arm's to take."""
    whole = float(study.assessment.result(FULL).motor_tilt.max())
    elsewhere = max(0.0, whole - arm_figures(study)[f"{case}: tilt of seat"])
    return study.brief.limits.motor_tilt - elsewhere


def _least(study: Study) -> float:
    limits = study.brief.limits
    wanted = limits.control_bandwidth * limits.bandwidth_ratio
    return float(wanted * study.arm_modes.frequencies[0] / study.airframe_modes.frequencies[0])


def _refused(case: str) -> InputError:
    return InputError(
        Problem(
            "the brief's load cases", "--goal", "mass", f"a brief where “{case}” bends an arm",
            "grow for stiffness instead",
        )
    )  # fmt: skip
