"""Growing again under the loads of the frame that has the arm, until that frame holds.

A stiffer arm lands harder, so the frame sized round a grown arm pulls at it otherwise than the
frame that it was grown for. Each round grows, solves as printed and sizes the frame; the next one
grows under that frame's loads, each load's use of strength taken times what came out more as
printed. A shape of which the voxels already say that it will not hold is not solved: it may weigh
more the next time, rigidity before weight.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf

from refledge.errors import AnalysisError, GeometryError, InputError
from refledge.model.grown import GrownArm
from refledge.shaping.found_more import printed_shares, softer_shares
from refledge.shaping.ground import greatest_use, ground_of, lacking, load_growth, of_strength
from refledge.shaping.keeping import kept_arm
from refledge.shaping.printable import Printable
from refledge.shaping.reanalysis import ArmFound
from refledge.shaping.result import InFrame, Result, Round
from refledge.shaping.shape import Wish
from refledge.study import Study

MOST = 6
"""Growths at most where nothing else is asked for: our choice."""
AIM = 0.9
"""Of strength as printed that rounds after the first grow to: a tenth for what one growth differs
from another, and for loads that move again. Our choice."""
HEAVIER = 1.2
"""By which the arm may weigh more from one growth to the next, at most: our choice."""
SOUNDER = 1.1
"""The same where something other than strength fails; for least mass, by which the use that is
asked for falls: walls come out thicker by as much. Our choice."""
SLACK = 0.8
"""Use of strength in its frame below which the lightest arm that holds is grown anew, lighter: our
choice, a little less than AIM."""
ARMS = ("arms", "arms and plates", "airframe")
"""Parts of checks that another arm can change."""


@dataclass(frozen=True)
class Hands:
    """What a round is made with."""

    grow: Callable[[Study, Wish, int], Result]
    """In the airframe given, the round's number told."""
    solve: Callable[[Study, Printable], ArmFound]
    """As printed, under that airframe's loads, so that it can be kept."""
    frame: Callable[[GrownArm], Study]
    """The airframe sized round an arm."""
    stopped: Callable[[], bool]
    """Whether the user wants no more rounds."""


def grown_to_hold(
    drawn: Study, ground: Study, wish: Wish, before: ArmFound, hands: Hands, most: int = MOST
) -> Result:
    """The arm whose frame lacks least, with the frame, and how every round ended.

    drawn: the airframe with the arm to be replaced, ``before`` that arm as printed. ground: the
    airframe whose loads the first round grows under. Where no airframe can have the arm the result
    says why.
    """
    rounds: list[Round] = []
    best: Result | None = None
    for number in range(1, most + 1):
        try:
            found = replace(hands.grow(ground, wish, number), study=drawn)
        except AnalysisError:  # it fell to pieces, stopped early say: an earlier one is better
            if best is None:
                raise
            break
        last = number == most or hands.stopped()
        if _hopeless(found, wish) and not last:
            rounds.append(_round(found, ground, number))
            wish = _heavier(found, wish)
            continue
        try:
            found = _framed(found, ground, before, hands)
        except AnalysisError:  # it could not be solved: an earlier one is better than none
            if best is None:
                raise
            rounds.append(_round(found, ground, number))
            break
        rounds.append(_round(found, ground, number))
        best = found if best is None or _short(found) < _short(best) else best
        if last or hands.stopped() or not (_may_help(found) or _may_be_lighter(found, wish)):
            break
        wish, ground = _asked(ground, found, wish), ground_of(drawn, _of(found))
    assert best is not None  # the last round is always solved
    return replace(best, rounds=tuple(rounds))


def _framed(found: Result, ground: Study, before: ArmFound, hands: Hands) -> Result:
    """Solved as printed, with the airframe sized round it, or why there is none."""
    found = replace(found, solids=(before, hands.solve(ground, found.body)))
    try:
        return replace(found, framed=hands.frame(kept_arm(found)))
    except (AnalysisError, GeometryError, InputError) as error:
        return replace(found, grounded=str(error))


def _of(found: Result) -> Study:
    assert found.framed is not None  # it was just sized
    return found.framed


def _may_help(found: Result) -> bool:
    """Whether another arm may mend what the frame lacks."""
    left = () if found.framed is None else lacking(found.study, found.framed)
    return any(check.part in ARMS for check in left)


def _may_be_lighter(found: Result, wish: Wish) -> bool:
    """Whether it holds with so much to spare that least mass is yet to come: not where strength had
    to be asked for less of, for what else failed."""
    if found.framed is None or wish.goal != "mass" or lacking(found.study, found.framed):
        return False
    lowered = bool(wish.printed) and wish.use is not None and wish.use < AIM
    return not lowered and greatest_use(found.framed) < SLACK


def _hopeless(found: Result, wish: Wish) -> bool:
    """Whether the voxels say that it will not hold as printed, and more mass may help."""
    after = found.shaped.after
    return bool(wish.printed) and wish.goal == "stiffness" and after.use > 1.0


def _heavier(found: Result, wish: Wish) -> Wish:
    """Strength goes at least with the mass: as much more as is missing."""
    return replace(wish, mass=found.shaped.budget * _more(found.shaped.after.use))


def _more(use: float) -> float:
    """By which an arm may weigh more, where a use of strength is to come down to AIM."""
    return min(HEAVIER, use / AIM)


def _asked(ground: Study, found: Result, wish: Wish) -> Wish:
    """For the next round. Where other than strength fails, buckling say, mass may help; so it may
    where strength still fails of an arm grown by what came out as printed, which a better place of
    the same plastic did not mend. Where least mass is sought, asking for a lower use comes to the
    same."""
    left = lacking(found.study, _of(found))
    solid = found.solids[1] if found.solids else None
    assert solid is not None  # it was solved
    assert solid.bears is not None  # to be kept
    other = any(check.part in ARMS and not of_strength(check) for check in left)
    printed = tuple(printed_shares(ground, found, solid.bears, wish))
    if wish.goal == "mass":
        use = wish.use if wish.printed and wish.use else AIM
        softer = tuple(softer_shares(ground, found, solid))
        return replace(wish, use=use / SOUNDER if other else use, printed=printed, softer=softer)
    weak = any(map(of_strength, left))
    more = SOUNDER if other else 1.0
    if weak and wish.printed:
        more = max(more, _more(greatest_use(_of(found))))
    wish = replace(wish, mass=found.shaped.budget * more) if more > 1.0 else wish
    return replace(wish, use=AIM, printed=printed) if weak else wish


def _short(found: Result) -> tuple[float, float, float]:
    """How many checks of the frame are lacking, and how far they are off, worst without frame; what
    the arm weighs, kg."""
    if found.framed is None:
        return inf, inf, inf
    left = lacking(found.study, found.framed)
    return len(left), sum(max(0.0, -check.margin) for check in left), found.spec.mass


def _round(found: Result, ground: Study, number: int) -> Round:
    framed, solids = found.framed, found.solids
    return Round(
        number=number,
        allowed=None if found.shaped.wish.goal == "mass" else found.shaped.budget,
        mass=found.spec.mass,
        loads=load_growth(found.study, ground),
        voxel_use=found.shaped.after.use,
        use=solids[1].use if solids else None,
        framed=None if framed is None else InFrame(
            loads=load_growth(found.study, framed),
            use=greatest_use(framed),
            first_mode=float(framed.airframe_modes.frequencies[0]),
            all_up_mass=framed.all_up_mass,
            lacking=tuple(check.key for check in lacking(found.study, framed)),
        ),
    )  # fmt: skip
