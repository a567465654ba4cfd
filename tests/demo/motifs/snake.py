"""A snake winding round an upright branch with leaves."""

from itertools import pairwise

import numpy as np

from tests.demo import geom as g
from tests.demo.design import Design, Grad

SKIN, MARK, BELLY, WOOD, LEAF = (150, 146, 98), (72, 62, 46), (222, 210, 166), (124, 98, 74), (96, 126, 78)


def leaf(d: Design, base: g.Pts, tip: g.Pts, w: float, bend: float) -> None:
    """A leaf with side veins."""
    poly, mid = g.blade(base, tip, w, bend, widest=0.4, sharp=1.1)
    d.shape(poly, 0.3, dome=0.3, color=LEAF, grads=[Grad(tuple(mid[0]), tuple(mid[-1]), 0.7)], shadow=0.5)
    d.line(g.part(mid, 0, 0.96), 0.24, taper=(0, 0.6))
    n, t = g.normals(mid), g.tangents(mid)
    for k in range(7):
        i = int((0.1 + 0.72 * k / 7) * (len(mid) - 1))
        for q in (1, -1):
            d.line(
                g.spline(
                    [
                        mid[i],
                        mid[i] + q * n[i] * w * 0.25 + t[i] * w * 0.22,
                        mid[i] + q * n[i] * w * 0.5 + t[i] * w * 0.62,
                    ]
                ),
                0.17,
                taper=(0, 0.7),
                clip=poly,
            )


def branch(d: Design) -> None:
    """The upright branch with bark."""
    rng = d.rng
    c = g.spline([(38.5, 6), (40.8, 20), (39.2, 40), (41, 60), (39, 80), (41.5, 101)])
    rad = np.interp(np.linspace(0, 1, len(c)), [0, 0.3, 0.7, 1], [2.0, 3.0, 3.7, 4.4]) * g.wobble(len(c), rng, 0.10, 10)
    for b, m, e in (
        ((40.0, 22), (46, 15), (51, 9)),
        ((40.0, 72), (50, 68), (58, 62)),
        ((39.5, 88), (31, 84), (23, 83)),
    ):
        tw = g.spline([b, m, e])
        d.shape(g.tube(tw, np.linspace(1.3, 0.4, len(tw))), 0.3, dome=0.7, tone=0.1, color=WOOD)
    for root, t, wide, k in (
        ((51, 9), (60, 2), 6, 0.1),
        ((49, 11), (50, -1), 5.4, -0.1),
        ((58, 62), (68, 57), 6, 0.1),
        ((56, 64), (66, 69), 5.6, -0.12),
        ((23, 83), (13, 78), 6, -0.1),
        ((25, 83.4), (15, 90), 5.6, 0.12),
        ((38.5, 7), (33, -4), 5.6, 0.1),
    ):
        leaf(d, root, t, wide, k)
    trunk = g.spline([(36, -60), (36.5, -20), (38.5, 6), (40, 50), (41.5, 101), (43, 130), (44, 170)])
    d.shape(g.tube(trunk, np.linspace(1.6, 5.2, len(trunk))), None, scenery=True, dome=0.9, color=WOOD)
    poly = g.tube(c, rad)
    d.shape(poly, 0.4, dome=0.9, tone=0.14, color=WOOD)
    for _ in range(60):
        a = rng.uniform(0, 0.92)
        seg = g.part(c, a, min(1, a + rng.uniform(0.03, 0.1)))
        off = rng.uniform(-0.85, 0.85)
        seg = (
            seg
            + g.normals(seg) * off * 3.4
            + np.c_[0.25 * np.sin(np.linspace(0, rng.uniform(2, 6), len(seg))), np.zeros(len(seg))]
        )
        d.line(seg, 0.22, clip=poly)
    for y, x in ((52, 40.2), (86, 40)):
        for r in (1.5, 1.0, 0.5):
            d.line(g.ellipse((x, y), r * 0.75, r * 1.3), 0.2, taper=0.2)


class Body:
    """The snake's centre line, radius and surface coordinates."""

    def __init__(self) -> None:
        ph = np.linspace(-0.55 * np.pi, 5.35 * np.pi, 1500)
        q = (ph - ph[0]) / (ph[-1] - ph[0])
        amp = 13.0 - 2.0 * q
        x = 40 + amp * np.sin(ph)
        y = 23 + 68 * q + 0.3 * np.cos(ph) - 1.65 * np.sin(2 * ph)  # the second term rounds the turns
        self.spine = np.stack([x, y], 1)
        L = g.arclen(self.spine)
        self.a = L / L[-1]
        self.front = np.cos(ph) > -0.08
        self.rad = np.interp(self.a, [0, 0.05, 0.18, 0.45, 0.75, 0.92, 1], [2.6, 2.9, 3.6, 3.9, 3.2, 1.7, 0.35])
        self.n = g.normals(self.spine)
        self.len = L[-1]

    def at(self, a: float, theta: float) -> g.Array:
        i = int(np.clip(np.searchsorted(self.a, a), 0, len(self.a) - 1))
        return np.asarray(self.spine[i] + self.n[i] * self.rad[i] * np.sin(theta))


def stretch(d: Design, b: Body, i: int, j: int, back: bool) -> None:
    """One visible stretch of the body between the samples i and j."""
    sp, rad = b.spine[i:j:4], b.rad[i:j:4]
    if len(sp) < 4:
        return
    poly = g.tube(sp, rad)
    d.shape(poly, None, dome=0.65, tone=0.10 + (0.05 if back else 0), rim=0.15, color=SKIN, shadow=0.4)
    a0, a1 = b.a[i], b.a[j - 1]
    bel = [b.at(a, np.radians(46)) for a in np.linspace(a0, a1, len(sp))]
    edge = [b.at(a, np.radians(89)) for a in np.linspace(a1, a0, len(sp))]
    d.shape(np.vstack([bel, edge]), 0.2, dome=0.1, tone=0.05, color=BELLY, shadow=0, rim=0.1)
    step = 1.55 / b.len
    k = int(np.ceil(a0 / step))
    while k * step < a1:
        a = k * step
        r = np.interp(a, b.a, b.rad)
        if r > 0.8:
            d.line(
                g.spline([b.at(a, np.radians(46)), b.at(a + 0.25 * step, np.radians(66)), b.at(a, np.radians(89))]),
                0.22,
                taper=0.1,
            )
        k += 1
    # diamond lattice of scales
    adv = 7.4 / b.len
    sp2 = 1.75 / b.len
    th = np.radians(np.linspace(-88, 46, 14))
    for sgn in (1, -1):
        k = int(np.floor((a0 - adv) / sp2))
        while k * sp2 < a1 + adv:
            base = k * sp2
            pts = np.array([b.at(a, t) for a, t in zip(base + sgn * adv * (th / np.pi), th, strict=True)])
            aa = base + sgn * adv * (th / np.pi)
            ok = (aa > max(a0, 0.012)) & (aa < min(a1, 0.965))
            for run in g.runs(pts, ok):
                d.line(run, 0.17, taper=0.0, vary=0.15)
            k += 1
    period = 8.6 / b.len  # dark saddles along the back, hatched
    for k in range(int(a0 / period), int(a1 / period) + 1):
        c = (k + 0.5) * period
        if c - 0.42 * period < max(a0, 0.03) or c + 0.42 * period > min(a1, 0.95):
            continue
        marks = [
            b.at(c + s_ * period, np.radians(t_))
            for s_, t_ in (
                (-0.40, -12),
                (-0.17, -40),
                (0.0, -66),
                (0.17, -40),
                (0.40, -12),
                (0.17, 12),
                (0, 32),
                (-0.17, 12),
            )
        ]
        poly_s = g.spline(marks, closed=True)
        d.shape(poly_s, 0.26, tone=0.66, dome=0.3, rim=0.1, color=MARK, shadow=0)
        for q in np.linspace(-0.36, 0.36, 9):
            d.line(
                g.arr([b.at(c + (q - 0.03) * period, np.radians(-66)), b.at(c + (q + 0.03) * period, np.radians(32))]),
                0.22,
                taper=0.1,
                clip=poly_s,
            )
    d.line(sp + g.normals(sp) * rad[:, None], 0.42, taper=0.0)
    d.line(sp - g.normals(sp) * rad[:, None], 0.42, taper=0.0)


def head(d: Design, b: Body) -> None:
    """Head with plates, eye and tongue."""
    p, t = b.spine[0], -g.tangents(b.spine)[0]

    def tr(q: g.Pts) -> g.Array:
        return np.asarray(g.arr(q) @ np.array([[t[0], t[1]], [-t[1], t[0]]]) + p)

    tongue = g.spline(tr([(9.6, 0.6), (12.4, 0.9), (14.6, 0.4)]))
    d.line(tongue, 0.4, taper=(0, 0.3))
    d.line(g.spline(tr([(14.4, 0.4), (16.0, -0.4), (17.2, -1.6)])), 0.32, taper=(0, 0.6))
    d.line(g.spline(tr([(14.4, 0.4), (16.2, 0.6), (17.6, 1.4)])), 0.32, taper=(0, 0.6))
    out = g.spline(
        tr(
            [
                (-1.2, -2.62),
                (0.6, -3.1),
                (3.2, -4.1),
                (6.2, -3.4),
                (8.8, -1.9),
                (10.4, -0.2),
                (10.2, 1.4),
                (8.4, 2.5),
                (5.2, 3.5),
                (2.2, 3.9),
                (0.4, 3.1),
                (-1.2, 2.62),
            ]
        )
    )
    d.shape(out, None, dome=0.6, tone=0.15, color=SKIN, shadow=0.5)
    d.line(out, 0.42, taper=0.0)
    d.line(g.spline(tr([(10.3, 0.7), (7.6, 1.2), (4.6, 1.7), (1.4, 2.7)])), 0.32, taper=(0, 0.4))
    d.line(g.spline(tr([(8.8, -1.2), (6.8, -1.9), (4.8, -2.3), (2, -2.2)])), 0.22, taper=0.3)
    e = tr([(6.1, -0.5)])[0]
    d.shape(g.ellipse(e, 1.15, 1.0), 0.3, dome=0.1, color=(214, 176, 70), shadow=0)
    d.shape(g.ellipse(e, 0.34, 0.86), 0.2, fill=True, color=(10, 10, 10), shadow=0)
    d.line(g.spline(tr([(8.0, -0.6), (6.4, -1.9), (4.4, -1.6)])), 0.4, taper=0.3)
    d.dot(tr([(9.4, -0.2)])[0], 0.26)
    for x, y in (
        (3.4, -0.4),
        (2.4, 0.7),
        (1.6, -0.8),
        (0.6, 0.5),
        (0.2, -1.8),
        (-0.6, -0.6),
        (-1.2, 1.0),
        (3.0, -1.4),
        (-1.6, -1.6),
        (1.4, 1.6),
    ):
        d.line(tr(g.ellipse((x, y), 0.75, 0.52)), 0.17, taper=0)
    for x in (8.6, 7.4, 6.2, 5.0, 3.8):
        y = np.interp(x, [3.8, 8.6], [1.9, 1.05])
        d.line(g.arr([tr([(x, y)])[0], tr([(x - 0.1, y + 0.9)])[0]]), 0.18, taper=0.2)


def draw(seed: int = 13) -> Design:
    """About 56 x 106 mm."""
    d = Design(80, 120, seed)
    b = Body()
    idx = np.flatnonzero(np.diff(b.front.astype(int)))
    cuts = [0, *(idx + 1).tolist(), len(b.a)]
    parts = [(i, j, not b.front[(i + j) // 2]) for i, j in pairwise(cuts)]
    for i, j, back in parts:
        if back:
            stretch(d, b, max(0, i - 24), min(len(b.a), j + 24), True)
    branch(d)
    for i, j, back in reversed(parts):
        if not back:
            stretch(d, b, i, j, False)
    head(d, b)
    return d.fitted()
