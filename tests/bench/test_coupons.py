"""Test pieces: valid bodies of the stated size, turned as printed; written and read back."""

from math import pi
from pathlib import Path

import lib3mf
import numpy as np
import pytest

from refledge.bench.procedures import HEADINGS, TITLES, procedure
from refledge.errors import DataError, GeometryError
from refledge.geometry import coupons, kernel, kernel_fake
from refledge.geometry.coupons import coupon_keys, coupon_spec, make_coupon, short_arm
from refledge.geometry.kernel import read_step, tessellate, write_step
from refledge.geometry.mesh import is_watertight
from refledge.inputs.cards import material_cards
from refledge.inputs.fasteners import hardware
from refledge.outputs.threemf import threemf_bytes
from tests.geometry.frames import arm, frame, tube_arm
from tests.geometry.splits import split_frame

BED = (0.22, 0.22, 0.25)
CARD = material_cards()["PETG"]


@pytest.mark.parametrize(
    ("key", "size"),
    [
        ("bar-flat", (80, 10, 4)), ("bar-edge", (80, 4, 10)), ("bar-upright", (4, 10, 80)),
        ("torsion-flat", (120, 10, 10)), ("torsion-upright", (10, 10, 120)),
        ("layer-pull", (6, 20, 84)), ("cube", (20, 20, 20)), ("insert-block", (24, 24, None)),
    ],
)  # fmt: skip
def test_pieces_lie_on_the_bed_as_they_should(
    key: str, size: tuple[float, float, float | None]
) -> None:
    made = make_coupon(key, hardware())
    spec = coupon_spec(made, CARD, BED)
    for got, wanted in zip(spec.size, size, strict=True):
        assert wanted is None or got * 1e3 == pytest.approx(wanted, abs=1e-3)
    assert spec.fits_bed
    assert np.linalg.det(made.rotation) == pytest.approx(1.0)
    assert is_watertight(tessellate(made.solid))
    assert spec.mass == pytest.approx(spec.volume * CARD.rho.value)


def test_volumes_by_hand() -> None:
    """Bar and cube are blocks; the torsion bar lacks a hole of 5 mm through 10 mm."""
    volume = {k: kernel.volume(make_coupon(k, hardware()).solid) for k in coupon_keys()}
    assert volume["bar-flat"] == pytest.approx(80 * 10 * 4e-9, rel=1e-9)
    assert volume["cube"] == pytest.approx(8e-6, rel=1e-9)
    assert volume["torsion-flat"] == pytest.approx((12000 - pi / 4 * 25 * 10) * 1e-9, rel=1e-9)


def test_the_neck_is_where_the_layers_will_part() -> None:
    """Smallest section along the piece: 6 by 6 mm in the middle, less than beside either hole."""
    solid = make_coupon("layer-pull", hardware()).solid
    length = float(kernel.bounds(solid)[1, 0])
    at = np.linspace(0.02, 0.98, 49) * length
    areas = np.array([kernel.section(solid, (x, 0, 0), (1, 0, 0)).size for x in at])
    assert areas.min() == pytest.approx(36e-6, rel=1e-6)
    assert abs(at[np.argmin(areas)] - length / 2) < 0.011
    beside_hole = kernel.section(solid, (0.012, 0, 0), (1, 0, 0)).size
    assert beside_hole > 2 * 36e-6


def test_the_insert_block_has_the_pocket_of_the_seat() -> None:
    insert = hardware().inserts["M3"]
    solid = make_coupon("insert-block", hardware(), screw="M3", hole_allowance=2e-4).solid
    top = float(kernel.bounds(solid)[1, 2])
    near_top = kernel.section(solid, (0, 0, top - 1e-4), (0, 0, 1)).size
    whole = kernel.section(solid, (0, 0, 1e-3), (0, 0, 1)).size
    assert whole - near_top == pytest.approx(pi / 4 * (insert.hole_diameter + 2e-4) ** 2, rel=1e-6)


@pytest.mark.parametrize("key", coupon_keys())
def test_the_light_kernel_finds_the_same_volume(key: str) -> None:
    real = kernel.volume(make_coupon(key, hardware()).solid)
    fake = make_coupon(key, hardware(), kernel_fake)
    assert kernel_fake.volume(fake.solid) == pytest.approx(real, rel=0.02)


def test_files_read_back(tmp_path: Path) -> None:
    """STEP keeps the volume to 1e-6; 3MF is read strictly, without warnings, in its print pose."""
    made = make_coupon("bar-upright", hardware())
    write_step({made.name: made.solid}, tmp_path / "bar.step")
    (again,) = read_step(tmp_path / "bar.step")
    assert kernel.volume(again) == pytest.approx(kernel.volume(made.solid), rel=1e-6)
    data = threemf_bytes(coupon_spec(made, CARD, BED), tessellate(made.solid), CARD.name, "test")
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(data)
    assert reader.GetWarningCount() == 0


@pytest.mark.parametrize("family", ["box", "channel", "truss"])
def test_a_short_arm_is_the_arm_with_less_span(family: str) -> None:
    whole = frame(6, arm(family))
    cut, made = short_arm(whole, hardware(), 0.06)
    assert cut.root_length == whole.arm.root_length
    assert cut.span == pytest.approx(0.06, abs=whole.arm.pitch / 2 + 1e-9)
    assert kernel.bounds(made.solid)[1, 0] == pytest.approx(cut.length, abs=1e-6)
    if cut.pitch:
        assert cut.span / cut.pitch == pytest.approx(round(cut.span / cut.pitch), abs=1e-9)


def test_a_short_arm_of_a_split_one_is_in_one_piece() -> None:
    cut, made = short_arm(split_frame(), hardware(), 0.06)
    assert (cut.split, cut.lap) == (0.0, 0.0)
    assert cut.span == pytest.approx(0.06)
    assert made.key == "short-arm-box"


def test_what_cannot_be_made_is_said() -> None:
    with pytest.raises(GeometryError, match="known: bar-flat"):
        make_coupon("bra-flat", hardware())
    with pytest.raises(GeometryError, match="saw off"):
        short_arm(frame(6, tube_arm()), hardware(), 0.06)
    with pytest.raises(GeometryError, match="the arm has"):
        short_arm(frame(), hardware(), 0.9)


def test_every_piece_has_its_procedure_with_every_heading() -> None:
    """Cautions last; each has a kind of test to write readings for."""
    used = {make_coupon(key, hardware()).procedure for key in coupon_keys()} | {"cantilever"}
    assert used <= set(TITLES)
    for key in TITLES:
        assert tuple(heading for heading, _ in procedure(key).steps) == HEADINGS
    with pytest.raises(DataError):
        procedure("juggling")


def test_what_spoils_a_bending_test_is_said() -> None:
    words = dict(procedure("bend").steps)["What spoils it"]
    for what in ("clamp slips", "own weight", "friction", "warm", "Wet nylon"):
        assert what in words


def test_orientations_are_those_of_the_readings() -> None:
    from refledge.model.bench import ORIENTATIONS  # noqa: PLC0415 - the only use

    assert set(coupons.TURNS) == set(ORIENTATIONS)
