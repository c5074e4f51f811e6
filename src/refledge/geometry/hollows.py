"""What is cut out of a printed arm between its solid ends, one maker for each family."""

from collections.abc import Callable, Mapping

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.envelope import block, named, stretches, underside
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, circle, polyline, rectangle, rounded
from refledge.geometry.windows import LEAST_WINDOW, windows
from refledge.model.parts import ArmDesign

_PAST = 1e-3  # cutters reach this far beyond what they cut, m
ROOT_FILLET = 3e-3
"""Fillet where the walls run into the solid ends, m; less in shallow voids. Our choice."""
WINDOW_FILLET = 1.5e-3
"""Fillet in the corners between bars and walls, m; less in small windows. Our choice."""


def _box_hollow(arm: ArmDesign, kernel: Kernel) -> list[Solid]:
    """The closed voids and the wire exit in the left wall."""
    top, half = arm.depth_root / 2 - arm.top, arm.width / 2 - arm.side
    voids = []
    for start, end in stretches(arm):
        low, high = (underside(arm, x) + arm.bottom for x in (start, end))
        fillet = min(ROOT_FILLET, 0.3 * (top - high))
        shape = rounded([(start, low), (end, high), (end, top), (start, top)], fillet)
        voids.append(kernel.extrude(shape, -half, half, axis="y"))
    return [*voids, _wire_exit(arm, kernel)]


def _wire_exit(arm: ArmDesign, kernel: Kernel) -> Solid:
    x = arm.length - arm.tenon_length - arm.bore
    middle = (arm.depth_root / 2 + underside(arm, x)) / 2
    inner = arm.width / 2 - arm.side - 0.1 * arm.side
    return kernel.extrude(circle((x, middle), arm.bore), inner, arm.width / 2 + _PAST, axis="y")


def _channel_hollow(arm: ArmDesign, kernel: Kernel) -> list[Solid]:
    """Pockets between zig-zag ribs, open below."""
    low, high = -arm.depth_root / 2 - _PAST, arm.depth_root / 2 - arm.top
    half = arm.width / 2 - arm.side
    nodes = _nodes(arm, arm.pitch)
    loops = windows(nodes, lambda _: -half, lambda _: half, arm.web, "lower", WINDOW_FILLET)
    if not loops:
        raise GeometryError(f"{named(arm)}: ribs {arm.web * 1e3:.1f} mm thick fill the channel")
    return _outside_block(arm, [(each, kernel.extrude(each, low, high)) for each in loops], kernel)


def _truss_hollow(arm: ArmDesign, kernel: Kernel) -> list[Solid]:
    """The gaps between the two side trusses, and the windows through both."""
    top, half = arm.depth_root / 2 - arm.top, arm.width / 2
    fillet = min(ROOT_FILLET, 0.3 * arm.depth_tip)
    low = -arm.depth_root / 2 - _PAST
    gaps = [
        rounded(rectangle(*each, low, top), [0.0, 0.0, fillet, fillet]) for each in stretches(arm)
    ]
    loops = windows(
        _nodes(arm, arm.pitch, 2),
        lambda x: underside(arm, x) + arm.bottom,
        lambda _: top,
        arm.web,
        "upper",
        WINDOW_FILLET,
    )
    past = half + _PAST
    opened = [(each, kernel.extrude(each, -past, past, axis="y")) for each in loops]
    inner = half - arm.side
    tools = [kernel.extrude(each, -inner, inner, axis="y") for each in gaps]
    return tools + _outside_block(arm, opened, kernel)


def _nodes(arm: ArmDesign, pitch: float, steps: int = 1) -> list[float]:
    """Where bars meet the edges: whole panels over the span, ``steps`` bars to each, x in m."""
    count = steps * max(1, round(arm.span / pitch))
    return [float(x) for x in np.linspace(arm.root_length, arm.root_length + arm.span, count + 1)]


def _outside_block(arm: ArmDesign, opened: list[tuple[Loop, Solid]], kernel: Kernel) -> list[Solid]:
    """Windows (outline along x, body) less the block about the lap, which overlays them.

    A window that shows less than LEAST_WINDOW outside the block is left solid.
    """
    solid = block(arm)
    if solid is None:
        return [body for _, body in opened]
    far = 10 * arm.depth_root + arm.width
    overlay = kernel.box((solid[0], -far, -far), (solid[1], far, far))
    kept = []
    for outline, body in opened:
        x = polyline(outline)[:, 0]
        if max(solid[0] - x.min(), x.max() - solid[1]) < LEAST_WINDOW:
            continue
        meets = x.max() > solid[0] and x.min() < solid[1]
        kept.append(kernel.cut(body, overlay) if meets else body)
    return kept


HOLLOWS: Mapping[str, Callable[[ArmDesign, Kernel], list[Solid]]] = {
    "box": _box_hollow,
    "channel": _channel_hollow,
    "truss": _truss_hollow,
}
"""Cutters of each printed family."""
