"""Curves and outlines in millimetres (y grows downwards). Arrays are (N, 2) floats."""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[Any]
Points = Array
Pts = Any  # a point or points in any form that numpy reads
TAU = 2 * np.pi


def arr(points: ArrayLike) -> Points:
    """Any sequence of pairs as a float array."""
    return np.asarray(points, dtype=float).reshape(-1, 2)


def spline(points: ArrayLike, closed: bool = False, step: float = 0.35) -> Points:
    """Smooth curve through the points (centripetal Catmull-Rom, about `step` mm between samples)."""
    p = arr(points)
    if len(p) < 3 and not closed:
        return resample(p, step)
    ends = (p[-1:], p[:2]) if closed else (2 * p[:1] - p[1:2], 2 * p[-1:] - p[-2:-1])
    q = np.vstack([ends[0], p, ends[1]])
    out: list[Points] = []
    for i in range(len(q) - 3):
        a, b, c, d = q[i : i + 4]
        k = [max(np.hypot(*(v - u)), 1e-6) ** 0.5 for u, v in ((a, b), (b, c), (c, d))]
        m1 = (c - b) / k[1] - (c - a) / (k[0] + k[1]) + (b - a) / k[0]
        m2 = (d - c) / k[2] - (d - b) / (k[1] + k[2]) + (c - b) / k[1]
        m1, m2 = m1 * k[1], m2 * k[1]
        n = max(3, int(np.hypot(*(c - b)) / step))
        t = np.linspace(0, 1, n, endpoint=False)[:, None]
        h00, h10 = 2 * t**3 - 3 * t**2 + 1, t**3 - 2 * t**2 + t
        out.append(h00 * b + h10 * m1 + (1 - h00) * c + (t**3 - t**2) * m2)
    res = np.vstack(out)
    return np.vstack([res, res[:1] if closed else p[-1:]])


def resample(points: ArrayLike, step: float = 0.35) -> Points:
    """Points at equal arc length along the polyline."""
    p = arr(points)
    s = arclen(p)
    n = max(2, int(np.ceil(s[-1] / step)) + 1)
    return at(p, np.linspace(0, 1, n), s)


def arclen(p: Points) -> np.ndarray:
    """Arc length at every point, starting with 0."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])


def at(p: Points, t: ArrayLike, s: np.ndarray | None = None) -> Points:
    """Point or points at the fraction t (0..1) of the arc length."""
    s = arclen(p) if s is None else s
    u = np.asarray(t, dtype=float) * s[-1]
    return np.stack([np.interp(u, s, p[:, 0]), np.interp(u, s, p[:, 1])], axis=-1)


def tangents(p: Points) -> Points:
    """Unit tangents."""
    t = np.gradient(p, axis=0)
    return np.asarray(t / np.maximum(np.hypot(t[:, 0], t[:, 1]), 1e-9)[:, None])


def normals(p: Points) -> Points:
    """Unit normals, to the right-hand side of travel in a y-down drawing."""
    t = tangents(p)
    return np.stack([-t[:, 1], t[:, 0]], axis=1)


def part(p: Points, a: float, b: float, step: float = 0.3) -> Points:
    """Piece of a polyline between the fractions a and b."""
    s = arclen(p)
    n = max(3, int(abs(b - a) * s[-1] / step))
    return at(p, np.linspace(a, b, n), s)


def rot(p: ArrayLike, deg: float, about: ArrayLike = (0, 0)) -> Points:
    """Rotated copy (clockwise on the page for positive angles)."""
    a, c = np.radians(deg), np.asarray(about, float)
    m = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
    return np.asarray((arr(p) - c) @ m + c)


def flip(p: ArrayLike, x0: float = 0.0) -> Points:
    """Mirror image about the vertical line x = x0."""
    q = arr(p).copy()
    q[:, 0] = 2 * x0 - q[:, 0]
    return q


def polar(c: ArrayLike, r: float, deg: float) -> Points:
    """The point at a distance and angle from c (0 = right, 90 = down)."""
    a, p = np.radians(deg), np.asarray(c, float)
    return np.array([p[0] + r * np.cos(a), p[1] + r * np.sin(a)])


def ellipse(
    c: ArrayLike, rx: float, ry: float | None = None, a0: float = 0, a1: float = 360, tilt: float = 0, step: float = 0.3
) -> Points:
    """Ellipse or elliptic arc."""
    ry = rx if ry is None else ry
    n = max(12, int(abs(a1 - a0) / 360 * TAU * max(rx, ry) / step))
    t = np.radians(np.linspace(a0, a1, n))
    p = np.asarray(c, float)
    return rot(np.stack([p[0] + rx * np.cos(t), p[1] + ry * np.sin(t)], 1), tilt, p)


def tube(center: Points, radius: ArrayLike) -> Points:
    """Closed outline of a band round a centre line; `radius` is a number or one per point."""
    r = np.broadcast_to(np.asarray(radius, float), (len(center),))[:, None]
    n = normals(center)
    return np.vstack([center + n * r, (center - n * r)[::-1]])


def blade(
    base: ArrayLike,
    tip: ArrayLike,
    width: float,
    bend: float = 0.0,
    widest: float = 0.45,
    sharp: float = 1.0,
    step: float = 0.3,
) -> tuple[Points, Points]:
    """Leaf, petal or feather: closed outline and its midline. `bend` bows the midline sideways."""
    b, t = np.asarray(base, float), np.asarray(tip, float)
    d = t - b
    n = np.array([-d[1], d[0]])
    mid = spline([b, b + d * 0.5 + n * bend, t], step=step)
    u = arclen(mid) / arclen(mid)[-1]
    k = np.log(0.5) / np.log(widest)
    prof = np.sin(np.pi * u**k) ** sharp * width / 2
    return tube(mid, prof), mid


def inside(poly: Points, p: Points) -> np.ndarray:
    """Even-odd point-in-polygon test for many points."""
    x, y = p[:, 0][:, None], p[:, 1][:, None]
    a, b = poly, np.roll(poly, -1, axis=0)
    cond = (a[:, 1] > y) != (b[:, 1] > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        xi = (b[:, 0] - a[:, 0]) * (y - a[:, 1]) / (b[:, 1] - a[:, 1]) + a[:, 0]
    return np.asarray((np.sum(cond & (x < xi), axis=1) % 2).astype(bool))


def runs(p: Points, keep: np.ndarray) -> list[Points]:
    """The stretches of a polyline where `keep` is true."""
    idx = np.flatnonzero(np.diff(np.concatenate([[0], keep.astype(int), [0]])))
    return [p[a:b] for a, b in zip(idx[::2], idx[1::2], strict=True) if b - a >= 3]


def spiral(c: ArrayLike, r0: float, r1: float, a0: float, turns: float, step: float = 0.3) -> Points:
    """Spiral from radius r0 to r1, starting at the angle a0 (degrees)."""
    n = max(20, int(abs(turns) * TAU * max(r0, r1) / step))
    t = np.linspace(0, 1, n)
    a, r = np.radians(a0 + 360 * turns * t), r0 + (r1 - r0) * t**0.8
    p = np.asarray(c, float)
    return np.stack([p[0] + r * np.cos(a), p[1] + r * np.sin(a)], 1)


def wobble(n: int, rng: np.random.Generator, amount: float, period: int = 14) -> np.ndarray:
    """Slow random variation around 1 (a hand's uneven pressure)."""
    k = max(2, n // period + 2)
    return 1 + amount * np.interp(np.linspace(0, k - 1, n), np.arange(k), rng.uniform(-1, 1, k))
