"""The bolts list: lengths that are sold and long enough, counts, masses."""

from dataclasses import replace
from math import pi, sqrt

import pytest

from refledge.airframe.bolting import STEEL, longest_grip, nut_mass, screw_mass, washer_mass
from refledge.airframe.fastening import bolts_list, bolts_mass, grip_of_clamp
from refledge.airframe.sizing import Sized
from refledge.errors import GeometryError
from refledge.inputs.fasteners import hardware, screw_lengths
from refledge.model.parts import FrameDesign
from refledge.model.results import Fastener

M3 = hardware().screws["M3"]
PRELOAD = 800.0


def listed(sized: Sized, frame: FrameDesign | None = None) -> dict[str, Fastener]:
    frame = frame or sized.frame
    lines = bolts_list(frame, sized.layout, hardware(), screw_lengths, PRELOAD)
    return {line.where: line for line in lines}


def length_of(line: Fastener) -> float:
    return float(line.name.split(" x ")[1].split()[0]) / 1e3


def test_every_hole_has_its_bolt(sized: Sized) -> None:
    lines, frame = listed(sized), sized.frame
    plain = lines["arms between the plates"].quantity
    with_leg = lines["arms between the plates, with leg flange"].quantity
    assert with_leg == 2 * frame.leg.count
    assert plain + with_leg == 4 * frame.n_arms
    assert lines["motor mounts on the arms"].quantity == 4 * frame.n_arms
    assert lines["motors on their mounts"].quantity == 4 * sized.layout.n_rotors
    assert lines["battery tray under the lower plate"].quantity == 4
    assert lines["flight-controller seat, from below"].quantity == 4
    assert lines["flight controller on its seat"].quantity == 4
    assert lines["flight-controller seat"].quantity == 8


def test_a_controller_held_by_tape_needs_no_screws_of_its_own(sized: Sized) -> None:
    taped = replace(sized.frame, seat=replace(sized.frame.seat, pitch=0.0))
    lines = listed(sized, taped)
    assert "flight controller on its seat" not in lines
    assert lines["flight-controller seat"].quantity == 4


def test_no_line_is_empty_where_every_arm_has_a_leg(sized: Sized) -> None:
    """Six arms with twelve of their bolts through legs leave twelve; none may be listed at 0."""
    every = replace(sized.frame, leg=replace(sized.frame.leg, count=12))
    assert "arms between the plates" not in listed(sized, every)


@pytest.mark.parametrize(
    ("where", "extra"),
    [("arms between the plates", 0.0), ("arms between the plates, with leg flange", 1.0)],
)
def test_clamp_bolts_pass_the_grip_and_are_the_shortest_sold(
    sized: Sized, where: str, extra: float
) -> None:
    frame = sized.frame
    grip = frame.arm.depth_root + 2 * frame.plate.thickness + extra * frame.leg.flange_thickness
    needed = grip + 2 * M3.washer_thickness + M3.nut_height + M3.pitch
    length = length_of(listed(sized)[where])
    assert length in screw_lengths("M3")
    assert length >= needed - 1e-9
    assert not [other for other in screw_lengths("M3") if needed <= other < length]


def test_mount_bolts_pass_tenon_and_mounts(sized: Sized) -> None:
    frame = sized.frame
    pairs = replace(frame, mount=replace(frame.mount, per_arm=2))
    for each, mounts in ((frame, 1), (pairs, 2)):
        grip = each.arm.depth_tip + mounts * each.mount.thickness
        length = length_of(listed(sized, each)["motor mounts on the arms"])
        assert length - grip >= 2 * M3.washer_thickness + M3.nut_height
        assert length in screw_lengths("M3")


def test_motor_screws_grip_without_reaching_the_winding(sized: Sized) -> None:
    mount = sized.frame.mount
    into = length_of(listed(sized)["motors on their mounts"]) - mount.thickness + mount.head_depth
    assert 0.7 * M3.diameter <= into <= 1.3 * M3.diameter + 1e-9


def test_a_grip_beyond_the_longest_screw_is_refused(sized: Sized) -> None:
    most = longest_grip(M3, screw_lengths)
    flange = sized.frame.leg.flange_thickness
    room = most - flange - 2 * sized.frame.plate.thickness
    just = replace(sized.frame, arm=replace(sized.frame.arm, depth_root=room))
    assert grip_of_clamp(just) + flange == pytest.approx(most)
    assert length_of(listed(sized, just)["arms between the plates, with leg flange"]) == max(
        screw_lengths("M3")
    )
    over = replace(just, arm=replace(just.arm, depth_root=room + 1e-4))
    with pytest.raises(GeometryError, match="no M3 screw is long enough"):
        listed(sized, over)


def test_torque_is_that_of_the_preload(sized: Sized) -> None:
    """T = 0.2 F d (Shigley, torque coefficient of plain dry threads)."""
    line = listed(sized)["arms between the plates"]
    assert line.torque == pytest.approx(0.2 * PRELOAD * 3e-3)


def test_masses_by_hand() -> None:
    """An M3 x 20: shank 3 mm, head 5.5 x 3 mm, in steel; nut and washer as hexagon and ring."""
    shank, head = pi / 4 * 3e-3**2 * 20e-3, pi / 4 * M3.head_diameter**2 * M3.head_height
    assert screw_mass(M3, 20e-3) == pytest.approx(7850 * (0.9 * shank + 0.8 * head))
    flats = M3.nut_width * sqrt(3) / 2
    hexagon = sqrt(3) / 2 * flats**2
    bore = pi / 4 * M3.diameter**2
    assert nut_mass(M3) == pytest.approx(STEEL * M3.nut_height * (hexagon - bore))
    ring = pi * ((M3.washer_diameter / 2) ** 2 - (M3.clearance_hole / 2) ** 2)
    assert washer_mass(M3) == pytest.approx(STEEL * M3.washer_thickness * ring)


def test_mass_of_the_list_is_the_sum_of_its_lines(sized: Sized) -> None:
    lines = sized.assessment.fasteners
    assert bolts_mass(lines) == pytest.approx(sum(line.quantity * line.mass for line in lines))
    one = listed(sized)["arms between the plates"]
    bare = screw_mass(M3, length_of(one))
    assert one.mass == pytest.approx(bare + nut_mass(M3) + 2 * washer_mass(M3))


def test_a_sunk_head_needs_no_washer(sized: Sized) -> None:
    line = listed(sized)["battery tray under the lower plate"]
    screw = hardware().screws[sized.frame.tray.screw]
    assert line.name.endswith("lock nut, washer")
    one = screw_mass(screw, length_of(line)) + nut_mass(screw) + washer_mass(screw)
    assert line.mass == pytest.approx(one)
