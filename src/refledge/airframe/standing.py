"""Where the battery tray would hide nuts of the clamp bolts, and how far it then stands off."""

from dataclasses import replace
from itertools import pairwise
from math import sqrt

import numpy as np

from refledge.geometry.access import JAWS
from refledge.geometry.drill import clamp_holes
from refledge.geometry.tray import LIP, SLOT, STRAP_PLAY, STRAP_STATION, flare
from refledge.model.fasteners import Screw
from refledge.model.hung import TrayDesign
from refledge.model.parts import ClampDesign
from refledge.typed import Floats

PLAY = 1e-3
"""m; between the end of a bolt and the tray, and round a washer: our choice."""
STEP = 2e-3
"""m; steps in which bosses move apart: our choice."""
GRAZE = 0.3e-3
"""m; between a boss and a spanner beside it: our choice."""


def standing(
    tray: TrayDesign,
    clamp: ClampDesign,
    angles: tuple[float, ...],
    screws: tuple[Screw, Screw],
    lengths: tuple[float, ...],
) -> TrayDesign:
    """The tray as it is where it hides no nut, else on bosses and without fences; always so with
    shelves for payload rails.

    screws: those of the clamp and of the tray. lengths: in which the clamp's are sold, m. Each boss
    is as wide as the washer of its screw on the other side of the lower plate: the same pressure
    goes through plate and boss.
    """
    bolt, own = screws
    if tray.shelf == 0.0 and not hidden(tray, clamp, angles, bolt).any():
        return tray
    tall = stand_height(bolt, lengths)
    return replace(tray, fence=0.0, stand=tall, boss=own.washer_diameter)


def hidden(
    tray: TrayDesign, clamp: ClampDesign, angles: tuple[float, ...], screw: Screw
) -> np.ndarray:
    """Which clamp bolts, four to an arm, have their nut's washer over the tray, (4 n,), bool."""
    at = np.abs(nut_places(clamp, angles, tray.yaw))
    ears = max(SLOT - 1e-3 + LIP, tray.thickness)
    reach = np.array([tray.length / 2, tray.width / 2 + ears])
    beyond = np.maximum(at - reach, 0.0)
    return np.asarray(np.hypot(*beyond.T) < screw.washer_diameter / 2 + PLAY)


def bosses_clear(
    tray: TrayDesign, clamp: ClampDesign, angles: tuple[float, ...], screw: Screw
) -> bool:
    """True where a spanner can hold any nut of a clamp bolt without touching a boss or the wall,
    no thicker than them, that may join two of them."""
    if tray.stand == 0.0:
        return True
    corner = np.array([tray.pitch_x, tray.pitch_y]) / 2
    beside = np.abs(nut_places(clamp, angles, tray.yaw)) - corner
    beside[:, 1] = np.maximum(beside[:, 1], 0.0)
    apart = np.hypot(*beside.T).min()
    return bool(apart > tray.boss / 2 + JAWS * screw.nut_width + GRAZE)


def spread_out(
    tray: TrayDesign, clamp: ClampDesign, angles: tuple[float, ...], screw: Screw
) -> TrayDesign:
    """Bosses as far apart along the tray as arms, nuts and straps leave room: the nearer to the
    straps they stand, the less the plate bends them. A flat tray stays as it is.

    screw: that of the clamp.
    """
    if tray.stand == 0.0:
        return tray
    inside = clamp.root_radius - tray.boss / 2 - PLAY  # its washer clear of the arms' ends
    across = tray.pitch_y / 2
    along = sqrt(max(inside**2 - across**2, 0.0))
    strap = STRAP_STATION * tray.length - (tray.strap_width + STRAP_PLAY) / 2
    most = 2 * min(along, strap - tray.boss / 2 - flare(tray)[0] - PLAY)
    steps = range(int((most - tray.pitch_x) / STEP + 1e-9), 0, -1)
    tried = (replace(tray, pitch_x=tray.pitch_x + count * STEP) for count in steps)
    return next((each for each in tried if bosses_clear(each, clamp, angles, screw)), tray)


def nut_places(clamp: ClampDesign, angles: tuple[float, ...], yaw: float) -> Floats:
    """Clamp bolts in axes turned by ``yaw``, (4 n, 2), m, four to an arm."""
    own = np.add(clamp_holes(clamp), [clamp.root_radius, 0.0])
    turns = np.asarray(angles) - yaw
    c, s = np.cos(turns)[:, None], np.sin(turns)[:, None]
    x, y = own.T
    return np.stack([c * x - s * y, s * x + c * y], axis=2).reshape(-1, 2)


def stand_height(screw: Screw, lengths: tuple[float, ...]) -> float:
    """Washer, nut, the longest end of a thread and play, m.

    Screws come in steps: a bolt may end as much as a whole step, and the turn of thread that it
    must show, beyond its nut.
    """
    step = max((b - a for a, b in pairwise(lengths)), default=0.0)
    tall = screw.washer_thickness + screw.nut_height + screw.pitch + step + PLAY
    return float(np.ceil(tall * 1e4 - 1e-6) / 1e4)
