"""A cluster of mushrooms with gills, moss and grass."""

import numpy as np
from numpy.typing import ArrayLike

from tests.demo import geom as g
from tests.demo.design import Color, Design, Grad


def mushroom(
    d: Design,
    foot: g.Pts,
    top: g.Pts,
    cap_w: float,
    cap_h: float,
    tilt: float,
    spots: bool,
    color: Color,
    stem_w: float,
) -> None:
    """One mushroom seen slightly from below."""
    rng = d.rng
    f, t = np.asarray(foot, float), np.asarray(top, float)
    stem = g.spline([f, f + (t - f) * 0.4 + [(t - f)[0] * -0.35, 0], t])
    rad = np.interp(np.linspace(0, 1, len(stem)), [0, 0.12, 0.5, 1], [1.5, 1.15, 0.85, 0.72]) * stem_w
    poly = g.tube(stem, rad)
    d.shape(poly, 0.34, dome=0.6, color=(226, 214, 194), grads=[Grad(tuple(t), tuple(t + (f - t) * 0.4), 0.7)])
    for k in range(7):
        off = (k - 3) / 3.6
        seg = g.part(stem, rng.uniform(0.02, 0.3), rng.uniform(0.55, 0.95))
        d.line(seg + g.normals(seg) * off * stem_w * 0.95, 0.18, taper=0.5, clip=poly)
    under = g.ellipse(t, cap_w, cap_w * 0.27)

    def R(p: ArrayLike) -> g.Array:
        return g.rot(p, tilt, t)

    d.shape(R(under), 0.3, tone=0.28, dome=0.2, rim=0.2, color=(196, 172, 146))
    hub = t + [0, cap_w * 0.02]
    for k in range(46):
        a = 360 / 46 * k + rng.uniform(-1.5, 1.5)
        e = R([t[0] + cap_w * 0.98 * np.cos(np.radians(a)), t[1] + cap_w * 0.265 * np.sin(np.radians(a))])[0]
        r0 = 0.28 if k % 2 else 0.5
        d.line(g.arr([hub + (e - hub) * r0, e]), 0.18, taper=(0.2, 0.2))
    # the stem's top stands in front of the back gills
    tp = g.part(stem, 0.72, 1.0)
    rr = np.interp(np.linspace(0, 1, len(tp)), [0, 1], [0.8, 0.72]) * stem_w
    pol = g.tube(tp, rr)
    d.shape(pol, None, dome=0.6, tone=0.35, color=(226, 214, 194), shadow=0.3)
    m = len(tp)
    d.line(pol[:m], 0.3, taper=(0, 0.3))
    d.line(pol[m:], 0.3, taper=(0.3, 0))
    # cap
    th = np.radians(np.linspace(180, 360, 60))
    dome = np.stack(
        [t[0] + cap_w * 1.02 * np.cos(th), t[1] + cap_h * np.sign(np.sin(th)) * np.abs(np.sin(th)) ** 0.86], 1
    )
    lip = np.stack(
        [
            t[0] + cap_w * 1.02 * np.cos(np.radians(np.linspace(0, 180, 60))),
            t[1] - cap_w * 0.02 - cap_w * 0.16 * np.sin(np.radians(np.linspace(0, 180, 60))),
        ],
        1,
    )
    lip[:, 1] += np.sin(np.linspace(0, 9 * np.pi, 60)) * cap_w * 0.008
    cap = R(np.vstack([dome, lip]))
    d.shape(cap, 0.42, dome=0.85, rim=0.14, color=color, tone=0.08, shadow=0.7, white=0.1)
    for k in range(40):  # fine strokes from the rim upwards
        a = 186 + 168 * k / 39
        c = np.cos(np.radians(a))
        ln = rng.uniform(0.08, 0.22) * (1.4 if a > 290 else 1)
        p0 = np.array([t[0] + cap_w * 0.99 * c, t[1] - cap_w * 0.16 * np.sqrt(max(0, 1 - c * c)) - 0.25])
        p1 = np.array([t[0] + cap_w * 0.92 * c * (1 - ln * 0.4), p0[1] - cap_h * ln * (0.6 + 0.6 * (1 - abs(c)))])
        d.line(R(g.arr([p0, p1])), 0.18, taper=(0, 0.8), clip=cap)
    if spots:
        for k in range(15):
            a, r = k * 137.5, np.sqrt((k + 0.5) / 15)
            x = t[0] + cap_w * 0.86 * r * np.cos(np.radians(a))
            y = t[1] - cap_h * (0.52 + 0.36 * r * np.sin(np.radians(a)))
            if ((x - t[0]) / cap_w) ** 2 + ((y - t[1]) / cap_h) ** 2 > 0.86 or y > t[1] - cap_h * 0.20:
                continue
            q = (x - t[0]) / cap_w
            sz = cap_w * rng.uniform(0.055, 0.10)
            c0 = R([(x, y)])[0]
            w = g.wobble(18, rng, 0.16, 3)
            an = np.linspace(0, 360, 18, endpoint=False)
            sp = g.spline(
                [
                    c0
                    + g.rot(
                        [[sz * (1 - 0.5 * q * q) * np.cos(np.radians(z)) * m_, sz * 0.8 * np.sin(np.radians(z)) * m_]],
                        tilt,
                    )[0]
                    for z, m_ in zip(an, w, strict=True)
                ],
                closed=True,
            )
            d.shape(sp, 0.24, dome=0.5, color=(244, 236, 220), shadow=0.35, white=0.5)
    else:
        for k in range(26):
            x = rng.normal(0, 0.3) * cap_w
            y = -cap_h * rng.uniform(0.55, 0.95)
            if (x / cap_w) ** 2 + (y / cap_h) ** 2 < 0.8:
                d.dot(R([(t[0] + x, t[1] + y)])[0], rng.uniform(0.14, 0.26))


def grass(d: Design, x: float, y: float, h: float, lean: float) -> None:
    """One blade of grass."""
    poly, mid = g.blade((x, y), (x + lean, y - h), 1.1, 0.12 * np.sign(lean), widest=0.3)
    d.shape(poly, 0.26, dome=0.3, color=(104, 124, 74), grads=[Grad((x, y), (x + lean, y - h), 0.6)])
    d.line(g.part(mid, 0.1, 0.8), 0.14)


def draw(seed: int = 4) -> Design:
    """About 66 x 86 mm."""
    d = Design(80, 100, seed)
    rng = d.rng
    for gx, gh, lean in ((14, 17, -6), (18, 24, -4), (60, 20, 6), (56, 14, 5), (66, 12, 5)):
        grass(d, gx, 84, gh, lean)
    mushroom(d, (27, 84), (17.5, 51), 11.5, 10.0, -9, False, (158, 112, 78), 1.9)
    mushroom(d, (47, 84), (57.5, 44), 13.0, 13.5, 10, True, (176, 74, 58), 2.2)
    mushroom(d, (37, 86), (35, 30), 17.5, 19.5, -3, True, (168, 60, 48), 3.0)
    mushroom(d, (53, 86), (62.5, 67), 7.6, 7.6, 14, False, (170, 126, 86), 1.5)
    mushroom(d, (25, 87), (21.5, 71.5), 6.6, 7.8, -8, False, (170, 126, 86), 1.5)
    hump = g.spline(
        [
            (8, 89.5),
            (13, 84.5),
            (20, 83.4),
            (27, 81.6),
            (36, 82.6),
            (45, 81.2),
            (54, 82.8),
            (63, 83.6),
            (70, 88),
            (72, 90.5),
            (58, 92.6),
            (40, 93.6),
            (20, 92.6),
        ],
        closed=True,
    )
    d.shape(hump, None, tone=0.2, dome=0.5, color=(96, 110, 66), shadow=0.4, blur=0.3)
    for k in range(210):  # moss
        x = rng.uniform(9, 71)
        y = (
            np.interp(x, [8, 14, 27, 45, 60, 72], [89, 84.6, 82.6, 82.4, 83.8, 90])
            + rng.uniform(0, 9) * (1 - abs(x - 40) / 40) ** 0.6
        )
        h = rng.uniform(0.9, 2.0)
        d.line(
            g.spline([(x, y), (x + rng.normal(0, 0.25), y - h * 0.6), (x + rng.normal(0, 0.6), y - h)]),
            0.24,
            taper=(0, 0.7),
        )
    for gx, gh, bend in ((31, 13, -3.5), (42, 11, 3.0), (47, 15, 2.0), (16, 10, -4.0), (64, 9, 4.0), (34, 8, 1.5)):
        grass(d, gx, 88, gh, bend)
    for x, y, r in ((20, 91, 1.6), (28, 92, 1.1), (51, 92, 1.7), (58, 91, 1.2), (39, 93, 1.4)):
        d.shape(g.ellipse((x, y), r * 1.25, r * 0.85, tilt=rng.uniform(-15, 15)), 0.28, dome=0.7, color=(150, 144, 134))
    return d.fitted()
