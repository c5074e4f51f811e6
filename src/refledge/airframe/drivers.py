"""Which check holds each dimension where it is, and what relaxing it would save."""

from collections.abc import Iterator

import numpy as np

from refledge.airframe.bolt_room import plates_for
from refledge.airframe.framing import whole_layers
from refledge.airframe.pool import Pool, blocking, choose
from refledge.airframe.pooling import settings_of
from refledge.airframe.sizing import PLATES, STOUT, Sized, finish
from refledge.airframe.task import Task
from refledge.airframe.use_titles import title_of
from refledge.model.results import Driver
from refledge.typed import Floats

RELAX = 1.1
"""Limits relaxed by a tenth."""
NAMES = {
    "width": "arm width",
    "depth_root": "arm depth at the root",
    "depth_tip": "arm depth at the tip",
    "side": "side wall or truss width",
    "top": "top wall",
    "bottom": "bottom wall or chord",
    "web": "rib or diagonal",
}


def find_drivers(task: Task, sized: Sized) -> tuple[Driver, ...]:
    """One line for each dimension that the search could have made smaller."""
    return (*_arm(sized), _plate(task, sized), _leg(sized))


def _arm(sized: Sized) -> Iterator[Driver]:
    pool, index = sized.pool, sized.choice.index
    columns = _columns(pool)
    for name, title in NAMES.items():
        values = columns[name]
        here = float(values[index])
        if here <= 0.0 or pool.family in ("tube", "grown"):
            continue
        smaller = _next_smaller(columns, name, index)
        if smaller is None:
            yield Driver(title, here, "mm", "the least that screws, wires or lines allow", 0.0)
            continue
        key = blocking(pool, smaller, sized.learnt.tighten)
        if not key:
            lighter = pool.frame_mass[smaller] < pool.frame_mass[index]
            reason = (
                "nothing: a step smaller holds too" if lighter else "weight: smaller is heavier"
            )
            yield Driver(title, here, "mm", reason, 0.0)
            continue
        yield Driver(title, here, "mm", title_of(key), _saved(sized, key))


def _columns(pool: Pool) -> dict[str, Floats]:
    found = {}
    for name in NAMES:
        parts = []
        for block in pool.blocks:
            value = getattr(block.candidates, name)
            parts.append(np.broadcast_to(value, (block.candidates.count,)))
        found[name] = np.concatenate(parts)
    return found


def _next_smaller(columns: dict[str, Floats], name: str, index: int) -> int | None:
    """Candidate that differs only in ``name``, by one step down; None where there is none.

    The tip keeps its share of the root's depth when the root's depth changes.
    """
    same = np.ones(len(columns[name]), dtype=bool)
    for other, values in columns.items():
        if other == name or (name == "depth_root" and other == "depth_tip"):
            continue
        same &= np.abs(values - values[index]) < 1e-9
    if name == "depth_root":
        share = columns["depth_tip"] / columns["depth_root"]
        same &= np.abs(share - share[index]) < 0.02
    same &= columns[name] < columns[name][index] - 1e-9
    rows = np.flatnonzero(same)
    return int(rows[np.argmax(columns[name][rows])]) if rows.size else None


def _saved(sized: Sized, key: str) -> float:
    """Frame mass saved were the limit behind ``key`` relaxed by a tenth, kg."""
    other = choose(sized.pool, sized.learnt.tighten, {key: RELAX})
    if not other.feasible:
        return 0.0
    now = float(sized.pool.frame_mass[sized.choice.index])
    return max(0.0, now - float(sized.pool.frame_mass[other.index]))


def _plate(task: Task, sized: Sized) -> Driver:
    thickness = sized.frame.plate.thickness
    layer = task.brief.printer.layer
    settings = settings_of(task, sized.pool.family)
    tried = plates_for(task, settings, (*PLATES, *STOUT))
    thinner = [each for each in tried if whole_layers(each, layer) < thickness - 1e-6]
    if not thinner:
        return Driver("plate thickness", thickness, "mm", "the thinnest plate that is tried", 0.0)
    found = finish(task, sized.pool, settings, max(thinner), sized.learnt)
    worst = max(found.uses, key=lambda key: found.uses[key])
    use = found.uses[worst]
    saved = max(0.0, sized.frame_mass - found.frame_mass) if use <= RELAX else 0.0
    reason = title_of(worst) if use > 1.0 else "weight: a thinner plate asks for heavier arms"
    return Driver("plate thickness", thickness, "mm", reason, saved)


def _leg(sized: Sized) -> Driver:
    uses = sized.uses
    scaled = sized.learnt.leg_scale > 1.0
    key = "separation" if scaled else "strength-rough-leg"
    reason = title_of(key) if uses.get(key, 0.0) > 0.5 else "the least that is tried"
    return Driver("leg depth at the top", sized.frame.leg.depth_top, "mm", reason, 0.0)
