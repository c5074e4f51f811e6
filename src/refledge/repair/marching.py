"""Crashes of many aircraft at once: march until something breaks, take it off, march on."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.blows.cases import FRICTION, ground_stiffness, hunt_crossley
from refledge.airframe.blows.places import Place
from refledge.airframe.blows.struck import Struck, make_struck
from refledge.airframe.structure import Structure
from refledge.airframe.task import Task
from refledge.model.parts import FrameDesign
from refledge.repair import kernel
from refledge.repair.reduced import Reduced, reduce_frame, without
from refledge.typed import Bools, Floats, Ints

ENDING = frozenset({"plates"})
"""Parts whose break ends the sum: what follows is scrap anyway, and the beams no longer stand."""
FIXED = frozenset({"electronics"})
"""Parts whose failure takes nothing off the frame."""
MOST_BREAKS = 4
"""Breaks followed in one crash; more are as good as a write-off (a choice)."""
EVERY = 4
"""Steps between looks at the stresses."""
DAMPING = 0.02
"""Fraction of critical damping where no material says otherwise: from memory, typical."""


@dataclass(frozen=True, eq=False)
class Model(Struck):
    """One airframe ready to crash."""

    structure: Structure
    damping: float
    pieces: Mapping[frozenset[str], tuple[Reduced, "_Rows"]] = field(default_factory=dict)
    """Reduced frames by what is broken, made as they are needed."""

    def reduced(self, broken: frozenset[str]) -> tuple[Reduced, "_Rows"]:
        """What is left once ``broken`` parts are gone."""
        key = broken - ENDING - FIXED
        if key not in self.pieces:
            made = self._reduce(key)
            self.pieces[key] = made  # type: ignore[index]  # a cache, no part of the value
        return self.pieces[key]

    def _reduce(self, key: frozenset[str]) -> tuple[Reduced, "_Rows"]:
        left = without(self.frame, self.structure, key) if key else self.frame
        loose = {f"arm {each.split()[1]}" for each in key if each.startswith("lock")}
        motors = {f"mount {each.split()[1]}" for each in key | loose if each.startswith("arm")}
        gone = key | loose | motors
        made = reduce_frame(self.frame, left, self.points, self.where, gone)
        return made, _rows(self.where, self.parts)


@dataclass(frozen=True, eq=False)
class _Rows:
    """Places as arrays."""

    normal: Floats
    shear: Floats
    strength: Floats
    layers: Floats
    part_of: Ints


def _rows(where: Sequence[Place], parts: Sequence[str]) -> _Rows:
    number = {part: k for k, part in enumerate(parts)}
    return _Rows(
        np.array([place.normal for place in where]),
        np.array([place.shear for place in where]),
        np.array([place.strength for place in where]),
        np.array([place.layers for place in where]),
        np.array([number[place.part] for place in where]),
    )


def make_model(task: Task, frame: FrameDesign, found: Assessment) -> Model:
    """The sized frame with its contact points and the places at which it may break."""
    ready = make_struck(task, frame, found)
    return Model(
        frame=ready.frame,
        points=ready.points,
        where=ready.where,
        parts=ready.parts,
        structure=found.structure,
        damping=task.materials[frame.arm.material].damping,
    )


@dataclass(frozen=True, eq=False)
class Crashes:
    """Many crashes to follow; arrays of one row a crash."""

    up: Floats  # (s, 3)
    velocity: Floats  # (s, 3), m/s
    turn: Floats  # (s, 3), rad/s
    plane: Floats  # (s, parts), factor on strength in the plane of the layers
    across: Floats  # (s, parts), factor on strength across them

    def __len__(self) -> int:
        return len(self.up)


@dataclass(frozen=True, eq=False)
class Outcome:
    """What many crashes did."""

    parts: tuple[str, ...]
    broken: Bools  # (s, parts)
    first: Ints  # (s,), number of the part that broke first, -1 none
    time: Floats  # (s,), s, of the first break, or of the end
    peak: Floats
    """(s, parts), 1: greatest use of strength up to the first break."""
    ends: Mapping[int, tuple[Floats, Floats, frozenset[str]]]
    """By crash: positions and speeds of the modes of what is left, and what is gone, at its end, or
    where a part broke that ends it."""


def follow(
    model: Model, crashes: Crashes, duration: float, *, breaks: int = MOST_BREAKS
) -> Outcome:
    """March all crashes for ``duration`` (s), taking off what breaks.

    breaks: most that are followed in one crash; 0: nothing breaks.
    """
    count, parts = len(crashes), len(model.parts)
    reduced, _ = model.reduced(frozenset())
    q = np.zeros((count, len(reduced.squares)))
    v = first_motion(model, reduced, crashes)
    gap = gaps(model, crashes.up)
    broken = np.zeros((count, parts), dtype=bool)
    first, time, peak = np.full(count, -1), np.zeros(count), np.zeros((count, parts))
    begun = np.zeros(count)
    state = {number: (q[number], v[number], frozenset[str]()) for number in range(count)}
    going: Ints = np.arange(count)
    for stage in range(max(breaks, 1)):
        later: list[int] = []
        for rows in _alike(going, state):
            done = _march(model, crashes, rows, state, begun, gap, broken, duration, breaks > 0)
            ended, broke, used = done
            if stage == 0:
                first[rows], time[rows], peak[rows] = broke, ended, used
            hit = broke >= 0
            broken[rows[hit], broke[hit]] = True
            begun[rows] = ended
            later += _carry_on(model, rows[hit], broke[hit], state)
        going = np.array(sorted(later), dtype=np.int64)
        if not len(going):
            break
    return Outcome(model.parts, broken, first, time, peak, state)


State = dict[int, tuple[Floats, Floats, frozenset[str]]]


def _alike(going: Ints, state: State) -> list[Ints]:
    """Crashes grouped by what is broken in them."""
    groups: dict[frozenset[str], list[int]] = {}
    for number in going:
        groups.setdefault(state[int(number)][2] - ENDING - FIXED, []).append(int(number))
    return [np.array(rows, dtype=np.int64) for rows in groups.values()]


def _march(
    model: Model, crashes: Crashes, rows: Ints, state: State, begun: Floats, gap: Floats,
    broken: Bools, duration: float, breakable: bool,
) -> tuple[Floats, Ints, Floats]:  # fmt: skip
    """One stage of crashes that have the same pieces; ``state`` is moved on."""
    reduced, table = model.reduced(state[int(rows[0])][2])
    ground = _ground(model, reduced)
    alive = ~broken[rows] & breakable
    speed = -np.einsum("si,si->s", crashes.up[rows], crashes.velocity[rows])
    ended, broke, peak, q, v = kernel.run(
        np.array([state[int(n)][0] for n in rows]), np.array([state[int(n)][1] for n in rows]),
        begun[rows], duration, crashes.up[rows], gap[rows], alive, crashes.plane[rows],
        crashes.across[rows], reduced.squares, 2 * model.damping * np.sqrt(reduced.squares),
        reduced.points, ground, hunt_crossley(speed), FRICTION, reduced.recover, reduced.steady,
        table.normal, table.shear, table.strength, table.layers, table.part_of,
        time_step(reduced, ground), EVERY,
    )  # fmt: skip
    for k, number in enumerate(rows):
        state[int(number)] = (q[k], v[k], state[int(number)][2])
    return ended, broke, peak


def _carry_on(model: Model, rows: Ints, broke: Ints, state: State) -> list[int]:
    """Take off what broke: motion of what is left goes over to its own modes."""
    going = []
    for number, part in zip(rows, broke, strict=True):
        q, v, gone = state[int(number)]
        name = model.parts[part]
        after = gone | {name}
        if name in ENDING:
            continue
        if name not in FIXED:
            old, _ = model.reduced(gone)
            new, _ = model.reduced(after)
            carry = new.mass_shapes.T @ old.shapes
            q, v = carry @ q, carry @ v
        state[int(number)] = (q, v, after)
        going.append(int(number))
    return going


def first_motion(model: Model, reduced: Reduced, crashes: Crashes) -> Floats:
    """(s, k): modal speeds of the whole aircraft moving and turning as one body."""
    nodes = model.frame.nodes
    rigid = np.zeros((len(crashes), len(nodes), 6))
    turn = crashes.turn[:, None, :]
    rigid[:, :, :3] = crashes.velocity[:, None, :] + np.cross(turn, nodes[None])
    rigid[:, :, 3:] = turn
    return np.asarray(rigid.reshape(len(crashes), -1) @ reduced.mass_shapes)


def gaps(model: Model, up: Floats) -> Floats:
    """(s, p), m: height of each contact point over the lowest."""
    height = up @ np.array([point.place for point in model.points]).T
    return np.asarray(height - height.min(axis=1, keepdims=True))


def _ground(model: Model, reduced: Reduced) -> Floats:
    """(p,), N/m: ground in series with what the modes left out would give; 0 where gone."""
    soil = np.array([ground_stiffness(point.radius) for point in model.points])
    return np.asarray(reduced.present / (1 / soil + reduced.give))


def time_step(reduced: Reduced, ground: Floats) -> float:
    """s: a fifth of the longest stable step of central differences, 2 / the highest frequency.

    A contact point in touch adds its stiffness to every mode: squares of frequencies add up.
    """
    touch = ground * np.sum(reduced.points**2, axis=(1, 2))
    highest = float(np.sqrt(reduced.squares[-1] + touch.max()))
    return 0.2 * 2.0 / highest
