"""Two propellers of the UIUC Propeller Database (data/SOURCES.txt), as arrays."""

from pathlib import Path

import numpy as np

from refledge.flight.rotor import TURN
from refledge.model.rotors import BladeGeometry
from refledge.typed import Floats

FOLDER = Path(__file__).parent / "data" / "uiuc"
INCH = 0.0254
SIZES = ("10x4.7", "11x4.7")
AXIAL = {"10x4.7": 6512.0, "11x4.7": 6006.0}  # rev/min


def table(name: str) -> Floats:
    return np.loadtxt(FOLDER / f"{name}.txt", skiprows=1)


def diameter(size: str) -> float:
    return float(size.split("x", maxsplit=1)[0]) * INCH


def blade(size: str) -> BladeGeometry:
    r, c, beta = table(f"{size}_geometry").T
    radius = diameter(size) / 2
    return BladeGeometry(2 * radius, 2, r, c * radius, np.radians(beta), f"UIUC {size}")


def static(size: str) -> Floats:
    """(n, 4): rad/s, advance ratio 0, CT, CP."""
    rpm, CT, CP = table(f"{size}_static").T
    return np.column_stack((rpm * TURN / 60, np.zeros_like(rpm), CT, CP))


def axial(size: str) -> Floats:
    """(n, 4): rad/s, advance ratio, CT, CP."""
    J, CT, CP, _ = table(f"{size}_axial_{AXIAL[size]:.0f}rpm").T
    return np.column_stack((np.full_like(J, AXIAL[size] * TURN / 60), J, CT, CP))
