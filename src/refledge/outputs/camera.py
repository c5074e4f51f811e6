"""A parallel-projection camera: drawings keep lengths along each axis."""

from dataclasses import dataclass

import numpy as np

from refledge.typed import Floats

_BLANK = 0.06  # share of the picture left free on each side


@dataclass(frozen=True, eq=False)
class Camera:
    """Maps body axes to pixels; the view looks along ``forward``."""

    right: Floats
    """(3,), unit vector along the picture's width."""
    up: Floats
    """(3,)."""
    forward: Floats
    """(3,), from the eye into the picture."""
    scale: float
    """Pixels per metre."""
    offset: Floats
    """(2,), pixels, added after scaling."""

    def project(self, points: Floats) -> Floats:
        """(n, 3) points, m, to (n, 3): pixels right, pixels down, depth in m."""
        return np.column_stack(
            [
                self.scale * (points @ self.right) + self.offset[0],
                -self.scale * (points @ self.up) + self.offset[1],
                points @ self.forward,
            ]
        )


def looking(azimuth: float, elevation: float, points: Floats, width: int, height: int) -> Camera:
    """A camera at ``azimuth`` (from the nose to the left) and ``elevation`` above, both in rad,

    set so that ``points`` (n, 3), m, fill a picture of ``width`` by ``height`` pixels.
    """
    ca, sa = np.cos(azimuth), np.sin(azimuth)
    ce, se = np.cos(elevation), np.sin(elevation)
    forward = -np.array([ce * ca, ce * sa, se])
    up = np.array([-se * ca, -se * sa, ce])
    right = np.cross(forward, up)
    flat = np.column_stack([points @ right, points @ up])
    low, high = flat.min(axis=0), flat.max(axis=0)
    size = np.maximum(high - low, 1e-9)
    room = (1 - 2 * _BLANK) * np.array([width, height])
    scale = float(np.min(room / size))
    middle = (low + high) / 2
    offset = np.array([width / 2 - scale * middle[0], height / 2 + scale * middle[1]])
    return Camera(right, up, forward, scale, offset)
