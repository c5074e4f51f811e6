"""Why centre plates have no ribs (docs/frame.md): what ribs buy is not what plates are there for.

A rib makes a plate stiffer in its own bending for little plastic. The beam frame says that the two
plates hardly bend: with the arms between them they are the flanges of a sandwich, and give as their
area does, of which a ribbed plate as stiff in bending has less.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.assessment import Assessment, assess
from refledge.airframe.fillness import fill_of, plate_bending
from refledge.airframe.places import part_centres
from refledge.airframe.sizing import Sized
from refledge.airframe.structure import Structure
from refledge.airframe.task import Task
from refledge.analysis.fill import membrane_factor
from refledge.model.brief import Brief


def plates_times(bending: float, area: float) -> Callable[[Structure], Structure]:
    """The structure with its plates' own bending and their area changed by these factors."""

    def changed(structure: Structure) -> Structure:
        rows = [i for i, bar in enumerate(structure.bars) if bar.part == "plates"]
        frame, factors = structure.frame, {}
        for names, factor in ((("Iy", "J"), bending), (("A", "Ay", "Az", "Iz"), area)):
            for name in names:
                values = np.array(getattr(frame, name), dtype=float)
                values[rows] *= factor
                factors[name] = values
        return replace(structure, frame=replace(frame, **factors))

    return changed


@pytest.fixture(scope="module")
def outcome(task: Task, sized: Sized) -> Callable[[float, float], tuple[float, float]]:
    """Lowest mode, Hz, and motor tilt at full thrust, rad."""
    centres = part_centres(sized.frame, sized.layout)

    def found(bending: float, area: float) -> tuple[float, float]:
        made: Assessment = assess(
            task, sized.frame, sized.layout, sized.part_masses, centres,
            plates_times(bending, area),
        )  # fmt: skip
        tilt = float(made.result("full-thrust").motor_tilt.max())
        return float(made.modes.frequencies[0]), tilt

    return found


def test_plates_hardly_work_in_bending(
    outcome: Callable[[float, float], tuple[float, float]],
) -> None:
    """Half the bending stiffness moves mode and tilt by less than 0.3 %; half the area by over
    ten times as much."""
    mode, tilt = outcome(1.0, 1.0)
    softer = [abs(a / b - 1.0) for a, b in zip(outcome(0.5, 1.0), (mode, tilt), strict=True)]
    thinner = [abs(a / b - 1.0) for a, b in zip(outcome(1.0, 0.5), (mode, tilt), strict=True)]
    assert max(softer) < 3e-3
    assert min(thinner) > 0.02
    assert min(thinner) > 10 * max(softer)


def ribbed(skin: float, rib: float, pitch: float, high: float) -> tuple[float, float, float]:
    """Of a solid skin with ribs ``high`` (m) over it both ways: bending stiffness and membrane
    stiffness of a strip along one set of ribs and plastic, each for a metre's width over E.

    The other set works in neither (composite section, parallel axes).
    """
    share = rib / pitch
    area = skin + share * high
    middle = (skin**2 / 2 + share * high * (skin + high / 2)) / area
    inertia = skin**3 / 12 + skin * (middle - skin / 2) ** 2
    inertia += share * high**3 / 12 + share * high * (skin + high / 2 - middle) ** 2
    return inertia, area, area + share * high


def test_a_ribbed_plate_as_stiff_in_bending_is_softer_in_its_plane(brief: Brief) -> None:
    """Against the demo's plate, 5 mm with skins and infill: skin of its solid layers, ribs of four
    lines every 10 mm both ways, as high as equal bending asks."""
    fill, thick, infill = fill_of(brief), 5e-3, brief.frame.infill
    bending = plate_bending(fill, thick) * thick**3 / 12
    membrane = float(membrane_factor(thick, fill.face, fill.core)) * thick
    plastic = 2 * fill.face + infill * (thick - 2 * fill.face)
    rib = 4 * brief.printer.extrusion_width
    heights = np.linspace(1e-3, 10e-3, 1801)
    high = next(h for h in heights if ribbed(fill.face, rib, 10e-3, float(h))[0] >= bending)
    _, own_membrane, own_plastic = ribbed(fill.face, rib, 10e-3, float(high))
    assert own_membrane < 0.85 * membrane
    assert 0.85 * plastic < own_plastic < plastic  # before any boss for a bolt
    assert fill.face + high > 1.25 * thick  # by which every clamp bolt gets longer


def test_a_ribbed_plate_as_stiff_in_its_plane_weighs_more(brief: Brief) -> None:
    """Of ribs both ways one set works in either direction, so each unit of area over the skin costs
    two of plastic; infill between two skins costs less."""
    fill, thick, infill = fill_of(brief), 5e-3, brief.frame.infill
    membrane = float(membrane_factor(thick, fill.face, fill.core)) * thick
    plastic = 2 * fill.face + infill * (thick - 2 * fill.face)
    own = fill.face + 2 * (membrane - fill.face)
    rib, pitch = 4 * brief.printer.extrusion_width, 10e-3
    high = (membrane - fill.face) * pitch / rib
    assert ribbed(fill.face, rib, pitch, high)[1:] == pytest.approx((membrane, own))
    assert own == pytest.approx(1.29 * plastic, rel=0.01)
