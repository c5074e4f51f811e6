"""Lateral-torsional buckling of drawn arms: how near a load that pushes the tip down is to tipping
the arm over sideways.

Linear buckling, as in ``solids/buckling.py``, of a span whose plate and lower edge sway, y and
y + h phi + sway, whose sections turn about z at either edge, and whose end blocks are rigid
(Vlasov, Thin-Walled Elastic Beams, with the shear strains of ``warping.py``). The load's stress
works on the squares of the slopes (Timoshenko and Gere, Theory of Elastic Stability, lateral
buckling): bars pressed below push outwards, those pulled above hold back; what rides on the arm and
stands above it helps to tip it. Ritz with polynomials errs to too high a load, as do rigid blocks
and slim trusses, which twist up to a tenth more than is counted (docs/theory-beams.md).
"""

from dataclasses import dataclass, fields, replace
from typing import NamedTuple, TypeVar

import numpy as np
import scipy.linalg
from numpy.polynomial import Legendre

from refledge.analysis.arm_model import ArmClamp, ArmMaterial, ArmShape, Numbers
from refledge.analysis.tipping_edges import Edges, edges
from refledge.typed import Floats

FAMILIES = ("box", "channel", "truss")
"""Those that are looked at; a round tube is stiff against twist."""
_TERMS = 9
"""Polynomials for each field; two more change the example's load by less than 0.5 %."""
_STATIONS = 16
_FEW = 9
"""Stations where a few shapes are tried on many arms."""
_ALL, _ALONE = "qa,qai,qaj->aij", "qa,qai,qai->ai"
"""Products of every two functions; of each with itself."""


@dataclass(frozen=True, eq=False, kw_only=True)
class TippingLoad:
    """What pushes each arm down, (N,) or one for all."""

    force: Numbers  # N, at the motor axis
    above: Numbers  # m, where it acts above the arm's top face
    own: Numbers = 0.0  # N/m, of the arm's own plastic


@dataclass(frozen=True, eq=False)
class Tipped:
    """The least load that tips one arm over."""

    use: float
    """Load over it (1); 0 where none does."""
    shape: Floats
    """Coefficients of the polynomials: how it tips."""


def tipping(
    family: str, shape: ArmShape, material: ArmMaterial, clamp: ArmClamp, load: TippingLoad
) -> Tipped:
    """One arm, all dimensions floats."""
    s, m, c, q = _rows(shape), _rows(material), _rows(clamp), _rows(load)
    basis = _basis(_STATIONS, sways=family == "truss")
    held, pushed = _energies(family, s, m, c, q, basis)
    values, vectors = scipy.linalg.eigh(pushed[0], held[0])
    return Tipped(max(float(values[-1]), 0.0), vectors[:, -1])


def tipping_uses(
    family: str,
    shape: ArmShape,
    material: ArmMaterial,
    clamp: ArmClamp,
    load: TippingLoad,
    tried: Floats,
) -> Floats:
    """Load over the load that tips, (N,), were each arm to tip in one of the shapes tried (.., k),
    as like ones do.

    Rayleigh's quotient: right to the second order in how far shapes differ, never too high.
    """
    s, m, c, q = _rows(shape), _rows(material), _rows(clamp), _rows(load)
    basis = _basis(_FEW, sways=family == "truss").of(tried)
    held, pushed = _energies(family, s, m, c, q, basis, _ALONE)
    return np.asarray(np.maximum((pushed / held).max(axis=-1), 0.0))


_Group = TypeVar("_Group", ArmShape, ArmMaterial, ArmClamp, TippingLoad)
_Term = tuple[Floats, Floats, Floats]


class _Field(NamedTuple):
    """A field and its slopes at the stations, (Q, 1, n), by span length; and at both ends, (n,)."""

    value: Floats
    slope: Floats
    bend: Floats
    first: Floats
    last: Floats


class _Basis(NamedTuple):
    where: Floats  # (Q,), 0 to 1
    weight: Floats  # (Q,)
    y: _Field
    phi: _Field
    plate: _Field  # turn about z of a section at the plate
    edge: _Field  # at the lower edge
    sway: _Field
    roll: _Field  # turn of the lower edge about the arm, against the plate

    def of(self, shape: Floats) -> "_Basis":
        """Those functions alone that have these coefficients, (total, k)."""
        one = (_Field(*(part @ shape for part in field)) for field in self[2:])
        return _Basis(self.where, self.weight, *one)


def _basis(stations: int, *, sways: bool) -> _Basis:
    """y starts at 0; the lower edge turns as the plate does at both ends and sways at neither."""
    points, weights = np.polynomial.legendre.leggauss(stations)
    x = np.concatenate(((points + 1) / 2, (0.0, 1.0)))
    free = [Legendre.basis(k, domain=[0, 1]) for k in range(_TERMS)]
    out = Legendre([0.5, 0.5], domain=[0, 1])  # 0 at the inner end, 1 at the outer one
    started = [each * out for each in free]
    held = [each * out * (1 - out) for each in free[:-2]]
    groups = [started, free, free, held, *([held] * 2 if sways else [[], []])]
    total = sum(map(len, groups))

    def field(*rows: int) -> _Field:
        made = np.zeros((3, len(x), total))
        for row in rows:
            begin = sum(map(len, groups[:row]))
            for k, each in enumerate(groups[row]):
                for order in range(3):
                    made[order, :, begin + k] = each.deriv(order)(x) if order else each(x)
        value, slope, bend = made[:, :-2, None, :]
        return _Field(value, slope, bend, made[0, -2], made[0, -1])

    return _Basis(
        x[:-2], weights / 2, field(0), field(1), field(2), field(2, 3), field(4), field(5)
    )


def _energies(
    family: str,
    s: ArmShape,
    m: ArmMaterial,
    c: ArmClamp,
    q: TippingLoad,
    f: _Basis,
    how: str = _ALL,
) -> tuple[Floats, Floats]:
    """Twice the strain energy of the fields, and what the load does to them, (N, n, n), N m."""
    span = s.length - s.root_length - s.tenon_length
    e = edges(family, s, m, f.where)
    lower = _lower(e, f, span)
    held = _sum(f.weight[:, None] * span, _strain(e, m, f, lower, span), how)
    for stiffness, end in ((c.stiffness_x, f.phi.first), (c.stiffness_z, f.plate.first)):
        held = held + _at_end(stiffness, end, end, how)
    return held, -_pushed(e, s, q, f, lower, span, how)


def _lower(e: Edges, f: _Basis, span: Floats) -> tuple[Floats, Floats]:
    """Slope (1) and curvature (1/m) of the lower edge sideways, (Q, N, n)."""
    h, L, fall = e.walls.height[..., None], span[:, None], e.slope[:, None]
    slope = (f.y.slope + h * f.phi.slope + f.sway.slope) / L + fall * f.phi.value
    bend = (f.y.bend + h * f.phi.bend + f.sway.bend) / L**2 + 2 * fall * f.phi.slope / L
    return slope, bend


def _strain(
    e: Edges, m: ArmMaterial, f: _Basis, lower: tuple[Floats, Floats], span: Floats
) -> list[_Term]:
    """Bending of plate and lower edge, shear of plate, floor, bracing and walls, twist, sway."""
    w, L = e.walls, span[:, None]
    upper_turn, lower_turn = f.plate.slope / L, f.edge.slope / L
    top, low = f.y.slope / L - f.plate.value, lower[0] - f.edge.value
    twist = f.phi.slope / L
    shear = twist + (f.edge.value - f.plate.value) / w.height[..., None]
    G, E = m.G, m.E
    terms = [
        (E * w.upper, upper_turn, upper_turn),
        (2 * E * w.mixed, upper_turn, lower_turn),
        (E * w.lower, lower_turn, lower_turn),
        (G * (w.plate + w.bracing / 3), top, top),
        (G * w.bracing / 3, top, low),
        (G * (w.floor + w.bracing / 3), low, low),
        (G * w.walls * w.breadth**2 / 4, shear, shear),
        (G * w.torsion, twist, twist),
    ]
    if e.sway is not None:
        sway, roll = f.sway.value, f.roll.value
        terms += [
            (e.chord, lower[1], lower[1]),
            (e.sway.moved, sway, sway),
            (2 * e.sway.both, sway, roll),
            (e.sway.turned, roll, roll),
            (e.sway.chord, f.roll.slope / L, f.roll.slope / L + 2 * twist),
        ]
    return terms


def _pushed(
    e: Edges,
    s: ArmShape,
    q: TippingLoad,
    f: _Basis,
    lower: tuple[Floats, Floats],
    span: Floats,
    how: str,
) -> Floats:
    """The load's stress on the squares of the slopes, and the load on its lever at the tip."""
    reach = s.tenon_length / 2
    out = span * (1 - f.where[:, None]) + reach
    moment = q.force * out + q.own * (out + reach) ** 2 / 2
    h, pull = e.walls.height, e.pull
    shear = q.force + q.own * (out + reach) + moment * e.slope / h
    plate, edge = f.y.slope / span[:, None], lower[0]
    middle = plate + pull.middle[..., None] * (edge - plate)
    turn = f.phi.value + f.sway.value / h[..., None]
    twist = f.phi.slope / span[:, None]
    terms = [
        (moment * pull.plate, plate, plate),
        (2 * moment * pull.mixed, plate, edge),
        (moment * pull.edge, edge, edge),
        (moment * pull.across, twist, twist),
        (2 * shear, turn, middle),
    ]
    found = _sum(f.weight[:, None] * span, terms, how)
    tip = q.force * reach + q.own * (2 * reach) ** 2 / 2
    low = h[-1] + e.slope * span * (1 - f.where[-1])
    lever = q.above + s.top / 2 + pull.middle[-1] * low
    turned = _at_end(2 * tip, f.phi.last, f.plate.last, how)
    return found + turned - _at_end(q.force * lever, f.phi.last, f.phi.last, how)


def _sum(weight: Floats, terms: list[_Term], how: str) -> Floats:
    """Symmetric forms, (N, n, n) or (N, n): coefficients (Q, N) of products of fields."""
    found: Floats = np.zeros(1)
    for times, one, other in terms:
        found = found + np.einsum(how, weight * times, one, other)
    return _even(found, how)


def _at_end(times: Floats, one: Floats, other: Floats, how: str) -> Floats:
    """The same of two fields (n,) at an end, ``times`` (N,)."""
    return _even(np.einsum(how, times[None], one[None, None], other[None, None]), how)


def _even(form: Floats, how: str) -> Floats:
    return form if how == _ALONE else np.asarray((form + np.swapaxes(form, 1, 2)) / 2)


def _rows(group: _Group) -> _Group:
    """Every number of a group as (N,) or (1,)."""
    values = {
        f.name: np.atleast_1d(np.asarray(getattr(group, f.name), np.float64)) for f in fields(group)
    }
    return replace(group, **values)
