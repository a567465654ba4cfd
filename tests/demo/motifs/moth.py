"""Luna moth, wings spread, with long tails."""

import numpy as np

from tests.demo import geom as g
from tests.demo.design import Design, Grad

GREEN, DARK = (178, 206, 158), (120, 84, 96)


def both(p: g.Pts, s: int) -> g.Array:
    """The points for one side of the page."""
    return g.arr([(s * x, y) for x, y in p])


def eyespot(d: Design, c: g.Pts, r: float, s: int) -> None:
    """A ringed spot."""
    d.shape(g.ellipse(c, r * 1.25, r), 0.26, tone=0.5, dome=0.1, rim=0.3, color=(150, 90, 90), shadow=0)
    d.shape(g.ellipse(c, r * 0.85, r * 0.68), 0.22, dome=0, rim=0, color=(236, 220, 160), shadow=0, white=0.5)
    d.shape(g.ellipse(np.asarray(c) + [s * 0.1, 0.1], r * 0.42), 0.2, fill=True, color=(30, 30, 34), shadow=0)


def wing_veins(d: Design, poly: g.Pts, root: g.Pts, ends: g.Pts, s: int, w: float = 0.2) -> None:
    """Veins from the root that part on the way."""
    for mid, end in ends:
        p = both([root, mid, end], s)
        d.line(g.spline(p), w, taper=(0.0, 0.5), clip=poly)


def edge_hairs(d: Design, curve: g.Pts, root: g.Pts, n: int, length: float, poly: g.Pts) -> None:
    """Fine strokes from an edge towards the root: the shading of the margin."""
    for k in range(n):
        p = g.at(curve, (k + d.rng.uniform(0, 0.9)) / n)
        v = np.asarray(root, float) - p
        v = v / np.hypot(*v)
        L = length * d.rng.uniform(0.4, 1.0)
        d.line(g.arr([p, p + v * L]), 0.16, taper=(0, 0.85), clip=poly)


def draw(seed: int = 11) -> Design:
    """About 100 x 92 mm."""
    d = Design(110, 100, seed)
    for s in (1, -1):
        h = both(
            [
                (1.5, 33),
                (9, 29),
                (20, 30),
                (29.5, 36),
                (32, 44),
                (29.5, 51.5),
                (24, 56),
                (20.6, 63),
                (20.4, 72),
                (24, 82),
                (26.5, 90),
                (24.4, 94),
                (20.2, 92.5),
                (16.4, 85),
                (13.6, 75),
                (11.6, 64),
                (8.6, 55),
                (4, 50),
                (1.5, 46),
            ],
            s,
        )
        poly = g.spline(h, closed=True)
        d.shape(
            poly,
            0.38,
            dome=0.3,
            color=GREEN,
            grads=[Grad((s * 2, 40), (s * 24, 50), 0.75), Grad((s * 25, 94), (s * 18, 66), 0.5)],
        )
        wing_veins(
            d,
            poly,
            (2, 36),
            [
                ((14, 34), (29, 37)),
                ((15, 38), (31.5, 44)),
                ((14, 42), (29.5, 51)),
                ((12, 45), (25, 56)),
                ((10, 48), (20.5, 64)),
                ((8, 48), (13, 64)),
            ],
            s,
        )
        tail = g.spline(both([(16.6, 58), (16.2, 68), (19, 80), (23.4, 90.5)], s))
        d.line(tail, 0.22, taper=(0.3, 0.4))
        d.line(g.spline(both([(14, 56), (13.8, 66), (16.4, 79), (20.6, 90)], s)), 0.18, taper=(0.3, 0.5))
        d.line(
            g.spline(both([(4, 46.5), (12, 52.5), (21, 51.5), (28, 46.5), (29.6, 40)], s)), 0.24, taper=0.3, clip=poly
        )
        edge_hairs(
            d,
            g.spline(both([(29.5, 36), (32, 44), (29.5, 51.5), (24, 56), (20.6, 63), (20.4, 72)], s)),
            (s * 4, 38),
            46,
            4.5,
            poly,
        )
        edge_hairs(d, g.spline(both([(1.5, 46), (4, 50), (8.6, 55), (11.6, 64)], s)), (s * 22, 40), 24, 3.6, poly)
        eyespot(d, (s * 18.5, 43.2), 2.5, s)
    for s in (1, -1):
        f = both(
            [
                (1.2, 21),
                (8, 14.5),
                (20, 7.6),
                (33, 3.2),
                (44, 2.0),
                (50.5, 4.2),
                (52, 7.4),
                (49.2, 13),
                (46.2, 19),
                (44.4, 26.5),
                (41.4, 34.5),
                (33, 38.8),
                (22, 38.2),
                (11, 36.4),
                (1.5, 34.5),
            ],
            s,
        )
        poly = g.spline(f, closed=True)
        d.shape(
            poly,
            0.4,
            dome=0.25,
            color=GREEN,
            shadow=0.6,
            grads=[Grad((s * 2, 27), (s * 27, 25), 0.8), Grad((s * 50, 8), (s * 34, 20), 0.35)],
        )
        wing_veins(
            d,
            poly,
            (2, 27),
            [
                ((20, 15), (49, 7.6)),
                ((22, 18), (47.5, 15)),
                ((23, 22), (45.5, 22)),
                ((21, 26), (43, 30)),
                ((18, 29), (38.5, 37)),
                ((12, 31), (29, 38.6)),
                ((8, 32), (17, 37.4)),
            ],
            s,
        )
        lead = g.spline(both([(1.2, 21), (8, 14.5), (20, 7.6), (33, 3.2), (44, 2.0), (50.5, 4.2)], s))
        inner = g.spline(both([(50.5, 4.2), (43.6, 4.4), (33.4, 5.8), (20.8, 10.4), (9.2, 17.6), (2, 23.8)], s))
        band = np.vstack([lead, inner])
        d.shape(band, 0.28, tone=0.55, dome=0.1, color=DARK, shadow=0.3)
        for k in range(44):
            t = (k + 0.5) / 44
            d.line(g.arr([g.at(lead, t), g.at(inner, 1 - t + 0.02)]), 0.18, taper=0.3, clip=band)
        d.line(
            g.spline(both([(46.5, 8.5), (43.6, 15), (41.2, 22.5), (37.8, 31), (31.5, 36.6)], s)),
            0.26,
            taper=0.25,
            clip=poly,
        )
        d.line(
            g.spline(both([(45.2, 8.6), (42.4, 15), (40.0, 22), (36.6, 30.2), (30.5, 36)], s)),
            0.16,
            taper=0.25,
            clip=poly,
        )
        edge_hairs(
            d,
            g.spline(both([(51.6, 8), (49.2, 13), (46.2, 19), (44.4, 26.5), (41.4, 34.5), (33, 38.8)], s)),
            (s * 5, 24),
            60,
            4.2,
            poly,
        )
        edge_hairs(d, g.spline(both([(2, 25), (3, 30), (4, 35)], s)), (s * 30, 22), 22, 9, poly)
        eyespot(d, (s * 27.5, 17.2), 2.3, s)
        d.line(g.spline(both([(27.5, 14.4), (25.2, 10.6), (22.5, 9.4)], s)), 0.22, taper=0.4, clip=poly)
    for s in (1, -1):  # feathered antennae
        a = g.spline(both([(1.2, 15), (5, 10.6), (10.5, 7.0), (14.5, 1.5)], s))
        n_, t_ = g.normals(a), g.tangents(a)
        for k in range(26):
            i = int((0.04 + 0.95 * k / 26) * (len(a) - 1))
            L = 3.0 * np.sin(np.pi * (0.06 + 0.92 * k / 26)) ** 0.7
            for q in (1, -1):
                e = a[i] + q * n_[i] * L * 0.85 + t_[i] * L * 0.6
                d.line(g.spline([a[i], (a[i] + e) / 2 + q * n_[i] * 0.12, e]), 0.2, taper=(0, 0.6))
        d.line(a, 0.36, taper=(0, 0.5))
    half = [
        (0, 13.0),
        (2.2, 13.4),
        (3.0, 16),
        (4.7, 20),
        (5.2, 26),
        (4.4, 32),
        (4.0, 38),
        (3.3, 45),
        (1.8, 50.5),
        (0, 52),
    ]
    body = g.spline(half + [(-x, y) for x, y in half[-2:0:-1]], closed=True)
    d.shape(body, None, dome=0.7, color=(238, 232, 214), shadow=0.7)
    rng = d.rng
    for i in range(0, len(body) - 1, 2):
        p = body[i]
        o = np.array([np.sign(p[0]) * 0.8, 0.75])
        d.line(g.spline([p - o * 0.8, p, p + o * rng.uniform(0.3, 0.9) + [0, 0.3]]), 0.24, taper=(0.2, 0.6))
    for k in range(210):
        y = rng.uniform(15, 51)
        wmax = np.interp(y, [13, 20, 26, 32, 45, 52], [1.5, 4.3, 4.8, 4.0, 2.9, 0.3])
        x = rng.uniform(-1, 1) * wmax
        side = 0.35 + 0.65 * abs(x) / max(wmax, 0.1)
        if rng.uniform() > side:
            continue
        d.line(g.spline([(x, y), (x * 1.04, y + 0.9), (x * 1.12, y + 1.9)]), 0.2, taper=(0.2, 0.6), clip=body)
    for y in (33.5, 37, 40.3, 43.4, 46.2, 48.6):
        wm = np.interp(y, [32, 45, 52], [4.2, 3.1, 0.4])
        for k in range(9):
            x = (k - 4) / 4.4 * wm
            y0 = y + 0.9 * (1 - (x / wm) ** 2)
            d.line(g.arr([(x, y0), (x * 1.03, y0 + 1.0)]), 0.24, taper=(0, 0.7))
    for s in (1, -1):
        d.shape(g.ellipse((s * 2.0, 15.2), 0.85), 0.22, fill=True, color=(30, 26, 24))
    return d.fitted()
