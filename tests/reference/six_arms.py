"""One whole six-arm frame, as plain numbers that two solvers can both be fed with."""

from dataclasses import dataclass

import numpy as np

from refledge.analysis.sections import box


@dataclass(frozen=True)
class SixArms:
    nodes: np.ndarray
    elements: np.ndarray
    tips: tuple[int, ...]
    E = 2.2e9
    G = 0.8e9
    rho = 1270.0
    section = box(0.024, 0.022, 1.8e-3, 1.6e-3, 1.2e-3)
    motor = 0.11
    motor_inertia = 2.0e-5
    body = 1.6
    body_inertia = (4.0e-3, 5.0e-3, 7.0e-3)


def six_arms(parts: int = 10, radius: float = 0.29) -> SixArms:
    """Arms every 60 degrees, each of ``parts`` elements, meeting in node 0."""
    nodes, elements, tips = [np.zeros(3)], [], []
    for k in range(6):
        angle = np.pi / 6 + k * np.pi / 3
        ray = np.array([np.cos(angle), np.sin(angle), 0.0])
        for step in range(1, parts + 1):
            nodes.append(ray * radius * step / parts)
            last = len(nodes) - 1
            elements.append((0 if step == 1 else last - 1, last))
        tips.append(len(nodes) - 1)
    return SixArms(np.array(nodes), np.array(elements), tuple(tips))
