"""A truss arm's span as a frame of bars for an independent solver, pystran 0.3 (PyPI, P. Krysl).

The plate is a beam along the middle, held out to both sides by ribs stiff but for twist, as the
plate's surface twists; chords and diagonals are
beams, diagonals from the plate's underside to the chord's upper face by stiff stubs. A stiff block
joins all at the far end; all is held at the near one. Euler-Bernoulli beams, every node rigid.
"""

import sys
from itertools import pairwise
from unittest.mock import MagicMock, patch

import numpy as np

from refledge.analysis.bars import even_length
from refledge.analysis.torsion import rectangle_torsion

# pystran's drawing module wants matplotlib, which nothing here needs: a stand-in is imported.
with patch.dict(sys.modules, {"pystran.plots": MagicMock()}):
    import pystran.model as other
    from pystran.section import beam_3d_section

STIFF = 1e3


class TrussFrame:
    """Node 0 is the plate's near end; ``tip`` its far end, in the block. Lengths in m."""

    def __init__(self, panels, width, depth, side, top, bottom, web, pitch, E, G):
        self.m, self.count, self.members = other.create(3), 0, 0
        self.E, self.G = E, G
        self.size = {"side": side, "web": web}
        half, low = (width - side) / 2, -(depth - (top + bottom) / 2)
        faces = -top / 2, low + bottom / 2
        plate = self._bar(width, top)
        chord = self._bar(side, bottom)
        xs = np.arange(2 * panels + 1) * pitch / 2
        middle = [self._joint(x, 0, 0) for x in xs]
        for a, b in pairwise(middle):
            self._member(a, b, plate)
        held = [middle[0]]
        for y in (half, -half):
            edge = [self._joint(x, y, faces[0]) for x in xs[::2]]
            for node, mid in zip(edge, middle[::2], strict=True):
                self._link(mid, node, twist=1e-9)
            ends = [self._joint(0.0, y, low), self._joint(xs[-1], y, low)]
            lows = [self._joint(x, y, low) for x in xs[1::2]]
            line = [ends[0], *lows, ends[1]]
            for a, b in pairwise(line):
                self._member(a, b, chord)
            heads = [self._joint(x, y, faces[1]) for x in xs[1::2]]
            bar = self._diagonal(pitch / 2, faces[0] - faces[1])
            for k, (low_node, head) in enumerate(zip(lows, heads, strict=True)):
                self._link(low_node, head)
                self._member(edge[k], head, bar)
                self._member(head, edge[k + 1], bar)
            held.append(ends[0])
            self._link(middle[-1], ends[1])
        self.tip = middle[-1]
        for node in held:
            other.add_support(self.m["joints"][node], range(6))

    def give(self):
        """(6, 6) compliance of the tip: column k is its motion under unit force or moment k."""
        found = np.zeros((6, 6))
        for k in range(6):
            joint = self.m["joints"][self.tip]
            joint["loads"] = {}
            other.add_load(joint, k, 1.0)
            other.number_dofs(self.m)
            other.solve_statics(self.m)
            found[:, k] = joint["displacements"]
        return found

    def _joint(self, x, y, z):
        other.add_joint(self.m, self.count, [float(x), float(y), float(z)])
        self.count += 1
        return self.count - 1

    def _member(self, a, b, section):
        ends = [self.m["joints"][k]["coordinates"] for k in (a, b)]
        along = np.subtract(ends[1], ends[0])
        upright = abs(along[2]) > 0.99 * np.linalg.norm(along)
        make = beam_3d_section(
            "bar", **section, rho=1.0, xz_vector=[1, 0, 0] if upright else [0, 0, 1]
        )
        other.add_beam_member(self.m, self.members, [a, b], make)
        self.members += 1

    def _bar(self, across, up, stiff=1.0, area=1.0):
        """Of a rectangle ``across`` along y and ``up`` along z, m."""
        Iy, Iz = across * up**3 / 12, up * across**3 / 12
        return {
            "E": stiff * self.E, "G": stiff * self.G, "A": area * across * up, "Ix": Iy + Iz,
            "Iy": Iy, "Iz": Iz, "J": float(rectangle_torsion(np.array(across), np.array(up))[0]),
        }  # fmt: skip

    def _diagonal(self, run, rise):
        """As short as even_length says, which a longer bar is by being stiffer."""
        side, web = self.size["side"], self.size["web"]
        even = even_length(np.array(run), np.array(rise), np.array(web), np.array(0.0))
        return self._bar(side, web, stiff=float(np.hypot(run, rise) / even))

    def _link(self, a, b, twist=1.0):
        section = self._bar(0.02, 0.02, stiff=STIFF)
        self._member(a, b, section | {"J": twist * section["J"]})
