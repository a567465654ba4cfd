"""Crescent moon with clouds, stars and hanging drops."""

import numpy as np

from tests.demo import geom as g
from tests.demo.design import Design, Grad


def star(d: Design, c: g.Pts, r: float, n: int = 4, inner: float = 0.2, tilt: float = 0) -> None:
    """A pointed star with concave sides."""
    pts = []
    for i in range(n):
        a = 360 / n * i - 90 + tilt
        rr = r if i % 2 == 0 else r * 0.72
        p0, p1 = g.polar(c, rr, a), g.polar(c, r if i % 2 else r * 0.72, a + 360 / n)
        m = g.polar(c, r * inner, a + 180 / n)
        pts.append(
            g.spline(
                [p0, (p0 + m) / 2 * 0.86 + np.asarray(c) * 0.14, m, (p1 + m) / 2 * 0.86 + np.asarray(c) * 0.14, p1],
                step=0.2,
            )[:-1]
        )
    d.shape(np.vstack(pts), 0.26, dome=0.1, color=(246, 226, 160), white=0.5)
    d.line(g.arr([g.polar(c, r * 0.1, -90 + tilt), g.polar(c, r * 0.7, -90 + tilt)]), 0.18)
    d.line(g.arr([g.polar(c, r * 0.1, 90 + tilt), g.polar(c, r * 0.7, 90 + tilt)]), 0.18)


def cloud(d: Design, puffs: g.Pts, base_y: float, tone: float) -> None:
    """A cloud of overlapping puffs, each with a curl and contour lines."""
    rng = d.rng
    for i, (x, y, r) in enumerate(puffs):
        c = np.array([x, y])
        puff = g.ellipse(c, r)
        puff[:, 1] = np.minimum(puff[:, 1], base_y)
        d.shape(
            puff,
            0.38,
            dome=0.35,
            color=(214, 218, 226),
            tone=tone,
            shadow=0.3,
            white=0.2,
            grads=[Grad((x, base_y), (x, y - r * 0.4), 0.6, 1.5)],
        )
        s = 1 if x < puffs[-1][0] else -1
        for k in range(3):
            rr = r * (0.80 - 0.2 * k)
            a0 = (200 if s > 0 else 250) + 14 * k
            d.line(
                g.ellipse(c + [s * 0.06 * r * k, 0.08 * r * k], rr, rr, a0, a0 + 90 - 16 * k),
                0.28 - 0.04 * k,
                taper=0.45,
                clip=puff,
            )
        if r > 4:
            for k in range(int(r * 3)):
                an, q = rng.uniform(20, 160), r * np.sqrt(rng.uniform(0.2, 0.9))
                p = c + [q * np.cos(np.radians(an)), q * np.sin(np.radians(an)) * 0.8]
                if p[1] < base_y - 0.4:
                    d.dot(p, 0.13)
    x0, x1 = min(p[0] - p[2] for p in puffs) - 3, max(p[0] + p[2] for p in puffs) + 3
    for k in range(6):
        w = (x1 - x0) * (0.5 - 0.055 * k)
        m = (x0 + x1) / 2 + rng.uniform(-4, 4)
        y = base_y + 0.6 + k * 1.25
        d.line(
            g.spline([(m - w, y), (m - w * 0.3, y + 0.5), (m + w * 0.4, y - 0.3), (m + w, y + 0.2)]),
            0.30 - 0.025 * k,
            taper=0.45,
        )


def draw(seed: int = 6) -> Design:
    """About 74 x 92 mm."""
    d = Design(90, 110, seed)
    rng = d.rng
    c, R = np.array([44.0, 42.0]), 31.0
    c2, R2 = c + [11.5, -5.5], 25.2
    # intersection of the two circles gives the horns
    D = np.hypot(*(c2 - c))
    a = (R * R - R2 * R2 + D * D) / (2 * D)
    h = np.sqrt(R * R - a * a)
    u = (c2 - c) / D
    p1, p2 = c + u * a + np.array([-u[1], u[0]]) * h, c + u * a - np.array([-u[1], u[0]]) * h

    def ang(p: g.Array, q: g.Array) -> float:
        return float(np.degrees(np.arctan2(*(p - q)[::-1])))

    a1, a2 = ang(p1, c), ang(p2, c)
    outer = g.ellipse(c, R, R, a1, a2 + 360 if a2 < a1 else a2)
    if not (outer[:, 0].min() < c[0] - R * 0.9):
        outer = g.ellipse(c, R, R, a1, a2 - 360)
    b1, b2 = ang(p2, c2), ang(p1, c2)
    inner = g.ellipse(c2, R2, R2, b1, b2)
    if not (inner[:, 0].min() < c2[0] - R2 * 0.9):
        inner = g.ellipse(c2, R2, R2, b1, b2 - 360)
    if not (inner[:, 0].min() < c2[0] - R2 * 0.9):
        inner = g.ellipse(c2, R2, R2, b1, b2 + 360)
    cres = np.vstack([outer, inner])
    d.shape(
        cres, 0.44, dome=0.05, rim=0.0, color=(238, 224, 178), grads=[Grad((31, 40), (14, 40), 0.75, 1.2)], white=0.15
    )
    for k in range(1500):  # dot-work, denser at the inner edge
        an = rng.uniform(0, 360)
        rr = R * np.sqrt(rng.uniform(0, 1))
        q = c + [rr * np.cos(np.radians(an)), rr * np.sin(np.radians(an))]
        din = np.hypot(*(q - c2)) - R2
        dout = R - np.hypot(*(q - c))
        if din < 0.5 or dout < 0.6:
            continue
        if rng.uniform() < 0.85 * np.exp(-din / 3.4) + 0.18 * np.exp(-dout / 1.2):
            d.dot(q, rng.uniform(0.13, 0.22))
    for x, y, r in (
        (20, 38, 2.9),
        (25.5, 56.5, 2.2),
        (17.6, 47.5, 1.5),
        (26, 26, 1.9),
        (22, 29.5, 1.0),
        (32, 63.6, 1.5),
        (21.6, 52.4, 0.9),
        (30.5, 19.2, 1.1),
    ):
        d.shape(
            g.ellipse((x, y), r, r * 0.9),
            0.26,
            tone=0.18,
            dome=0.0,
            rim=0.2,
            color=(214, 198, 150),
            shadow=0,
            grads=[Grad((x - r, y - r), (x + r * 0.6, y + r * 0.6), 0.6)],
        )
        d.line(g.ellipse((x + 0.15, y + 0.15), r * 0.72, r * 0.64, 150, 290), 0.18)
    cloud(
        d,
        [
            (70.5, 71.4, 4.2),
            (28.5, 71.6, 4.6),
            (64, 68.2, 5.8),
            (36, 69, 6.2),
            (45.5, 65.6, 7.6),
            (56, 66.0, 7.8),
            (50.5, 71, 6.4),
        ],
        74.0,
        0.03,
    )
    cloud(d, [(6.4, 52.4, 2.8), (25, 52.6, 3.2), (11.4, 49.8, 4.2), (18.6, 50.4, 4.6)], 54.0, 0.02)
    star(d, (56, 37), 6.4)
    star(d, (68, 22), 3.6)
    star(d, (47, 26.5), 2.5)
    star(d, (8, 20), 3.2)
    star(d, (72.5, 47), 2.3)
    for x, y in ((62, 28), (51, 45), (64, 52), (12, 28), (4.5, 36), (74, 33), (58, 17), (49, 17.5), (66, 40), (17, 12)):
        d.dot((x, y), rng.uniform(0.26, 0.46))
    for x, y0, y1, kind in ((41, 80.5, 92, 0), (51, 83.5, 102, 1), (61, 81.5, 94, 0)):  # hanging charms
        d.line(g.arr([(x, y0), (x, y1)]), 0.2, taper=0)
        d.dot((x, y0 + (y1 - y0) * 0.5), 0.4)
        if kind:
            star(d, (x, y1 + 4.2), 4.4)
        else:
            p, _ = g.blade((x, y1), (x, y1 + 5.2), 2.6, 0, widest=0.66)
            d.shape(p, 0.28, dome=0.6, color=(206, 214, 226), white=0.3)
    return d.fitted()
