"""Zig-zag bars between straight walls: how they stretch, with the fillets at their ends."""

import numpy as np

from refledge.typed import Floats

# Corners between bars and walls are rounded as the parts are drawn; less in small windows.
FILLET = 1.5e-3
SMALL_WINDOW = 0.4  # greatest radius over the diameter of the window's in-circle


def window_fillet(run: Floats, rise: Floats, thickness: Floats) -> Floats:
    """Radius (m) in the corners of the triangles that bars of run and rise (m) leave open.

    In-circle: area less the bars' half widths along both sides, over half the way round.
    """
    long = np.hypot(run, rise)
    room = (2 * run * rise - thickness * long) / (run + long)
    return np.asarray(np.clip(SMALL_WINDOW * room, 0.0, FILLET))


def even_length(run: Floats, rise: Floats, thickness: Floats, radius: Floats) -> Floats:
    """Length (m) of an even bar that stretches as one from wall to wall with fillets does.

    The bar leaves a wall at the angle a, tan a = rise / run. On its acute side the corner is full
    of plastic up to t / (2 tan a) + r / tan(a/2) - r from the node, taken as rigid; over the last r
    of the fillet it narrows to t along the arc: the integral of dx / (t + r - sqrt(r^2 - x^2))
    (Paros and Weisbord, How to design flexure hinges, one-sided circular hinge in tension). The
    obtuse side is taken as straight, which errs soft.
    """
    long = np.hypot(run, rise)
    cosine, sine = run / long, rise / long
    full = thickness * cosine / (2 * sine) + radius * ((1 + cosine) / sine - 1)
    wide = thickness + radius
    root = np.sqrt(wide**2 - radius**2)
    arc = 2 * wide / root * np.arctan((wide + radius) / root) - np.pi / 2
    return np.asarray(np.maximum(long - 2 * (full + radius - thickness * arc), 0.2 * long))


def clear_length(run: Floats, rise: Floats, thickness: Floats, radius: Floats) -> Floats:
    """Length (m) of a wall that is free between two nodes, where pairs of bars meet it.

    From the node the bar covers t / (2 sin a) and its fillet r / tan(a/2) more, of which the last r
    is not counted, as in ``even_length``.
    """
    long = np.hypot(run, rise)
    cosine, sine = run / long, rise / long
    held = thickness / (2 * sine) + radius * ((1 + cosine) / sine - 1)
    return np.asarray(np.maximum(2 * run - 2 * held, 0.2 * run))
