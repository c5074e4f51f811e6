"""Arms in two parts, for tests: longer than the bed of the brief's printer."""

from refledge.model.parts import ArmDesign, FrameDesign
from tests.geometry.frames import arm, frame


def split_arm(family: str = "box", **changes: float) -> ArmDesign:
    """320 mm long, lapped over 36 mm about its middle; ``changes`` in mm."""
    sizes = {"length": 320.0, "width": 26.0, "split": 160.0, "lap": 36.0, **changes}
    return arm(family, **sizes)


def split_frame(family: str = "box", **changes: float) -> FrameDesign:
    """Six such arms."""
    return frame(6, split_arm(family, **changes))
