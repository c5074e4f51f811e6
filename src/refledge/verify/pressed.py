"""How far from each bolt the parts of the airframe are pressed together.

Pressure spreads under a washer or head in a cone of 30 degrees (Shigley, Mechanical Engineering
Design, member stiffness of bolted joints; from memory). Where parts meet, the cone's circle is the
patch by which they hold each other; beyond it they may gape, and nothing is passed on.
"""

from refledge.airframe.clamp_rings import APART, CONE_SLOPE, pressed_radius
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign


def cone(start: float, thickness: float, *room: float) -> float:
    """Radius of the cone that starts at ``start`` after ``thickness``, within ``room``; all m."""
    return min(start + CONE_SLOPE * thickness, *(each - APART for each in room))


def clamp_patch(frame: FrameDesign, hardware: Hardware) -> float:
    """Arm's block against a plate, m."""
    return pressed_radius(frame, hardware)


def mount_patch(frame: FrameDesign, hardware: Hardware) -> float:
    """Motor mount against the tenon, m."""
    mount, screw = frame.mount, hardware.screws[frame.mount.screw]
    beside = (min(mount.width, frame.arm.width) - mount.pitch_y) / 2
    ends = (min(mount.length, frame.arm.tenon_length) - mount.pitch_x) / 2
    start = screw.washer_diameter / 2
    return cone(start, mount.thickness, beside, ends, mount.pitch_y / 2)


def leg_patch(frame: FrameDesign, hardware: Hardware, back: float) -> float:
    """Leg's flange against the lower plate, m. back: from the bolts to the flange's near end, m."""
    screw, pitch = hardware.screws[frame.clamp.screw], frame.clamp.pitch_y
    beside = (frame.leg.thickness - pitch) / 2
    flange = frame.leg.flange_thickness
    return cone(screw.washer_diameter / 2, flange, beside, pitch / 2, back)


def tray_patch(frame: FrameDesign, hardware: Hardware) -> float:
    """Battery tray against the lower plate, m: the lesser of the head's and the nut's cone."""
    screw, tray = hardware.screws[frame.tray.screw], frame.tray
    edge = (min(tray.width, tray.length) - max(tray.pitch_x, tray.pitch_y)) / 2
    if tray.stand > 0:  # the cone runs down the boss and may fill it
        edge = min(edge, tray.boss / 2)
    nut = cone(screw.washer_diameter / 2, frame.plate.thickness, edge, tray.pitch_x / 2)
    return min(nut, cone(screw.head_diameter / 2, tray.hang, edge, tray.pitch_y / 2))


def seat_patch(frame: FrameDesign) -> float:
    """Seat's posts on the upper plate, m: the whole foot of a post, which is slenderer."""
    return frame.seat.post_diameter / 2
