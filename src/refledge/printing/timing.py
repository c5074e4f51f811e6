"""How long a part prints, and what it takes: figures for planning, from its layers.

Each layer is walls along its outlines, solid skins where the layers just above or below are open,
and lines of infill between; each line is a straight run that the head speeds up for and slows down
from. No tool paths are made, so the figure is to be calibrated on prints (``calibration.py``).
"""

from dataclasses import dataclass
from math import pi

import numpy as np

from refledge.analysis.columns import cast_columns, filled
from refledge.model.printer import Printer
from refledge.model.results import TriMesh
from refledge.model.wishes import FrameWish
from refledge.printing.slices import Slices, slice_part
from refledge.typed import Bools, Floats

CORNER_SPEED = 8e-3
"""m/s at which a head takes a sharp corner (from memory, typical)."""
CURVE = 2e-3
"""m; shorter straight runs belong to a curve, which is taken without stopping (a choice)."""
CELLS = 160
"""Cells along the longer side of a part in the search for skins (a choice)."""


@dataclass(frozen=True)
class PrintFigures:
    """What one copy of a part takes, before calibration."""

    extruding: float
    """s, head laying plastic."""
    moving: float
    """s, travel and changes of layer."""
    waiting: float
    """s, waiting for small layers to cool."""
    layers: int
    plastic: float
    """m3, walls, skins, infill and support together."""
    support: float
    """m3, of that."""
    skin_share: float
    """Of the plastic in walls, skins and infill, what lies in skins (1)."""

    @property
    def seconds(self) -> float:
        """Head time of one copy, warm-up left out."""
        return self.extruding + self.moving + self.waiting


def run_time(length: Floats, speed: float, acceleration: float, corner: float) -> Floats:
    """s for straight runs (n,), m: from corner speed up, along and down again.

    Trapezoid of constant acceleration; short runs never reach ``speed`` (m/s).
    """
    corner = min(corner, speed)
    reach = (speed**2 - corner**2) / acceleration
    peak = np.sqrt(corner**2 + acceleration * np.minimum(length, reach))
    ramps = 2 * (peak - corner) / acceleration
    return np.asarray(ramps + np.maximum(length - reach, 0.0) / speed)


def time_part(
    mesh: TriMesh, wish: FrameWish, printer: Printer, support: float = 0.0
) -> PrintFigures:
    """Figures of one copy of a part as it lies on the bed.

    mesh: z up from the bed, m. support: m3 of support structure as printed.
    """
    cuts = slice_part(mesh, printer.layer)
    skins = skin_shares(mesh, cuts, wish.skins)
    width, layer = printer.extrusion_width, printer.layer
    walls = np.minimum(_wall_length(cuts, wish.walls, width), cuts.areas / width)
    inner = np.maximum(cuts.areas - walls * width, 0.0)
    solid = inner * skins
    sparse = (inner - solid) * wish.infill
    shares = walls / np.maximum(cuts.outlines, 1e-12)
    wall_time = _sum(cuts, _along(cuts, printer) * shares[cuts.run_layers])
    fill_time = _fill_time(solid + sparse, cuts, printer)
    held = support / (layer * len(cuts.levels))
    support_time = held / width / _speed(printer.speed_fill, printer) * np.ones(len(cuts.levels))
    extruding = wall_time + fill_time + support_time
    moving = printer.layer_change + _travel(mesh, printer) * np.ones(len(cuts.levels))
    waiting = np.maximum(printer.least_layer_time - extruding - moving, 0.0)
    body = float(layer * np.sum(walls * width + solid + sparse))
    return PrintFigures(
        extruding=float(extruding.sum()),
        moving=float(moving.sum()),
        waiting=float(waiting.sum()),
        layers=len(cuts.levels),
        plastic=body + support,
        support=support,
        skin_share=float(layer * solid.sum() / body),
    )


def skin_shares(mesh: TriMesh, cuts: Slices, skins: int) -> Floats:
    """(n_layers,): share of each layer that lies within ``skins`` layers of open air above or
    below, and is laid solid."""
    step = float(np.ptp(mesh.vertices[:, :2], axis=0).max()) / CELLS
    body = filled(cast_columns(mesh.vertices, mesh.triangles, step), cuts.levels)
    buried = body.copy()
    for shift in range(1, skins + 1):
        buried &= _shifted(body, shift) & _shifted(body, -shift)
    cells = body.sum(axis=(0, 1))
    return np.asarray(1.0 - buried.sum(axis=(0, 1)) / np.maximum(cells, 1))


def _shifted(body: Bools, layers: int) -> Bools:
    """The body moved up by ``layers``; air comes in."""
    moved = np.zeros_like(body)
    if layers > 0:
        moved[:, :, layers:] = body[:, :, :-layers]
    else:
        moved[:, :, :layers] = body[:, :, -layers:]
    return moved


def _wall_length(cuts: Slices, walls: int, width: float) -> Floats:
    """m of wall lines in each layer: each further line of an outer wall is shorter by a turn.

    A convex outline offset inwards by d loses 2 pi d (Steiner's formula); holes gain as much.
    """
    lost = 2 * pi * width * sum(k + 0.5 for k in range(walls))
    return np.asarray(np.maximum(walls * cuts.outlines - lost, 0.0))


def _speed(wanted: float, printer: Printer) -> float:
    """m/s that the hot end's flow allows."""
    return min(wanted, printer.most_flow / (printer.extrusion_width * printer.layer))


def _along(cuts: Slices, printer: Printer) -> Floats:
    """s for each straight run of an outline."""
    speed = _speed(printer.speed_walls, printer)
    stops = run_time(cuts.runs, speed, printer.acceleration, CORNER_SPEED)
    return np.where(cuts.runs < CURVE, cuts.runs / speed, stops)


def _sum(cuts: Slices, seconds: Floats) -> Floats:
    number = len(cuts.levels)
    return np.bincount(cuts.run_layers, weights=seconds, minlength=number).astype(float)


def _fill_time(area: Floats, cuts: Slices, printer: Printer) -> Floats:
    """s to lay ``area`` (n_layers,), m2, in lines as long as the mean chord of the layer.

    Mean chord of a plane figure: pi A / P (Cauchy; see Santalo, Integral Geometry and Geometric
    Probability, chords of a convex figure).
    """
    speed = _speed(printer.speed_fill, printer)
    chord = pi * cuts.areas / np.maximum(cuts.outlines, 1e-12)
    lines = area / printer.extrusion_width / np.maximum(chord, 1e-12)
    return np.asarray(lines * run_time(chord, speed, printer.acceleration, CORNER_SPEED))


def _travel(mesh: TriMesh, printer: Printer) -> float:
    """s a layer without printing: three moves across a third of the part (common practice)."""
    across = float(np.hypot(*np.ptp(mesh.vertices[:, :2], axis=0))) / 3
    once = run_time(np.array([across]), printer.speed_travel, printer.acceleration, CORNER_SPEED)
    return 3.0 * float(once[0])
