"""Mass as printed: skin and infill of a block by hand."""

from dataclasses import replace

import pytest

from refledge.model.printer import Printer
from refledge.model.wishes import FrameWish
from refledge.printing.mass import printed_mass, skin_thickness

PRINTER = Printer(bed_length=0.25, bed_width=0.22, height=0.25, filaments=("PETG",))
WISH = FrameWish()


def test_skin_of_the_defaults() -> None:
    """Four lines of 0.45 mm beside, six layers of 0.2 mm above and below: 1.5 mm between them."""
    assert skin_thickness(WISH, PRINTER) == pytest.approx((4 * 0.45e-3 + 6 * 0.2e-3) / 2)


def test_a_block_by_hand() -> None:
    """40 x 30 x 20 mm: surface times 1.5 mm solid, the rest at 40 %."""
    volume, area = 40e-3 * 30e-3 * 20e-3, 2 * (40 * 30 + 40 * 20 + 30 * 20) * 1e-6
    shell = area * 1.5e-3
    expected = 1270.0 * (shell + 0.4 * (volume - shell))
    assert printed_mass(volume, area, 1270.0, WISH, PRINTER) == pytest.approx(expected)


def test_thin_parts_are_solid_and_full_infill_too() -> None:
    volume, area = 0.1 * 0.1 * 2e-3, 2 * 0.1 * 0.1
    assert printed_mass(volume, area, 1000.0, WISH, PRINTER) == pytest.approx(1000 * volume)
    full = replace(WISH, infill=1.0)
    assert printed_mass(1e-3, 0.06, 1000.0, full, PRINTER) == pytest.approx(1.0)


def test_more_walls_and_infill_weigh_more() -> None:
    light = printed_mass(1e-4, 0.013, 1270.0, WISH, PRINTER)
    assert printed_mass(1e-4, 0.013, 1270.0, replace(WISH, walls=6), PRINTER) > light
    assert printed_mass(1e-4, 0.013, 1270.0, replace(WISH, infill=0.6), PRINTER) > light
