"""The cover over the flight controller: how high it is, how stout its tongues."""

from collections.abc import Iterator
from dataclasses import replace
from math import hypot

from refledge.airframe.assessment import Assessment
from refledge.airframe.snaps import LIPS, TONGUE, best_snap, snap_checks
from refledge.airframe.task import Task
from refledge.airframe.working import Working
from refledge.errors import GeometryError, WishError
from refledge.geometry.cover import tongue_length
from refledge.geometry.snap import SLIT
from refledge.model.brief import Brief
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign
from refledge.model.upper import CoverDesign, MastDesign, SeatDesign

LINES = 4
"""Printed lines in its walls at most: our choice, as it carries nothing."""
ROOF = 1.6e-3
"""m; thickness of the roof: our choice, some eight layers."""


def cover_for(brief: Brief, seat: SeatDesign, mast: MastDesign | None) -> CoverDesign | None:
    """The cover that the brief asks for, its walls still to be sized; raises WishError on a damped
    seat, GeometryError where a mast's platform is in the way."""
    if brief.frame.cover == "none":
        return None
    if seat.rise:
        raise WishError(
            "frame.cover: a cover snaps under a seat on stiff posts, and frame.seat is "
            '"damped"; next: cover = "none", or seat = "hard"'
        )
    cover = CoverDesign(
        room=brief.flight_controller.height + brief.frame.cover_room,
        wall=LINES * brief.printer.extrusion_width,
        roof=ROOF,
        tongue=min(TONGUE, seat.foot_pitch - seat.post_diameter - 2 * SLIT),
        lip=LIPS[-1],
        material="",
    )
    top = seat.top + cover.room + cover.roof
    if mast and mast.height - mast.platform_thickness < top:
        raise GeometryError(
            f"cover: its roof stands {top * 1e3:.1f} mm over the upper plate, higher than the "
            f"mast's platform; next: a higher place for {mast.item} (others.z), or no cover "
            "(frame.cover)"
        )
    return cover


def covered_side(brief: Brief, seat: SeatDesign) -> float:
    """Side of what stands in the middle of the upper plate, m: the seat, or its cover."""
    walls = 2 * (brief.frame.fit_gap + LINES * brief.printer.extrusion_width)
    return seat.side + (walls if brief.frame.cover != "none" else 0.0)


def sized_cover(
    cover: CoverDesign, seat: SeatDesign, brief: Brief, material: Working
) -> CoverDesign:
    """With the stoutest tongues that the material takes."""
    length = cover.room + seat.thickness
    line = brief.printer.extrusion_width
    wall, lip = best_snap(material, line, length, LINES * line)
    return replace(cover, wall=wall, lip=lip, material=material.key)


def cover_checks(task: Task, frame: FrameDesign, found: Assessment) -> Iterator[Check]:
    """Its tongues; none without a cover."""
    cover = frame.cover
    if cover is None:
        return
    hardest = max(found.results, key=lambda result: hypot(*result.felt))
    mass = sum(each.mass for each in found.lumps if each.part == "cover")
    pull = mass * hypot(*hardest.felt) * task.brief.limits.landing_factor
    size = (cover.tongue, cover.wall, cover.lip, tongue_length(frame))
    yield from snap_checks(
        "cover", "cover", "cover", size, task.materials[cover.material], (pull, hardest.case.title)
    )
