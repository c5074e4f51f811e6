"""The time model: motion against kinematics, plastic against volume, calibration against truth."""

from dataclasses import replace

import numpy as np
import pytest
import trimesh

from refledge.model.printer import Printer
from refledge.model.results import TriMesh
from refledge.model.wishes import FrameWish
from refledge.printing.calibration import PrintRecord, calibrate
from refledge.printing.timing import PrintFigures, run_time, time_part

PRINTER = Printer(bed_length=0.25, bed_width=0.21, height=0.2, filaments=("PLA",))
WISH = FrameWish(infill=0.2)


def _block(length: float, width: float, height: float) -> TriMesh:
    body = trimesh.creation.box((length, width, height))
    body.apply_translation((0, 0, height / 2))
    return TriMesh(np.asarray(body.vertices, float), np.asarray(body.faces, np.int64))


def test_long_run_is_a_trapezoid_and_a_short_one_a_triangle() -> None:
    """From rest: 100 mm at 0.1 m/s and 1 m/s2 takes 0.1 s up, 0.9 s along, 0.1 s down."""
    found = run_time(np.array([0.1, 0.0025]), 0.1, 1.0, 0.0)
    np.testing.assert_allclose(found, [1.1, 2 * np.sqrt(0.0025)], rtol=1e-12)


def test_run_time_against_stepwise_motion() -> None:
    """A head that speeds up by a dt until it must brake again, stepped in microseconds."""
    length, speed, a, corner, dt = 0.013, 0.09, 2.0, 8e-3, 1e-6
    x, v, t = 0.0, corner, 0.0
    while x < length:
        braking = (v**2 - corner**2) / (2 * a)
        v = max(corner, v - a * dt) if length - x <= braking else min(speed, v + a * dt)
        x, t = x + v * dt, t + dt
    assert float(run_time(np.array([length]), speed, a, corner)[0]) == pytest.approx(t, rel=2e-3)


def test_solid_block_takes_its_own_volume() -> None:
    mesh = _block(0.06, 0.04, 0.01)
    figures = time_part(mesh, replace(WISH, infill=1.0), PRINTER)
    assert figures.plastic == pytest.approx(0.06 * 0.04 * 0.01, rel=1e-6)


def test_infill_fills_what_walls_and_skins_leave() -> None:
    """A tall block: walls of known cross-section, skins at both ends, the rest at 20 %."""
    mesh, n = _block(0.06, 0.04, 0.1), WISH.walls
    width, layer = PRINTER.extrusion_width, PRINTER.layer
    lost = 2 * np.pi * width * sum(k + 0.5 for k in range(n))
    walls = (n * 0.2 - lost) * width
    inner = 0.06 * 0.04 - walls
    skins = 2 * WISH.skins * layer
    expected = walls * 0.1 + inner * skins + WISH.infill * inner * (0.1 - skins)
    assert time_part(mesh, WISH, PRINTER).plastic == pytest.approx(expected, rel=1e-6)


def test_slower_head_takes_longer_and_small_layers_wait() -> None:
    mesh = _block(0.06, 0.04, 0.02)
    usual = time_part(mesh, WISH, PRINTER)
    slow = time_part(mesh, WISH, replace(PRINTER, acceleration=0.3))
    thin = time_part(_block(0.004, 0.004, 0.02), WISH, PRINTER)
    assert slow.extruding > usual.extruding
    assert usual.waiting == 0.0
    assert thin.seconds == pytest.approx(thin.layers * PRINTER.least_layer_time, rel=1e-9)


def test_flow_limits_speed() -> None:
    mesh = _block(0.06, 0.04, 0.02)
    choked = replace(PRINTER, most_flow=1e-9)
    figures = time_part(mesh, WISH, choked)
    assert figures.extruding > figures.plastic / 1e-9


def test_support_is_laid_and_counted() -> None:
    mesh = _block(0.06, 0.04, 0.02)
    bare, held = time_part(mesh, WISH, PRINTER), time_part(mesh, WISH, PRINTER, support=1e-6)
    assert held.plastic == pytest.approx(bare.plastic + 1e-6, rel=1e-9)
    assert held.extruding > bare.extruding


def _records(number: int, seed: int) -> list[PrintRecord]:
    """Prints by a head that is 1.3 times slower, waits 0.8 times, starts in 200 s; 3 % scatter."""
    rng = np.random.default_rng(seed)
    records = []
    for _ in range(number):
        extruding, moving = rng.uniform(1e3, 1e4), rng.uniform(2e2, 2e3)
        figures = PrintFigures(extruding, moving, 0.0, 100, 2e-5, 0.0, 0.3)
        true = 1.3 * extruding + 0.8 * moving + 200.0
        grams = 1.06 * 1240 * 2e-5 * (1 + 0.02 * rng.standard_normal())
        seconds = true * (1 + 0.03 * rng.standard_normal())
        records.append(PrintRecord(figures, 1, seconds, grams, 1240.0))
    return records


def test_calibration_finds_the_true_printer() -> None:
    found = calibrate(_records(60, seed=1))
    figures = PrintFigures(5000.0, 800.0, 0.0, 100, 2e-5, 0.0, 0.3)
    seconds, spread = found.seconds(figures)
    assert seconds == pytest.approx(1.3 * 5000 + 0.8 * 800 + 200, rel=0.02)
    assert found.plastic == pytest.approx(1.06, abs=4 * found.plastic_spread)
    assert 0.02 < spread / seconds < 0.06


def test_calibrated_band_covers_new_prints() -> None:
    """Two standard uncertainties cover about 95 % of 400 further prints."""
    found, fresh = calibrate(_records(40, seed=2)), _records(400, seed=3)
    inside = [
        abs(r.seconds - value) <= 2 * spread
        for r in fresh
        for value, spread in [found.seconds(r.figures)]
    ]
    assert 0.93 <= np.mean(inside) <= 0.995


def test_without_records_the_model_stands_as_it_is() -> None:
    figures = PrintFigures(5000.0, 800.0, 0.0, 100, 2e-5, 0.0, 0.3)
    seconds, spread = calibrate().seconds(figures)
    assert seconds == pytest.approx(figures.seconds)
    assert spread / seconds > 0.2
