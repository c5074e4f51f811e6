"""Arms in two parts, for tests: longer than the bed of the brief's printer."""

from hypothesis import assume
from hypothesis import strategies as st

from refledge.model.parts import ArmDesign, FrameDesign
from tests.geometry.frames import arm, frame

FAMILIES = ("box", "channel", "truss")


def split_arm(family: str = "box", **changes: float) -> ArmDesign:
    """320 mm long, lapped over 36 mm about its middle; ``changes`` in mm."""
    sizes = {"length": 320.0, "width": 26.0, "split": 160.0, "lap": 36.0, **changes}
    return arm(family, **sizes)


def split_frame(family: str = "box", **changes: float) -> FrameDesign:
    """Six such arms."""
    return frame(6, split_arm(family, **changes))


@st.composite
def splits(draw: st.DrawFn) -> FrameDesign:
    """Split arms of any family over the ranges that sizing searches."""

    def mm(low: float, high: float) -> float:
        return round(draw(st.floats(low, high)), 2)  # no printer knows finer steps

    family = draw(st.sampled_from(FAMILIES))
    depth, span = mm(18, 45), mm(150, 400)
    tip = max(14.0, round(depth * draw(st.floats(0.5, 1.0)), 2))
    sizes = {"depth_root": max(depth, tip), "depth_tip": tip, "width": mm(24, 40)}
    sizes |= {"side": mm(0.9, 4), "top": mm(0.9, 3), "bore": mm(3, 6), "web": mm(0.9, 4)}
    sizes |= {"pitch": 0.0 if family == "box" else mm(17, 60), "lap": mm(20.2, 50)}
    sizes |= {"bottom": 0.0 if family == "channel" else mm(0.9, 3), "length": span + 93}
    reach = sizes["lap"] / 2 + 4
    least, most = 40 + sizes["bore"] + reach, 40 + span - 2 * sizes["bore"] - reach
    at = least + draw(st.floats(0, 1)) * (most - least)
    high = sizes["depth_root"] - (at - 40) / span * (sizes["depth_root"] - tip)
    assume(high / 2 - sizes["bore"] > max(1.6, sizes["top"]))
    return split_frame(family, **{**sizes, "split": at})
