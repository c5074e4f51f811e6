"""Frames in space.

L-shaped frame (Argyris and others), as quoted in the open finite-element suite
FinEtoolsFlexStructures.jl, test_beam_modal.jl (READ, C1.24): two legs of 240 mm, 3 x 30 mm,
E = 71240 MPa, nu = 0.31, 5e-9 t/mm3, four elements a leg: 11.2732 and 30.5269 Hz, out of the plane
of the legs, which the 30 mm side lies in. The suite's elements are Euler-Bernoulli with a torsion
coefficient of 0.312, and its mass matrix gives each bending plane the rotary inertia of the other
(its FEMMCorotBeamModule: I2 where I3 belongs). With those inputs, odd as the last is, the target is
met to the 0.01 % asked; with the rotary inertia where it belongs the second frequency is 0.6 % up.

Two-storey frame, Geradin and Rixen, Mechanical Vibrations, example 5.3, as quoted in pystran's
tutorials (READ+RECOMP, C1.20): 3.08, 4.65, 7.87, 8.23 Hz. Independent recomputations give 3.067,
4.648, 7.692, 8.017 Hz; the source of that gap is unknown, so 3 % against the book and 0.1 % against
the recomputation (four digits).
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from refledge.analysis.beam import all_dofs, frame_of, line_mesh, modes
from refledge.analysis.frame import BeamFrame
from refledge.analysis.sections import rectangle


def l_frame() -> BeamFrame:
    L, count, E = 240.0, 4, 71240.0
    first, elements = line_mesh((0, 0, L), (L, 0, L), count)
    second, _ = line_mesh((L, 0, L), (L, 0, 0), count)
    nodes = np.concatenate([first, second[1:]])
    elements = np.concatenate([elements, elements + count])
    # Local z lies in the plane of the legs (global x-z), where the section is 30 mm deep.
    z_axis = np.repeat([[0.0, 0, 1], [1.0, 0, 0]], count, axis=0)
    frame = frame_of(nodes, elements, rectangle(3.0, 30.0), E, E / 2.62, 5e-9, z_axis)
    rigid, torsion = np.full(2 * count, np.inf), np.full(2 * count, 0.312 * 30 * 27)
    return replace(frame, Ay=rigid, Az=rigid, J=torsion)


def test_l_frame_as_the_suite_computes_it():
    frame = l_frame()
    swapped = replace(frame, rotary_y=frame.rotary_z, rotary_z=frame.rotary_y)
    found, shapes = modes(swapped, 2, all_dofs(0))
    np.testing.assert_allclose(found, [11.2732, 30.5269], rtol=1e-4)
    assert np.all(np.argmax(np.abs(shapes[:, :, :3]).max(axis=1), axis=1) == 1)


def test_l_frame_with_rotary_inertia_where_it_belongs():
    found, _ = modes(l_frame(), 2, all_dofs(0))
    np.testing.assert_allclose(found, [11.2732, 30.5269], rtol=7e-3)
    assert found[1] > 1.005 * 30.5269


def two_storeys():
    a, b = 5.49, 3.66
    corners = np.array([[0, 0], [a, 0], [a, a], [0, a]])
    levels = [np.column_stack([corners, np.full(4, z)]) for z in (0, b, 2 * b)]
    points = np.concatenate(levels)
    columns = [(i + 4 * s, i + 4 * s + 4) for s in (0, 1) for i in range(4)]
    beams = [(4 * s + i, 4 * s + (i + 1) % 4) for s in (1, 2) for i in range(4)]
    return refined(points, columns, beams, parts=6)


def refined(points, columns, beams, parts):
    nodes, elements, kinds = list(points), [], []
    for kind, group in enumerate((columns, beams)):
        for i, j in group:
            inner = np.linspace(points[i], points[j], parts + 1)[1:-1]
            chain = [i, *range(len(nodes), len(nodes) + parts - 1), j]
            nodes.extend(inner)
            elements.extend(pairwise(chain))
            kinds.extend([kind] * parts)
    kind = np.array(kinds)

    def pick(column, beam):
        return np.where(kind == 0, column, beam)

    Iy, Iz = pick(6.9e-6, 1.2e-4), pick(8.49e-5, 7.3e-6)
    area = pick(5.14e-3, 5.68e-3)
    m = len(kind)
    return BeamFrame(
        nodes=np.array(nodes),
        elements=np.array(elements),
        E=np.full(m, 2.1e11),
        G=np.full(m, 2.1e11 / 2.6),
        A=area,
        Iy=Iy,
        Iz=Iz,
        J=pick(1.73e-7, 1.76e-7),
        Ay=np.full(m, np.inf),
        Az=np.full(m, np.inf),
        mass_per_length=7800.0 * area,
        rotary_x=7800.0 * (Iy + Iz),
        rotary_y=np.zeros(m),
        rotary_z=np.zeros(m),
        z_axis=np.where(kind[:, None] == 0, [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]),
        offsets=np.zeros((m, 2, 3)),
    )


def test_two_storey_frame():
    found, _ = modes(two_storeys(), 4, all_dofs(0, 1, 2, 3))
    np.testing.assert_allclose(found, [3.08, 4.65, 7.87, 8.23], rtol=0.03)
    np.testing.assert_allclose(found, [3.067, 4.648, 7.692, 8.017], rtol=1e-3)
