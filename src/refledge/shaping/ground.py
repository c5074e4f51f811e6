"""The airframe of grown arms: what it lacks, and with the drawn arm put back, where the next grows.

Loads and all that stands round that arm are those of the frame that was sized round the arm grown
last; the room, what the arm may weigh and what it is compared with are the drawn arm's.
"""

from dataclasses import replace
from math import isnan

import numpy as np

from refledge.model.checks import Check, Verdict
from refledge.shaping.loads import tip_loads
from refledge.study import Study

BORNE = ("strength-", "layers-", "creep-")
"""How keys of checks begin that say how much of its strength an arm uses."""


def ground_of(drawn: Study, framed: Study) -> Study:
    """``framed`` with the arm of ``drawn``, which it is to be grown anew in place of."""
    own = next(spec for spec in drawn.parts if spec.key == "arm")
    return replace(
        framed,
        brief=drawn.brief,
        frame=replace(framed.frame, arm=drawn.frame.arm),
        parts=tuple(own if spec.key == "arm" else spec for spec in framed.parts),
        solids={**framed.solids, "arm": drawn.solids["arm"]},
    )


def load_growth(before: Study, now: Study) -> float:
    """Greatest ratio of a load case's force on the arm's tip in ``now`` to that in ``before``."""
    old = {each.name: each for each in tip_loads(before)}
    return max(
        float(np.linalg.norm(each.wrench[:3]) / np.linalg.norm(old[each.name].wrench[:3]))
        for each in tip_loads(now)
        if each.name in old
    )


def lacking(drawn: Study, framed: Study) -> tuple[Check, ...]:
    """Checks of the frame with grown arms that fail, or that the mesh error leaves open, unless
    they fail with the drawn arm too. Those that nobody has looked at have no margin, and no arm
    grown anew would answer them."""
    before = {check.key for check in drawn.checks if check.verdict is Verdict.FAILS}
    return tuple(
        check
        for check in framed.checks
        if check.verdict in (Verdict.FAILS, Verdict.UNKNOWN)
        and not isnan(check.margin)
        and check.key not in before
    )


def of_strength(check: Check) -> bool:
    """Whether it says how much of the arms' strength is used."""
    return check.part == "arms" and check.key.startswith(BORNE)


def greatest_use(framed: Study) -> float:
    """Of the arms' strength in the frame, factors in (1)."""
    return max(
        1.0 / (1.0 + check.margin)
        for check in framed.checks
        if of_strength(check) and not isnan(check.margin)
    )
