"""A weak link on purpose: what it must bear in flight, and how weak it must be to go first.

The link is made weaker step by step in the marched crashes until what it protects breaks no more
than wanted, or until flight and landing would break it. Only its strength is changed: a weaker
section is a little softer too, which spares the rest a little more than is said here.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import degrees, pi, sqrt

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.blows.cases import CrashCase
from refledge.airframe.hinge_weak import lock_steps, lock_words
from refledge.airframe.necked import neck_share, necked, no_neck, stiffness_of
from refledge.airframe.task import Task
from refledge.airframe.weak_links import link_margins
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.repair.marching import Model, make_model
from refledge.repair.sampling import chances
from refledge.repair.sparing import Sparing, sparing

LINKS = ("arm", "leg", "bolt")
TITLES = {
    "arm": "arm root tab, necked outside the clamp",
    "leg": "leg strut",
    "bolt": "plastic shear bolt at the arm's outer clamp pair",
    "lock": "polyamide lock bolt of the folding arms",
}
STEPS = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3)
"""Strengths tried, over the one as sized."""
SHEAR_BOLT = 35e6
"""Pa, shear strength of a plain polyamide bolt: from memory, typical of dry PA 66."""
OFTEN = 0.05
"""Share of a kind of crash in which the link must go first to be told of it: our choice."""

Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class LinkTry:
    """One strength of the link."""

    scale: float
    """Strength over the one as sized (1)."""
    spared: float
    """Chance that a crash breaks nothing protected (1)."""
    link_first: float
    """Chance that the link breaks first (1)."""
    flight_margin: float
    """Reserve of the link in flight, with the brief's factor (1)."""
    landing_margin: float
    """The same in landing and handling."""

    @property
    def flies(self) -> bool:
        """It bears flight, landing and handling with their factors."""
        return min(self.flight_margin, self.landing_margin) >= 0.0


@dataclass(frozen=True)
class WeakLink:
    """What came of one choice of link."""

    key: str
    tries: tuple[LinkTry, ...]
    chosen: int
    """Number of the try that spares most and still flies; 0 where even the first does not fly."""
    size: str
    """How large the link then is, in words."""
    sparing: tuple[Sparing, ...] = ()
    """Up to which speed it spares the plates, where it often goes first."""

    @property
    def best(self) -> LinkTry:
        """The chosen try."""
        return self.tries[self.chosen]


def weak_link(
    key: str, model: Model, task: Task, frame: FrameDesign, found: Assessment,
    cases: tuple[CrashCase, ...], count: int, *, seed: int = 1,
    steps: Sequence[float] = STEPS, progress: Progress | None = None,
    layout: Layout | None = None,
) -> WeakLink:  # fmt: skip
    """Try a link (one of LINKS) at each strength; ``count`` crashes of each case, the same ones.

    layout: with it, a necked arm is solved and marched once more as drawn.
    """
    if key == "bolt" and frame.hinge is not None:
        key, steps = "lock", lock_steps(task, frame)
    kind = "arm" if key == "bolt" else key
    flight, landing = link_margins(task, frame, found, kind)
    tries, marched = [], []
    for number, scale in enumerate(steps):
        if progress:
            progress(f"weak link at {scale:.0%}", number / len(steps))
        done = [
            chances(model, task, frame, case, count, seed=seed, scale={kind: scale})
            for case in cases
        ]
        marched.append(done)
        shares = [case.share for case in cases]
        tries.append(
            LinkTry(
                scale,
                float(np.average([each.spared for each in done], weights=shares)),
                float(np.average([each.first_of(kind) for each in done], weights=shares)),
                scale * (1 + flight) - 1,
                scale * (1 + landing) - 1,
            )
        )
    flying = [number for number, each in enumerate(tries) if each.flies]
    chosen = max(flying, key=lambda number: tries[number].spared, default=0)
    scale = tries[chosen].scale
    if key == "lock":
        words = lock_words(task, frame, scale)
    elif key == "arm" and layout is not None and scale < 1.0 and not no_neck(frame.arm):
        share = neck_share(task, frame, layout, found, scale)
        words = width_words(frame, share)
        words += neck_words(task, frame, layout, found, cases, count, share, seed)
    else:
        words = size_words(key, frame, found, scale)
    told = [each.case for each in marched[chosen] if each.first_of(kind) >= OFTEN]
    return WeakLink(key, tuple(tries), chosen, words, sparing(model, told, kind, scale))


def neck_words(
    task: Task, frame: FrameDesign, layout: Layout, found: Assessment,
    cases: tuple[CrashCase, ...], count: int, share: float, seed: int,
) -> str:  # fmt: skip
    """What the neck itself, ``share`` (1) of the arm's width, does: softer, and marched so."""
    thin = necked(task, frame, layout, found, share)
    first, tilt = stiffness_of(found)
    flight, landing = link_margins(task, frame, thin.found, "arm")
    model = make_model(task, frame, thin.found)
    spared = [chances(model, task, frame, case, count, seed=seed).spared for case in cases]
    mean = float(np.average(spared, weights=[case.share for case in cases]))
    return (
        f"; drawn so, it is softer too: first mode {thin.first_mode:.1f} Hz instead of "
        f"{first:.1f} Hz, motor tilt {degrees(thin.tilt):.2f}° instead of {degrees(tilt):.2f}°; "
        f"it spares the dear parts in {mean:.0%} of crashes, with {flight:+.0%} in reserve in "
        f"flight and {landing:+.0%} in landing"
    )


def width_words(frame: FrameDesign, share: float) -> str:
    """A neck ``share`` (1) as wide as the arm; bending strength goes about with width."""
    width = frame.arm.width
    return (
        f"arm {1e3 * share * width:.1f} mm wide over its first centimetre instead of "
        f"{1e3 * width:.1f} mm"
    )


def size_words(key: str, frame: FrameDesign, found: Assessment, scale: float) -> str:
    """How large the link is at ``scale`` of its strength: a leg's section modulus goes with depth
    squared, an arm's about with width.

    The bolt: two of them across the outer clamp holes shear at the force that the arm's root would
    break at, moment over the bolts' distance.
    """
    if scale == 1.0 and key != "bolt":
        return "a weaker one does not bear its loads, or spares no more"
    if key == "leg":
        depth = frame.leg.depth_top * sqrt(scale)
        return f"strut {1e3 * depth:.1f} mm deep under its flange instead of " \
               f"{1e3 * frame.leg.depth_top:.1f} mm"  # fmt: skip
    if key == "arm" and frame.arm.grown is not None:
        return f"an arm grown anew that bears {scale:.0%} of what this one bears"
    if key == "arm" and (why := no_neck(frame.arm)):
        return f"an arm that bears {scale:.0%} of what this one bears; {why}"
    if key == "arm":
        return width_words(frame, scale)
    force = root_moment(found, frame) * scale / frame.clamp.pitch_x / 2
    diameter = sqrt(force / SHEAR_BOLT * 4 / pi)
    return f"two polyamide bolts of {1e3 * diameter:.1f} mm that shear at {force:.0f} N each"


def root_moment(found: Assessment, frame: FrameDesign) -> float:
    """N m at which an arm breaks beside its clamp, bending up or down.

    Of a grown arm by the pull at its tip that breaks it anywhere.
    """
    grown = frame.arm.grown
    if grown is not None:
        use = max(float(grown.unit_plastic[2].max()), float(grown.unit_layers[2].max()))
        return (frame.arm.axis - frame.clamp.first - frame.clamp.pitch_x) / use
    part = "tube" if frame.arm.family == "tube" else "arm"
    bar = found.structure.bars[found.structure.beams_of(part, 0)[1]]
    row, net = bar.section, bar.section.get("net", 1.0)
    return bar.material.strength_xy * row["Iy"] / max(row["top"], row["bottom"]) / net
