"""What a grown arm uses of its strength and of its buckling load under any load.

Uses are sublinear in the load (``shaping.bearing``; of buckling by Papkovich's theorem, see
``solids.buckling``), so for a case j that was solved, any k >= 0, and the rest d = load - k load_j
in unit loads e_i,

    use(load) <= k use(load_j) + sum_i |d_i| use(+-e_i).

The least such bound over all cases and k is taken: exact for a load that was solved or any multiple
of one, and never too low for any other. k need only be tried where a component of d is nil, for the
bound is a convex and piecewise linear function of k.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from refledge.airframe.beams import Bar
from refledge.airframe.statics import CaseResult
from refledge.airframe.stressing import PartStress
from refledge.airframe.structure import Structure
from refledge.airframe.working import Working
from refledge.model.grown import LOADS, GrownArm, GrownCase
from refledge.typed import Bools, Floats

TENON_BAR = 2
"""Beam of an arm that ends on the motor axis: after the clamp's and the root end's."""


@dataclass(frozen=True, eq=False)
class Borne:
    """Bound of the use of strength under n loads, without factor, each (n,)."""

    plastic: Floats
    plastic_error: Floats
    layers: Floats
    layers_error: Floats
    buckling: Floats
    """Load over the least that buckles the arm."""
    buckling_error: Floats


class Bearing(Protocol):
    """What an arm was solved for."""

    @property
    def cases(self) -> tuple[GrownCase, ...]: ...
    @property
    def unit_plastic(self) -> Floats: ...
    @property
    def unit_layers(self) -> Floats: ...
    @property
    def unit_buckling(self) -> Floats: ...
    @property
    def unit_by_hand(self) -> Floats: ...


def bounds(grown: Bearing, loads: Floats, by_hand: Bools | None = None) -> Borne:
    """loads: (n, 12), as LOADS names them. by_hand: (n,), arms by which the airframe is held; none
    where left out. Strength does not ask which end is held, buckling does."""
    cases = grown.cases
    plastic = _least(cases, loads, "plastic", grown.unit_plastic)
    layers = _least(cases, loads, "layers", grown.unit_layers)
    hung = np.zeros(len(loads), np.bool_) if by_hand is None else by_hand
    buckling = np.zeros((2, len(loads)))
    for mine, unit in ((False, grown.unit_buckling), (True, grown.unit_by_hand)):
        alike = tuple(each for each in cases if each.by_hand is mine)
        buckling[:, hung == mine] = _least(alike, loads[hung == mine], "buckling", unit)
    return Borne(*plastic, *layers, *buckling)


def _factors(loads: Floats, known: Floats) -> Floats:
    """(n, cases, 13): every k worth trying, 0 first."""
    with np.errstate(divide="ignore", invalid="ignore"):
        found = loads[:, None] / known
    found = np.where(np.isfinite(found) & (found > 0), found, 0.0)
    return np.concatenate((np.zeros((*found.shape[:2], 1)), found), axis=2)


def _least(
    cases: tuple[GrownCase, ...], loads: Floats, name: str, unit: Floats
) -> tuple[Floats, Floats]:
    """Least bound of each load (n, 12) and its mesh error; the rest has the worst error of all
    cases. With no case there are unit loads alone."""
    known = np.array([case.load for case in cases] or [np.zeros(len(LOADS))])
    use = np.array([getattr(case, name) for case in cases] or [0.0])
    error = np.array([getattr(case, f"{name}_error") for case in cases] or [0.0])
    factor = _factors(loads, known)
    choices = factor.shape[1] * factor.shape[2]
    rest = loads[:, None, None] - factor[..., None] * known[None, :, None]
    more = np.maximum(rest, 0.0) @ unit[:, 0] + np.maximum(-rest, 0.0) @ unit[:, 1]
    total = (factor * use[:, None] + more).reshape(len(rest), choices)
    best = total.argmin(axis=1)
    share = float(np.max(error / np.maximum(use, 1e-30)))
    doubt = (factor * error[:, None] + share * more).reshape(len(rest), choices)
    rows = np.arange(len(rest))
    return total[rows, best], doubt[rows, best]


def arm_loads(structure: Structure, result: CaseResult) -> Floats:
    """(n_arms, 12): what pulls at each arm in one load case."""
    rows = [tenon_of(structure, arm) for arm in range(len(structure.tips))]
    found = np.empty((len(rows), len(LOADS)))
    for arm, row in enumerate(rows):
        found[arm, :6] = at_tip(structure.bars[row], result.forces[row, 1])
        turn = _turn(structure, arm)
        felt = result.acceleration
        found[arm, 6:9], found[arm, 9:] = -turn @ felt[:3], -turn @ felt[3:]
    return found


def tenon_of(structure: Structure, arm: int) -> int:
    """The beam that ends on the arm's motor axis."""
    return structure.beams_of("arm", arm)[TENON_BAR]


def at_tip(bar: Bar, forces: Floats) -> Floats:
    """(6,): end forces of the tenon's beam, which lies ``bar.height`` above the node, about the
    node."""
    up = np.array([0.0, 0.0, bar.height])
    return np.concatenate((forces[:3], forces[3:] + np.cross(up, forces[:3])))


def unit_ends(bar: Bar, unit: Floats) -> Floats:
    """(6,): use of strength for a unit of each end force of the tenon's beam, whichever way it
    pulls: a force there is one about the node with its moment. unit: (12, 2)."""
    each = unit[:6].max(axis=1)
    lever = abs(bar.height) * np.array([each[4], each[3], 0.0])
    return np.concatenate((each[:3] + lever, each[3:]))


def grown_stresses(
    grown: GrownArm,
    material: Working,
    now: tuple[float, float],
    structure: Structure,
    results: tuple[CaseResult, ...],
) -> tuple[PartStress, ...]:
    """The worst arm of each load case. now: give, and use of strength, over those when solved."""
    n_arms, (softer, weaker) = len(structure.tips), now
    loads = np.concatenate([arm_loads(structure, each) for each in results])
    held = [arm == each.case.held_arm for each in results for arm in range(n_arms)]
    found = bounds(grown, loads, np.array(held))
    shaped = {
        f"{name}{more}": factor * getattr(found, f"{name}{more}").reshape(-1, n_arms)
        for name, factor in (("plastic", weaker), ("layers", weaker), ("buckling", softer))
        for more in ("", "_error")
    }
    return tuple(
        _stress(material, {name: each[row] for name, each in shaped.items()})
        for row in range(len(results))
    )


def _stress(material: Working, uses: dict[str, Floats]) -> PartStress:
    hard, torn, bent = (int(uses[name].argmax()) for name in ("plastic", "layers", "buckling"))
    plastic, layers = float(uses["plastic"][hard]), float(uses["layers"][torn])
    return PartStress(
        part="arm",
        normal=plastic * material.strength_xy,
        shear=layers * material.shear_z,
        in_plane=plastic,
        layers=layers,
        plane_error=float(uses["plastic_error"][hard]),
        layers_error=float(uses["layers_error"][torn]),
        buckling=float(uses["buckling"][bent]),
        buckling_error=float(uses["buckling_error"][bent]),
    )


def _turn(structure: Structure, arm: int) -> Floats:
    """(3, 3): rows are the arm's axes."""
    x, y = structure.frame.nodes[structure.tips[arm]][:2]
    c, s = np.array([x, y]) / np.hypot(x, y)
    return np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
