"""A fern frond with a curled tip and a young spiral beside it."""

import numpy as np

from tests.demo import geom as g
from tests.demo.design import Design, Grad

LEAF = (146, 184, 108)


def pinna(d: Design, base: g.Pts, ang: float, length: float, side: int, tone: float) -> None:
    """One side branch with its leaflets."""
    e = g.polar(base, length, ang)
    v = (e - base) / length
    n = np.array([-v[1], v[0]])
    mid = g.spline([base, base + v * length * 0.55 + n * side * -0.05 * length, e + n * side * 0.09 * length])
    k = max(4, int(length / 2.05))
    t_, n_ = g.tangents(mid), g.normals(mid)
    for i in range(k, -1, -1):
        f = (i + 0.5) / (k + 1)
        j = int(f * (len(mid) - 1))
        L = (0.75 + 0.085 * length) * (1 - f) ** 0.6 * min(1, 0.7 + 1.6 * f) * 1.15 + 0.25
        for q in (1, -1):
            tip = mid[j] + q * n_[j] * L + t_[j] * L * 0.5
            poly, m = g.blade(mid[j] - t_[j] * 0.2, tip, L * 0.66, q * -0.12, widest=0.42, sharp=0.75)
            d.shape(
                poly,
                0.22,
                dome=0.25,
                tone=tone,
                rim=0.05,
                color=LEAF,
                shadow=0.25,
                grads=[Grad(tuple(mid[j]), tuple(tip), 0.75)],
            )
            if L > 1.3:
                d.line(g.part(m, 0.05, 0.8), 0.15, taper=(0, 0.7))
    d.shape(
        g.tube(g.part(mid, 0, 0.97), np.linspace(0.26, 0.1, len(g.part(mid, 0, 0.97)))),
        0.16,
        dome=0,
        rim=0,
        color=(120, 130, 80),
        shadow=0,
    )


def fiddlehead(d: Design, root: g.Pts, c: g.Pts, r: float, a0: float) -> None:
    """A young frond still rolled up."""
    sp = g.spiral(c, r, 0.7, a0, 2.35)
    stem = g.spline(
        [
            root,
            (root[0] + (sp[0][0] - root[0]) * 0.25, root[1] + (sp[0][1] - root[1]) * 0.45),
            sp[0] + [0.4, 4.0],
            sp[0],
        ]
    )
    cl = np.vstack([stem[:-1], sp])
    rad = np.interp(np.linspace(0, 1, len(cl)), [0, 0.4, 0.75, 1], [1.0, 1.05, 0.85, 0.35])
    d.shape(g.tube(cl, rad), 0.3, dome=0.8, color=(122, 142, 84), rim=0.25)
    n = g.normals(cl)
    for i in range(len(stem) + 4, len(cl) - 14, 5):
        side = -n[i] if np.dot(n[i], np.asarray(c) - cl[i]) > 0 else n[i]
        p = cl[i] + side * rad[i]
        lobe, _ = g.blade(p, p + side * 1.5 + g.tangents(cl)[i] * 0.8, 1.3, 0.1)
        d.shape(lobe, 0.2, dome=0.2, color=LEAF, grads=[Grad(tuple(p), tuple(p + side * 1.4), 0.6)])


def draw(seed: int = 5) -> Design:
    """About 58 x 110 mm."""
    d = Design(70, 120, seed)
    rng = d.rng
    fiddlehead(d, (31, 112), (50.5, 66), 5.2, 180)
    fiddlehead(d, (32, 112), (14.5, 86), 3.7, 0)
    main = g.spline([(32, 114), (32.6, 98), (30.2, 78), (28.4, 56), (30.5, 36), (36.5, 20), (43.5, 11.5)])
    curl = g.spiral(
        main[-1] + g.normals(main)[-1] * 4.0, 4.0, 0.8, np.degrees(np.arctan2(*(-g.normals(main)[-1])[::-1])), 1.35
    )
    rachis = np.vstack([main, curl[1:]])
    d.shape(
        g.tube(rachis, np.interp(np.linspace(0, 1, len(rachis)), [0, 0.5, 0.85, 1], [0.85, 0.55, 0.3, 0.2])),
        0.26,
        dome=0.5,
        color=(116, 120, 74),
    )
    n = g.normals(rachis)
    for i in range(len(main) - 2, len(rachis) - 12, 4):
        out = n[i] * (-1 if np.dot(n[i], main[-1] + g.normals(main)[-1] * 4 - rachis[i]) > 0 else 1)
        L = 2.6 * (1 - (i - len(main)) / len(curl)) + 0.5
        lf, _ = g.blade(rachis[i], rachis[i] + out * L + g.tangents(rachis)[i] * L * 0.6, L * 0.5, 0.1)
        d.shape(lf, 0.2, dome=0.3, color=LEAF)
    k = 19
    t_ = g.tangents(main)
    for i in range(k - 1, -1, -1):
        u = i / (k - 1)
        f = 0.26 + 0.735 * (1 - (1 - u) ** 1.22)
        length = 21.0 * (1 - u) ** 0.80 * min(1.0, 0.62 + 2.2 * u) + 2.2
        for q in (1, -1):
            j = int(np.clip(f - (0.010 if q > 0 else 0), 0, 1) * (len(main) - 1))
            dirn = np.degrees(np.arctan2(t_[j][1], t_[j][0]))
            pinna(d, main[j], dirn + q * (70 - 16 * u) + rng.normal(0, 1.5), length * rng.uniform(0.95, 1.05), -q, 0.04)
    d.shape(g.tube(main, np.linspace(0.8, 0.3, len(main))), 0.24, dome=0.6, color=(116, 120, 74), shadow=0.2)
    return d.fitted()
