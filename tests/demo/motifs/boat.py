"""A gaff-rigged sailing boat on a swell, with the sun behind."""

import numpy as np
from numpy.typing import ArrayLike

from tests.demo import geom as g
from tests.demo.design import Color, Design, Grad


def sail(
    d: Design, corners: g.Pts, belly: g.Pts, seams: int, dark: float = 0.6, color: Color = (236, 226, 204)
) -> g.Array:
    """A sail between its corners; each edge bows by the number in `belly` (share of its length)."""
    edges = []
    n = len(corners)
    for i in range(n):
        a, b = np.asarray(corners[i], float), np.asarray(corners[(i + 1) % n], float)
        v = b - a
        edges.append(g.spline([a, (a + b) / 2 + np.array([-v[1], v[0]]) * belly[i], b], step=0.4)[:-1])
    poly = np.vstack(edges)
    lo, hi = poly.min(0), poly.max(0)
    d.shape(
        poly,
        0.38,
        dome=0.1,
        color=color,
        shadow=0.4,
        white=0.2,
        grads=[Grad((hi[0], hi[1]), (lo[0] + 0.45 * (hi[0] - lo[0]), lo[1] + 0.3 * (hi[1] - lo[1])), dark, 1.5)],
    )
    for k in range(1, seams):
        t = k / seams
        y = lo[1] + (hi[1] - lo[1]) * t
        d.line(
            g.spline([(lo[0] - 1, y - 1.0), ((lo[0] + hi[0]) / 2, y + 1.4), (hi[0] + 1, y - 0.4)]),
            0.2,
            taper=0,
            clip=poly,
        )
    for k in range(16):
        t = (k + 0.5) / 16
        y = lo[1] + (hi[1] - lo[1]) * t
        x = hi[0] - 0.0
        d.line(
            g.spline([(x + 1, y + 0.6), (x - 2.2, y + 0.7), (x - d.rng.uniform(4, 8), y + 0.2)]),
            0.17,
            taper=(0, 0.7),
            clip=poly,
        )
    return poly


def draw(seed: int = 15) -> Design:
    """About 74 x 88 mm."""
    d = Design(90, 100, seed)
    rng = d.rng
    sun, R = np.array([47.0, 38.0]), 26.0
    d.shape(
        g.ellipse(sun, R), 0.3, dome=0, rim=0, color=(238, 196, 140), shadow=0, grads=[Grad((47, 64), (47, 40), 0.35)]
    )
    for k in range(34):
        y = sun[1] - R + 1.2 + k * 1.5
        w = np.sqrt(max(0, R * R - (y - sun[1]) ** 2)) - 0.6
        if w <= 1:
            continue
        a = sun[0] - w
        while a < sun[0] + w - 0.8:
            b = min(sun[0] + w, a + rng.uniform(6, 24))
            d.line(g.arr([(a, y), (b, y)]), 0.17, taper=0.2, vary=0.2)
            a = b + rng.uniform(0.8, 3.0) * (1.3 if y < sun[1] else 0.6)
    for x, y, w in ((17, 22, 2.8), (13.5, 27, 2.0), (76, 18, 2.4)):
        for s in (-1, 1):
            d.line(
                g.spline([(x, y), (x + s * w * 0.45, y - w * 0.36), (x + s * w, y - w * 0.1)]), 0.32, taper=(0.1, 0.6)
            )

    def T(p: ArrayLike) -> g.Array:
        return g.rot(p, 5, (44, 68))

    # rigging behind
    for a, b in (((40, 8), (7.5, 62)), ((40, 12), (20, 64)), ((40.4, 9), (72, 63))):
        d.line(T([a, b]), 0.2, taper=0)
    mast = T(g.resample([(40.8, 69.6), (40.0, 6)]))
    d.shape(g.tube(mast, np.linspace(0.8, 0.45, len(mast))), 0.28, dome=0.6, tone=0.2, color=(120, 88, 60))
    sail(d, T([(40, 10), (39, 57.5), (9.5, 62.4)]), (0.02, 0.03, -0.05), 7)
    sail(d, T([(39.2, 22), (38.4, 60.5), (21.5, 64.4)]), (0.03, 0.02, -0.06), 5, 0.7)
    sail(d, T([(41.6, 24), (59.5, 11.8), (72.5, 59), (42, 59.8)]), (0.02, 0.05, 0.05, -0.02), 8)
    sail(d, T([(41.0, 7.6), (58.0, 11.4), (41.6, 22.6)]), (0.02, 0.02, 0.01), 3, 0.5)
    for a, b, w in (
        ((41.2, 24.6), (60.8, 10.6), 0.55),
        ((41.2, 60.8), (75, 60.4), 0.6),
        ((33, 69.2), (5.5, 62.2), 0.7),
    ):
        sp = T(g.resample([a, b]))
        d.shape(g.tube(sp, np.linspace(w, w * 0.6, len(sp))), 0.26, dome=0.6, tone=0.25, color=(120, 88, 60))
    for k in range(9):  # reef points
        for y in (44, 51):
            p = T([(44 + k * 3.0, y + 0.1 * k)])[0]
            d.line(g.arr([p, p + [0.15, 1.3]]), 0.2, taper=(0, 0.4))
    fl = g.spline(
        T([(40, 6), (43, 4.6), (46, 5.8), (49.5, 4.0), (48.5, 6.2), (46, 7.8), (43, 6.8), (40.1, 8)]), closed=True
    )
    d.shape(fl, 0.26, tone=0.55, dome=0.2, color=(176, 60, 50))
    # hull
    sheer = g.spline(T([(17.5, 65.4), (28, 67.9), (44, 69.0), (60, 68.4), (73.5, 65.2)]))
    keel = g.spline(
        T([(73.5, 65.2), (72.4, 70), (69.4, 75), (58, 80.5), (42, 81.5), (29, 78.5), (22, 72.6), (17.5, 65.4)])
    )
    hull = np.vstack([sheer, keel[1:]])
    d.shape(hull, 0.46, dome=0.35, tone=0.26, color=(58, 78, 92), shadow=0.4, grads=[Grad((46, 82), (46, 68), 0.6)])
    for k in range(1, 7):
        t = k / 7
        ln = g.spline([g.at(keel, 1 - 0.055 * k), T([(44, 69 + 10.6 * t)])[0], g.at(keel, 0.045 * k)])
        d.line(ln, 0.2, taper=0.05, clip=hull)
    d.line(np.array(sheer) + [0, 1.35], 0.3, taper=0.05, clip=hull)
    for k in range(7):
        p = T([(31 + k * 5.0, 72.5 - 0.03 * (k - 3) ** 2)])[0]
        d.shape(g.ellipse(p, 0.72), 0.24, fill=True, color=(30, 30, 34), shadow=0)
    cab = T(g.arr([(46, 68.6), (46.6, 65.4), (61, 65.0), (62.4, 68.0)]))
    d.shape(cab, 0.34, dome=0.3, tone=0.1, color=(196, 160, 118))
    for x in (49.5, 53.5, 57.5):
        d.shape(g.ellipse(T([(x, 66.7)])[0], 0.7), 0.2, fill=True, color=(30, 30, 34), shadow=0)

    # sea
    def swell(y: float, amp: float, ph: float, w: float, tone: float, line: float) -> None:
        xs = np.linspace(44 - w, 44 + w, 160)
        env = np.clip((1 - np.abs(xs - 44) / w) * 4, 0, 1)
        top = y - amp * env * np.abs(np.sin(xs * 0.16 + ph)) ** 1.0 + amp * 0.4
        poly = np.vstack([np.stack([xs, top], 1), [(44 + w * 0.75, y + 7), (44 - w * 0.75, y + 7)]])
        d.shape(
            poly,
            None,
            dome=0,
            rim=0,
            tone=tone,
            color=(84, 116, 134),
            shadow=0.25,
            grads=[Grad((44, y - amp), (44, y + 5), 0.45)],
            blur=0.2,
        )
        d.line(np.stack([xs, top], 1), line, taper=0.15)
        for k in range(1, 5):
            for _ in range(5):
                c = rng.uniform(44 - w * (0.9 - 0.1 * k), 44 + w * (0.9 - 0.1 * k))
                m = np.abs(xs - c) < rng.uniform(3, 9)
                seg = np.stack([xs, top + 1.15 * k], 1)[m]
                if len(seg) > 6:
                    d.line(seg, 0.22, taper=0.45)

    swell(77.6, 2.6, 0.4, 36, 0.08, 0.38)
    swell(82.4, 2.8, 1.5, 32, 0.05, 0.36)
    swell(87.2, 2.4, 2.7, 24, 0.03, 0.32)
    return d.fitted()
