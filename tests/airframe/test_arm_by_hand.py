"""One arm of the frame's beams, held by the motor's seat or the plates, by hand."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.arm_section import taper_relief
from refledge.airframe.sizing import Sized
from refledge.airframe.structure import NODES_PER_ARM, PLATE_NODES, SPAN_BEAMS
from refledge.airframe.task import Task
from refledge.analysis.beam import (
    BeamFrame,
    all_dofs,
    solve_static,
)
from refledge.model.parts import ArmDesign
from tests.airframe.building import built


def by_hand(task: Task, sized: Sized, *, shear: bool) -> float:
    """Deflection (m) of one arm's motor axis under 1 N, held at its outer bolts.

    Unit-load method on the same steps: root block, five lengths of box, half the tenon. Second
    moments are outer less inner rectangle; blocks have the infill's modulus inside their skin.
    Shear areas come from the work of thin-walled shear flow, and 5/6 of a block's section.
    """
    arm, clamp, material = sized.frame.arm, sized.frame.clamp, task.materials["ASA"]
    start, end = arm.root_length, arm.length - arm.tenon_length
    held = clamp.first + clamp.pitch_x
    edges = np.linspace(start, end, SPAN_BEAMS + 1)
    depths = np.interp((edges[1:] + edges[:-1]) / 2, [start, end], [arm.depth_root, arm.depth_tip])
    steps = [(held, start, *block(task, arm.width, arm.depth_root))]
    for x0, x1, depth in zip(edges[:-1], edges[1:], depths, strict=True):
        steps.append(
            (x0, x1, box_second(arm, depth), box_shear_area(arm, depth) if shear else np.inf)
        )
    steps.append((end, arm.axis, *block(task, arm.width, arm.depth_tip)))
    total = 0.0
    for x0, x1, second, shear_area in steps:
        near, far = arm.axis - x1, arm.axis - x0
        total += (far**3 - near**3) / 3 / (material.E * second)
        total += (x1 - x0) / (material.G_xz * shear_area) if shear else 0.0
    return total


def box_second(arm: ArmDesign, depth: float) -> float:
    """Second moment of a box about its centroid: outer less inner rectangle, parallel axes."""
    inner_w, inner_d = arm.width - 2 * arm.side, depth - arm.top - arm.bottom
    outer, inner = arm.width * depth, inner_w * inner_d
    middle = arm.top + inner_d / 2
    centroid = (outer * depth / 2 - inner * middle) / (outer - inner)
    full = outer * (depth**2 / 12 + (depth / 2 - centroid) ** 2)
    return float(full - inner * (inner_d**2 / 12 + (middle - centroid) ** 2))


def box_shear_area(arm: ArmDesign, depth: float) -> float:
    """I^2 over the integral of (Q/t)^2 t along the middle lines of a box alike above and below."""
    assert arm.top == arm.bottom
    height, breadth = depth - arm.top, arm.width - arm.side
    z = np.linspace(0.0, height / 2, 2001)
    flange = arm.top * breadth * height / 2
    webs = (flange + arm.side * (height**2 / 4 - z**2)) ** 2 / (2 * arm.side)
    y = np.linspace(0.0, breadth / 2, 2001)
    flanges = (arm.top * y * height / 2) ** 2 / arm.top
    second = 2 * arm.side * height**3 / 12 + 2 * flange * height / 2
    work = 2 * np.trapezoid(webs, z) + 4 * np.trapezoid(flanges, y)
    return float(second**2 / work)


def block(task: Task, width: float, depth: float) -> tuple[float, float]:
    """Second moment and shear area of a printed block with its wire bore."""
    wish, printer = task.brief.frame, task.brief.printer
    w = width - 2 * wish.walls * printer.extrusion_width
    d = depth - 2 * wish.skins * printer.layer
    kept = 1 - (1 - wish.infill**2) * w * d**3 / (width * depth**3)
    bore = np.pi / 4 * 6e-3**2
    area = (width * depth - bore) * (1 - (1 - wish.infill**2) * w * d / (width * depth))
    return kept * (width * depth**3 / 12 - np.pi / 64 * 6e-3**4), 5 / 6 * area


def held_arm_deflection(frame: BeamFrame, tip: int) -> float:
    """The first arm's motor axis under 1 N with plates held and the bolts made stiff, m."""
    rigid = tuple(replace(each, stiffness=1e4 * each.stiffness) for each in frame.springs)
    mine = range(2 + PLATE_NODES, 2 + NODES_PER_ARM)
    held = [node for node in range(len(frame.nodes)) if node not in mine]
    loads = np.zeros((len(frame.nodes), 6))
    loads[tip, 2] = 1.0
    found = solve_static(replace(frame, springs=rigid), loads, all_dofs(*held))
    return float(found.displacements[tip, 2])


def test_one_arm_bends_as_by_hand(task: Task, sized: Sized) -> None:
    """No shear: the arm is statically determinate, so only the bolts' last give is left (1e-3)."""
    structure = built(task, sized.frame, sized.layout).structure
    frame = replace(structure.frame, G=1e9 * structure.frame.G)
    found = held_arm_deflection(frame, structure.tips[0])
    assert found == pytest.approx(by_hand(task, sized, shear=False), rel=1e-3)


def test_one_arm_with_shear_is_near_the_hand_calculation(task: Task, sized: Sized) -> None:
    """An arm of even depth, where nothing but walls carries shear.

    Shear is a twelfth of the whole and its areas by thin walls good to a per cent: 0.1 %.
    """
    arm = sized.frame.arm
    even = replace(arm, depth_tip=arm.depth_root, top=1.6e-3, bottom=1.6e-3)
    straight = replace(sized, frame=replace(sized.frame, arm=even))
    structure = built(task, straight.frame, sized.layout).structure
    found = held_arm_deflection(structure.frame, structure.tips[0])
    assert found == pytest.approx(by_hand(task, straight, shear=True), rel=1e-3)


def test_a_sloping_flange_takes_its_share_of_shear(sized: Sized) -> None:
    """Vertical part of the lower flange's force M / h, for M = V times the way to the motor."""
    arm = replace(sized.frame.arm, depth_root=0.036, depth_tip=0.0216, top=1.2e-3, bottom=1.2e-3)
    x = np.array([arm.root_length, (arm.root_length + arm.length - arm.tenon_length) / 2])
    slope = (0.036 - 0.0216) / arm.span
    flange_force = (arm.axis - x) / (np.array([0.036, 0.0288]) - 1.2e-3)
    walls = 1.0 - slope * flange_force
    np.testing.assert_allclose(taper_relief(arm, x), 1.0 / walls**2, rtol=1e-9)
    assert (taper_relief(replace(arm, depth_tip=0.036), x) == 1.0).all()
    assert (taper_relief(replace(arm, family="channel"), x) == 1.0).all()
