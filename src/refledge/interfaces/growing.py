"""An arm grown, solved as printed and given to the airframe, round after round."""

import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from refledge.inputs.grown_text import RECORD, grown_files
from refledge.interfaces.designing import part_of
from refledge.model.brief import Brief
from refledge.model.grown import GrownArm
from refledge.model.learned_cards import LearnedCards
from refledge.outputs.shape_files import PICTURE
from refledge.outputs.shape_pictures import growing_png
from refledge.planning.frame_figures import frame_figures
from refledge.planning.plan import plan_prints
from refledge.shaping.ground import ground_of
from refledge.shaping.printable import Printable, laid, least_wall, of_drawn, printable
from refledge.shaping.reanalysis import ArmFound, reanalyse
from refledge.shaping.result import Result
from refledge.shaping.rounds import Hands, grown_to_hold
from refledge.shaping.shape import Growing, Wish, shape_arm
from refledge.study import Study, design
from refledge.units import show
from refledge.whole import write_whole

Progress = Callable[[str, float], None]
_PICTURE_EVERY = 5  # iterations


@dataclass
class Stop:
    """Whether the user has asked to stop once."""

    asked: bool = False


def grow(
    study: Study,
    wish: Wish,
    out: Path,
    progress: Progress,
    stop: Stop | None = None,
    *,
    rounds: int = 0,
    learned: LearnedCards | None = None,
) -> Result:
    """Grow the arm of a study whose solids are made; work and picture are kept in ``out``.

    An arm that was grown already is grown anew in the room of a drawn one, under the loads of the
    frame that has it. rounds: growths at most until the frame with the arm holds, each solved as
    printed; 0 grows one and leaves it unsolved.
    """
    stop = stop or Stop()
    drawn = study
    if study.frame.arm.grown is not None:
        drawn = design(named(study, ""), learned=learned, progress=part_of(progress, 0.0, 0.05))
    ground = study if drawn is study else ground_of(drawn, study)
    if not rounds:
        found = _grown(ground, wish, out, part_of(progress, 0.05, 0.9), stop)
        return replace(found, study=drawn)
    progress("present arm as printed", 0.05)
    present = of_drawn(drawn.solids["arm"], least_wall(drawn.brief.printer))
    before = reanalyse(drawn, present, settle=False)  # to compare with: nothing hangs on it
    with tempfile.TemporaryDirectory(prefix="refledge-") as folder:
        hands = _Hands(drawn, out, Path(folder), learned, part_of(progress, 0.1, 1.0), stop)
        made = Hands(hands.grow, hands.solve, hands.frame, lambda: stop.asked)
        found = grown_to_hold(drawn, ground, wish, before, made, rounds if wish.use else 1)
    progress("print plans", 0.97)
    return compared(found)


def compared(found: Result) -> Result:
    """With the figures of both airframes, where there are two."""
    if found.framed is None:
        return found
    frames = {"drawn arms": found.study, "grown arms": found.framed}
    made = (frame_figures(name, each, plan_prints(each)) for name, each in frames.items())
    return replace(found, frames=tuple(made))


def named(study: Study, record: str) -> Brief:
    """The study's brief with the record of a grown arm in it, or none, its layout settled."""
    brief = study.brief
    family = "choose" if record else brief.frame.arm_family
    return replace(
        brief,
        frame=replace(brief.frame, grown_arm=record, arm_family=family),
        layout=replace(brief.layout, kind=study.layout.kind),
    )


@dataclass
class _Hands:
    """The ports of a round, which tell how far the work is: every round half of what is left."""

    drawn: Study
    out: Path
    folder: Path
    learned: LearnedCards | None
    progress: Progress
    stop: Stop
    number: int = 1

    def grow(self, ground: Study, wish: Wish, number: int) -> Result:
        self.number = number
        return _grown(ground, wish, self.out, self._part(0.0, 0.45), self.stop)

    def solve(self, ground: Study, body: Printable) -> ArmFound:
        self._part(0.45, 0.85)("grown arm as printed", 0.0)
        return reanalyse(ground, body, keep=True)

    def frame(self, arm: GrownArm) -> Study:
        for name, data in grown_files(arm).items():
            write_whole(self.folder / name, data)
        told = named(self.drawn, str(self.folder / RECORD))
        tell = self._part(0.85, 1.0)
        return design(
            told,
            learned=self.learned,
            progress=lambda _, share: tell("airframe with grown arms", share),
        )

    def _part(self, start: float, end: float) -> Progress:
        done, left = 1 - 0.5 ** (self.number - 1), 0.5**self.number
        part = part_of(self.progress, done + start * left, done + end * left)
        return lambda what, share: part(f"round {self.number}: {what}", share)


def _grown(study: Study, wish: Wish, out: Path, progress: Progress, stop: Stop) -> Result:
    """From study to bed, not solved again."""
    shaped = shape_arm(study, wish, _teller(progress, out, stop), keep=out)
    progress("surface", 1.0)
    body = printable(shaped.grown, least_wall(study.brief.printer))
    lies = laid(body.mesh, body.print_rotation, study.brief.frame, study.brief.printer)
    return Result(study, shaped, body, lies)


def _teller(progress: Progress, out: Path, stop: Stop) -> Callable[[Growing], bool]:
    def told(now: Growing) -> bool:
        if now.iteration % _PICTURE_EVERY == 0:  # first, so that who hears of the step finds it
            growing_png(now.picture(), out / PICTURE)
        mass = show(now.mass, "kg", "g")
        progress(f"growing, step {now.iteration}, {mass}", now.share)
        return not stop.asked

    return told
