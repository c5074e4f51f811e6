"""Whether the mass that the loads were computed for is the mass that came of them."""

from collections.abc import Sequence

from refledge.airframe.judge import judge
from refledge.model.checks import Check
from refledge.model.results import ClosureStep
from refledge.units import show


def closure_checks(steps: Sequence[ClosureStep], tolerance: float) -> tuple[Check, ...]:
    """Nothing where the closure settled within ``tolerance``, kg; else a check that cannot say."""
    last = steps[-1]
    if abs(last.change) <= tolerance:
        return ()
    off = show(last.change, "kg", "g", 2)
    return (
        judge(
            key="mass-closure", title="mass that the loads were computed for", group="flight",
            part="aircraft", demand=abs(last.change), capacity=tolerance, unit="kg", shown="g",
            margin=float("nan"), method=f"mass closure, {len(steps)} passes", source="computed",
            note=f"the frame's mass still moves by {off} from pass to pass, and every figure may "
            "be off by as much; change the brief a little (gaps, layer height, material) so that "
            "it settles",
        ),
    )  # fmt: skip
