"""Plates with a rim or as a whole disc in the beam frame and its masses."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.assessment import Assessment, assess
from refledge.airframe.estimate import estimated_masses
from refledge.airframe.framing import RIM, frame_for
from refledge.airframe.making import make_solids
from refledge.airframe.places import part_centres
from refledge.airframe.plates import pad_width, ring_widths, stiff_middle
from refledge.airframe.pooling import settings_of
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.model.parts import FrameDesign


def styled(sized: Sized, style: str) -> FrameDesign:
    rim = RIM if style == "ring" else 0.0
    return replace(sized.frame, plate=replace(sized.frame.plate, style=style, rim=rim))


def assessed(task: Task, sized: Sized, frame: FrameDesign) -> Assessment:
    masses = estimated_masses(task.brief, frame, task.materials, {})
    return assess(task, frame, sized.layout, masses, part_centres(frame, sized.layout))


@pytest.mark.parametrize("style", ["spider", "ring", "full"])
def test_the_brief_chooses_the_style(task: Task, sized: Sized, style: str) -> None:
    brief = replace(task.brief, frame=replace(task.brief.frame, plates=style))
    other = replace(task, brief=brief)
    body = settings_of(other, "box")[0].body
    plate = frame_for(other, body, sized.frame.arm, "ASA", 4e-3).plate
    assert (plate.style, plate.rim) == (style, RIM if style == "ring" else 0.0)


def test_strips_share_the_plate_out(sized: Sized) -> None:
    inside = stiff_middle(sized.frame)
    plate = sized.frame.plate
    assert ring_widths(styled(sized, "spider")) == (plate.core_radius - inside,)
    assert ring_widths(styled(sized, "ring")) == (plate.core_radius - inside, RIM)
    assert sum(ring_widths(styled(sized, "full"))) == pytest.approx(plate.outer_radius - inside)
    assert pad_width(styled(sized, "ring"), 6) == plate.arm_pad_width
    assert pad_width(styled(sized, "full"), 3) > plate.arm_pad_width


def test_more_plate_is_stiffer_and_heavier(task: Task, sized: Sized) -> None:
    frames = [styled(sized, each) for each in ("spider", "ring", "full")]
    found = [assessed(task, sized, each) for each in frames]
    tilts = [float(each.result("full-thrust").motor_tilt.max()) for each in found]
    assert tilts[0] > tilts[1] > tilts[2]
    masses = [sum(lump.mass for lump in each.lumps) for each in found]
    assert masses[0] < masses[1] < masses[2]
    beams = [len(each.structure.beams_of("plates")) for each in found]
    assert beams == [beams[0], beams[0] + 12, beams[0] + 12]
    assert np.all(found[1].modes.frequencies[0] > found[0].modes.frequencies[0])


@pytest.mark.parametrize("style", ["ring", "full"])
def test_solids_fit_and_weigh_about_the_estimate(task: Task, sized: Sized, style: str) -> None:
    frame = styled(sized, style)
    solids = make_solids(task, frame, sized.layout)
    assert solids.assembly.overlaps == ()
    masses = estimated_masses(task.brief, frame, task.materials, {})
    for key in ("upper_plate", "lower_plate"):
        assert solids.made.masses[key] == pytest.approx(masses[key], rel=0.05)
