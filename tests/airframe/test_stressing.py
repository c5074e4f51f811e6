"""Stress in beams against hand formulas; plates, clamps and fill against integration."""

from dataclasses import replace
from math import pi, radians, tan

import numpy as np
import pytest

from refledge.airframe.beams import Bar, bars_of
from refledge.airframe.clamp import clamp_stiffness, net_section
from refledge.airframe.clamp_rings import frustum_stiffness, pressed_radius
from refledge.airframe.fillness import Fill, fill_of, hollowed, plate_bending
from refledge.airframe.plates import (
    BOLT_PEAK,
    LAYER_PEAK,
    in_plane_second_moment,
    neighbours,
    plate_bars,
    radial_width,
    stiff_middle,
    strip,
)
from refledge.airframe.sizing import Sized
from refledge.airframe.stressing import bar_stress, part_stresses
from refledge.airframe.task import Task
from refledge.analysis import sections
from refledge.inputs.fasteners import hardware

W, D = 0.02, 0.012
M3 = hardware().screws["M3"]


def bar(task: Task, part: str, section: dict[str, float]) -> Bar:
    return Bar(part, 0, 0, 1, task.materials["ASA"], section, 0.0)


def forces(**one: float) -> np.ndarray:
    """(2, 6) with one end loaded: N, Vy, Vz, T, My, Mz."""
    order = ("N", "Vy", "Vz", "T", "My", "Mz")
    return np.array([[one.get(name, 0.0) for name in order], [0.0] * 6])


@pytest.mark.parametrize(
    ("load", "expected"),
    [
        ({"N": 100.0}, 100.0 / (W * D)),
        ({"N": -100.0}, 100.0 / (W * D)),
        ({"My": 2.0}, 6 * 2.0 / (W * D**2)),
        ({"Mz": -2.0}, 6 * 2.0 / (D * W**2)),
        ({"N": 100.0, "My": 2.0, "Mz": 1.0},
         100.0 / (W * D) + 12.0 / (W * D**2) + 6.0 / (D * W**2)),
    ],
)  # fmt: skip
def test_normal_stress_of_a_rectangle(task: Task, load: dict[str, float], expected: float) -> None:
    """N/A + 6 My / (w d^2) + 6 Mz / (d w^2), any strength of materials text; all signs add."""
    section = bars_of(sections.rectangle(np.array([W]), np.array([D])), 0)
    sigma, _ = bar_stress(bar(task, "arm", section), forces(**load))
    assert sigma[0] == pytest.approx(expected)
    assert sigma[1] == 0.0


def test_bolt_holes_raise_the_stress_beside_them(task: Task) -> None:
    section = bars_of(sections.rectangle(np.array([W]), np.array([D])), 0)
    plain, _ = bar_stress(bar(task, "arm", section), forces(My=2.0))
    holed, _ = bar_stress(bar(task, "arm", section | {"net": 1.4}), forces(My=2.0))
    assert holed[0] == pytest.approx(1.4 * plain[0])


def test_shear_on_the_layers_of_a_rectangle(task: Task) -> None:
    """3 V / (2 A) at the neutral axis; layers lie flat, so sideways force does not shear them."""
    section = bars_of(sections.rectangle(np.array([W]), np.array([D])), 0)
    _, tau = bar_stress(bar(task, "arm", section), forces(Vz=50.0, Vy=1e6))
    assert tau[0] == pytest.approx(1.5 * 50.0 / (W * D))


def test_legs_lie_on_their_side(task: Task) -> None:
    """A leg's layers stand in its own plane: force across the plane shears them, in it not."""
    section = bars_of(sections.rectangle(np.array([W]), np.array([D])), 0)
    _, tau = bar_stress(bar(task, "leg", section), forces(Vy=50.0, Vz=1e6))
    assert tau[0] == pytest.approx(1.5 * 50.0 / (W * D))


def test_torsion_of_a_thin_tube(task: Task) -> None:
    """Bredt: T / (2 pi r^2 t), within the wall's own thickness (5 %)."""
    section = bars_of(sections.tube(np.array([0.02]), 0.019), 0)
    _, tau = bar_stress(bar(task, "tube", section), forces(T=1.0))
    assert tau[0] == pytest.approx(1.0 / (2 * pi * 9.75e-3**2 * 0.5e-3), rel=0.05)


def test_strip_is_a_thin_rectangle() -> None:
    """w t^3 / 12 flat, t w^3 / 12 on edge, w t^3 / 3 in torsion (thin strip)."""
    row = strip(4e-3, 40e-3, 1.0)
    assert row["Iy"] == pytest.approx(40e-3 * 4e-3**3 / 12)
    assert row["Iz"] == pytest.approx(4e-3 * 40e-3**3 / 12)
    assert row["J"] == pytest.approx(40e-3 * 4e-3**3 / 3)
    exact = sections.rectangle(40e-3, 4e-3)
    assert row["J"] == pytest.approx(float(exact.J), rel=0.07)  # 1 - 0.63 t/w (Saint-Venant)
    half = strip(4e-3, 40e-3, 0.5)
    assert (half["Iy"], half["J"]) == (row["Iy"] / 2, row["J"] / 2)
    assert half["Iz"] == row["Iz"]


def test_strip_stress(task: Task) -> None:
    row = strip(4e-3, 40e-3, 1.0)
    sigma, tau = bar_stress(bar(task, "plates", row), forces(My=1.0, Vz=30.0))
    assert sigma[0] == pytest.approx(BOLT_PEAK * 6 / (40e-3 * 4e-3**2))
    assert tau[0] == pytest.approx(LAYER_PEAK * 1.5 * 30.0 / (40e-3 * 4e-3))


def test_frustum_by_integration() -> None:
    """Shigley's closed form is 1 / integral of dz / (E A(z)) over a cone of 30 degrees."""
    E, hole, washer, height = 1.5e9, 3.4e-3, 7e-3, 16e-3
    z = np.linspace(0.0, height, 20001)
    outer = washer + 2 * z * tan(radians(30.0))
    give = np.trapezoid(1.0 / (E * pi / 4 * (outer**2 - hole**2)), z)
    assert frustum_stiffness(E, hole, washer, height) == pytest.approx(1.0 / give, rel=1e-3)


def test_clamp_of_two_bolts(task: Task, sized: Sized) -> None:
    """Two bolts side by side: cones from the pressed rings, discs on a half-space sideways.

    A rigid disc slides on a half-space by 8 G a / (2 - nu) (Mindlin 1949); a couple grows with the
    square of half the bolts' pitch.
    """
    k = clamp_stiffness(sized.frame, task.materials, task.hardware)
    material, a = task.materials["ASA"], pressed_radius(sized.frame, task.hardware)
    half, lever = sized.frame.arm.depth_root / 2, sized.frame.clamp.pitch_y / 2
    up = 2 * frustum_stiffness(material.E_z, M3.clearance_hole, 2 * a, half)
    side = 2 * 8 * material.G_xz * a / (2 - material.nu)
    np.testing.assert_allclose(
        k, [side, side, up, up * lever**2, up * a**2 / 4, side * lever**2], rtol=1e-12
    )


def test_pressed_rings_keep_apart_and_inside(task: Task, sized: Sized) -> None:
    """As wide as the washer's cone through the plate, unless a neighbour or an edge is nearer."""
    frame = sized.frame
    clamp = frame.clamp
    for plate in (1e-3, 4e-3, 20e-3):
        thick = replace(frame, plate=replace(frame.plate, thickness=plate))
        radius = pressed_radius(thick, task.hardware)
        assert radius <= M3.washer_diameter / 2 + tan(radians(30.0)) * plate
        assert 2 * radius < clamp.pitch_y
        assert radius < clamp.first
        assert clamp.pitch_y / 2 + radius < frame.arm.width / 2
    free = replace(
        frame,
        clamp=replace(clamp, first=0.02, pitch_x=0.03, pitch_y=0.04),
        arm=replace(frame.arm, width=0.1, root_length=0.07),
    )
    cone = M3.washer_diameter / 2 + tan(radians(30.0)) * free.plate.thickness
    assert pressed_radius(free, task.hardware) == pytest.approx(cone, rel=1e-3)


def test_net_section_takes_two_holes_out(sized: Sized, task: Task) -> None:
    width, hole = sized.frame.arm.width, M3.clearance_hole + sized.frame.hole_allowance
    assert net_section(sized.frame, task.hardware) == pytest.approx(width / (width - 2 * hole))
    tube = replace(sized.frame, arm=replace(sized.frame.arm, family="tube"))
    assert net_section(tube, task.hardware) == 1.0


def test_radial_strip_is_the_sector_in_series(sized: Sized) -> None:
    """Length over width adds up: the integral of dr / w(r), w the sector but at least the pad."""
    frame = sized.frame
    start, end = stiff_middle(frame), frame.clamp.root_radius + frame.clamp.first
    for n_arms in (3, 6, 8):
        r = np.linspace(start, end, 20001)
        width = np.maximum(2 * pi * r / n_arms, frame.plate.arm_pad_width)
        expected = (end - start) / np.trapezoid(1 / width, r)
        assert radial_width(frame, n_arms) == pytest.approx(expected, rel=1e-4)


def test_sway_stiffness_is_that_of_a_chord_of_the_disc(sized: Sized) -> None:
    frame = sized.frame
    depth = 2 * np.sqrt(frame.plate.core_radius**2 - stiff_middle(frame) ** 2)
    assert in_plane_second_moment(frame) == pytest.approx(frame.plate.thickness * depth**3 / 12)


@pytest.mark.parametrize(
    ("angles", "pairs"),
    [((0, 120, 240), 3), ((0, 60, 120, 180, 240, 300), 6), ((60, 120, -60, -120), 4),
     ((40, 140, -140, -40), 4), ((20, 160, -160, -20), 2)],
)  # fmt: skip
def test_rings_join_neighbours_with_plate_between(
    sized: Sized, angles: tuple[float, ...], pairs: int
) -> None:
    """Arms more than 2.3 rad (132 degrees) apart have no plate between them."""
    layout = replace(sized.layout, arm_angles=np.radians(angles))
    assert len(neighbours(layout)) == pairs


def test_both_plates_are_laid(task: Task, sized: Sized) -> None:
    """Six arms: a radial and a pad strip each and six ring strips, on two plates."""
    made = plate_bars(
        sized.frame, sized.layout, task.materials["ASA"], fill_of(task.brief), lambda k: 2 + 13 * k
    )
    assert len(made) == 2 * (6 + 6 + 6)


def by_cells(w: float, d: float, fill: Fill, n: int = 400) -> tuple[float, float, float]:
    """Area and second moments of a skin round a soft core, cell by cell."""
    y = (np.arange(n) + 0.5) / n * w - w / 2
    z = (np.arange(n) + 0.5) / n * d - d / 2
    inside = (np.abs(y)[:, None] < w / 2 - fill.side) & (np.abs(z)[None, :] < d / 2 - fill.face)
    weight = np.where(inside, fill.core, 1.0) * (w / n) * (d / n)
    return weight.sum(), (weight * z[None, :] ** 2).sum(), (weight * y[:, None] ** 2).sum()


def test_hollow_block_is_the_composite_section() -> None:
    """The modulus-weighted section of a solid skin round a soft core, summed over cells."""
    fill = Fill(side=1.8e-3, face=1.2e-3, core=0.16)
    w, d = 24e-3, 32e-3
    found = hollowed(sections.rectangle(w, d), np.asarray(w), np.asarray(d), fill)
    area, about_y, about_z = by_cells(w, d, fill)
    assert float(found.area) == pytest.approx(area, rel=5e-3)
    assert float(found.Iy) == pytest.approx(about_y, rel=5e-3)
    assert float(found.Iz) == pytest.approx(about_z, rel=5e-3)


def test_a_block_of_skin_alone_stays_solid() -> None:
    fill = Fill(side=20e-3, face=20e-3, core=0.1)
    solid = sections.rectangle(24e-3, 32e-3)
    found = hollowed(solid, np.asarray(24e-3), np.asarray(32e-3), fill)
    assert float(found.Iy) == pytest.approx(float(solid.Iy))
    assert plate_bending(fill, 4e-3) == pytest.approx(1.0)


def test_printed_plate_bends_as_a_sandwich(task: Task) -> None:
    """4 mm with 1.2 mm skins and 40 % infill, core modulus 0.4^2 (Gibson and Ashby): by cells."""
    fill = fill_of(task.brief)
    z = (np.arange(40000) + 0.5) / 40000 * 4e-3 - 2e-3
    modulus = np.where(np.abs(z) < 2e-3 - 1.2e-3, 0.16, 1.0)
    expected = (modulus * z**2).mean() / (z**2).mean()
    assert plate_bending(fill, 4e-3) == pytest.approx(expected, rel=1e-3)


def test_worst_of_a_part_is_the_worst_of_its_beams(sized: Sized) -> None:
    structure = sized.assessment.structure
    result = sized.assessment.result("landing-all")
    for stress in part_stresses(structure, result):
        rows = structure.beams_of(stress.part)
        each = [bar_stress(structure.bars[row], result.forces[row])[0].max() for row in rows]
        assert stress.normal == pytest.approx(max(each))
        strength = structure.bars[rows[0]].material.strength_xy
        assert stress.in_plane >= stress.normal / strength * (1 - 1e-12)
