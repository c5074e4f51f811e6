"""Crashes step by step, compiled: modes driven by the ground, until something breaks.

Central differences in time (velocity Verlet; Hairer, Lubich and Wanner, Geometric Numerical
Integration), which keep energy. The ground pushes as a spring with a dashpot that grows with depth
(Hunt and Crossley, Coefficient of Restitution Interpreted as Damping in Vibroimpact, 1975) and
drags by Coulomb friction.
"""

import numpy as np
from numba import njit, prange

from refledge.typed import Floats, Ints

CREEP = 0.05
"""m/s; sliding slower than this drags in proportion, so that friction has no step (a choice)."""


@njit(cache=True, fastmath=True)
def _dot(a, b):  # type: ignore[no-untyped-def]
    total = 0.0
    for i in range(len(a)):
        total += a[i] * b[i]
    return total


@njit(cache=True, fastmath=True)
def _push(q, v, up, gap, points, ground, loss, friction, force, contact):  # type: ignore[no-untyped-def]
    """Modal force of the ground on one aircraft, and each point's force (3 p,)."""
    force[:] = 0.0
    contact[:] = 0.0
    move = np.empty(3)
    speed = np.empty(3)
    for p in range(len(points)):
        if ground[p] == 0.0:
            continue
        for d in range(3):
            move[d] = _dot(points[p, d], q)
        deep = -(gap[p] + _dot(up, move))
        if deep <= 0.0:
            continue
        for d in range(3):
            speed[d] = _dot(points[p, d], v)
        rise = _dot(up, speed)
        press = ground[p] * deep * max(0.0, 1.0 - loss * rise)
        for d in range(3):
            speed[d] -= rise * up[d]
        slide = np.sqrt(_dot(speed, speed))
        drag = friction * press / max(slide, CREEP)
        for d in range(3):
            f = press * up[d] - drag * speed[d]
            contact[3 * p + d] = f
            for k in range(len(q)):
                force[k] += points[p, d, k] * f


@njit(cache=True, fastmath=True)
def _uses(  # type: ignore[no-untyped-def]
    q, contact, recover, steady, normal, shear, strength, layers, part_of, plane, across, uses
):
    """Greatest use of each part's strength, 1; ``plane``, ``across``: factors on strength."""
    uses[:] = 0.0
    for row in range(len(recover)):
        sigma = 0.0
        tau = 0.0
        for i in range(6):
            if normal[row, i] == 0.0 and shear[row, i] == 0.0:
                continue
            f = _dot(recover[row, i], q)
            for j in range(len(contact)):
                if contact[j] != 0.0:
                    f += steady[row, i, j] * contact[j]
            sigma += normal[row, i] * abs(f)
            tau += shear[row, i] * abs(f)
        part = part_of[row]
        use = (sigma / 2 + np.sqrt(sigma * sigma / 4 + tau * tau)) / strength[row] / plane[part]
        use = max(use, tau / layers[row] / across[part])
        uses[part] = max(uses[part], use)


@njit(cache=True, parallel=True, fastmath=True)
def run(  # type: ignore[no-untyped-def]
    q0, v0, start, stop, up, gap, alive, plane, across, squares, damping, points, ground,
    loss, friction, recover, steady, normal, shear, strength, layers, part_of, step, every,
):  # fmt: skip
    """March every aircraft from its ``start`` (s) until an ``alive`` part breaks or ``stop``.

    q0, v0: (s, k) modal motion. up: (s, 3); gap: (s, p), m, of each point over the ground at rest.
    alive, plane, across: (s, parts). Returns time (s,), part broken or -1 (s,), greatest use of
    each part (s, parts), and q, v (s, k) where it stopped.
    """
    samples, modes = q0.shape
    parts = alive.shape[1]
    q_end, v_end = q0.copy(), v0.copy()
    broke = np.full(samples, -1)
    time = start.copy()
    peak = np.zeros((samples, parts))
    for s in prange(samples):
        q, v = q_end[s], v_end[s]
        force, contact, uses = np.zeros(modes), np.zeros(3 * len(points)), np.zeros(parts)
        a = np.zeros(modes)
        _push(q, v, up[s], gap[s], points, ground, loss[s], friction, force, contact)
        for k in range(modes):
            a[k] = force[k] - squares[k] * q[k] - damping[k] * v[k]
        count = 0
        while time[s] < stop:
            for k in range(modes):
                v[k] += 0.5 * step * a[k]
                q[k] += step * v[k]
            _push(q, v, up[s], gap[s], points, ground, loss[s], friction, force, contact)
            for k in range(modes):
                a[k] = force[k] - squares[k] * q[k] - damping[k] * v[k]
                v[k] += 0.5 * step * a[k]
            time[s] += step
            count += 1
            if count % every:
                continue
            _uses(q, contact, recover, steady, normal, shear, strength, layers, part_of,
                  plane[s], across[s], uses)  # fmt: skip
            worst = -1
            for p in range(parts):
                peak[s, p] = max(peak[s, p], uses[p])
                if alive[s, p] and uses[p] >= 1.0 and (worst < 0 or uses[p] > uses[worst]):
                    worst = p
            if worst >= 0:
                broke[s] = worst
                break
    return time, broke, peak, q_end, v_end


Marched = tuple[Floats, Ints, Floats, Floats, Floats]
