"""A fern frond with a curled tip and a young spiral beside it."""

import numpy as np

from tests.demo import geom as g
from tests.demo.design import Design, Grad

LEAF = (146, 184, 108)


def pinna(d: Design, base: g.Pts, ang: float, length: float, side: int, tone: float) -> None:
    """One side branch: a black leaf whose edge is cut into lobes."""
    e = g.polar(base, length, ang)
    v = (e - base) / length
    n = np.array([-v[1], v[0]])
    mid = g.spline([base, base + v * length * 0.55 + n * side * -0.06 * length, e + n * side * 0.10 * length], step=0.1)
    u = g.arclen(mid) / g.arclen(mid)[-1]
    lobes = max(3, round(length / 1.7))
    full = (0.80 + 0.058 * length) * np.clip(u / 0.12, 0.25, 1) * (1 - u) ** 0.65
    cut = 0.58 + 0.42 * np.abs(np.sin(np.pi * lobes * (1 - (1 - u) ** 0.9))) ** 0.7
    lean = 0.35 * full[:, None] * g.tangents(mid)  # lobes lean towards the tip
    ribs = g.normals(mid) * (full * cut)[:, None]
    poly = np.vstack([mid + ribs + lean, (mid - ribs + lean)[::-1]])
    d.shape(
        poly,
        None,
        black=True,
        dome=0.3,
        tone=tone,
        rim=0.1,
        color=LEAF,
        shadow=0.3,
        grads=[Grad(tuple(base), tuple(e), 0.5)],
    )


def curled_leaves(d: Design, line: g.Array, inner: g.Pts, first: int, last: int, size: float, every: float) -> None:
    """Small black leaves on the outer side of a curl."""
    normal, tangent, along = g.normals(line), g.tangents(line), g.arclen(line)
    at, end = along[first], along[last]
    while at < end:
        i = int(np.searchsorted(along, at))
        out = -normal[i] if np.dot(normal[i], np.asarray(inner) - line[i]) > 0 else normal[i]
        f = (at - along[first]) / (end - along[first])
        leaf, _ = g.blade(line[i], line[i] + (out + tangent[i] * 0.5) * size * (1 - 0.5 * f), size * 0.62, 0.1)
        d.shape(leaf, None, black=True, dome=0.2, color=LEAF)
        at += every


def fiddlehead(d: Design, root: g.Pts, c: g.Pts, r: float, a0: float) -> None:
    """A young frond still rolled up."""
    sp = g.spiral(c, r, 0.9, a0, 1.7)
    foot = (root[0] + (sp[0][0] - root[0]) * 0.25, root[1] + (sp[0][1] - root[1]) * 0.45)
    stem = g.spline([root, foot, sp[0] + [0.4, 4.0], sp[0]])
    cl = np.vstack([stem[:-1], sp])
    curled_leaves(d, cl, c, len(stem), len(stem) + int(0.52 * len(sp)), 2.3, 2.0)
    rad = np.interp(np.linspace(0, 1, len(cl)), [0, 0.4, 0.75, 1], [0.55, 0.6, 0.5, 0.3])
    d.shape(g.tube(cl, rad), None, black=True, dome=0.8, color=(122, 142, 84), rim=0.25)
    d.shape(g.ellipse(sp[-1], 0.75), None, black=True, dome=0.4, color=(122, 142, 84))


def draw(seed: int = 5) -> Design:
    """About 58 x 110 mm."""
    return frond(seed, 17)


def frond(seed: int, pairs: int) -> Design:
    """A frond with so many pairs of side branches."""
    d = Design(70, 120, seed)
    rng = d.rng
    fiddlehead(d, (31, 112), (50.5, 66), 5.2, 180)
    fiddlehead(d, (32, 112), (14.5, 86), 3.7, 0)
    main = g.spline([(32, 114), (32.6, 98), (30.2, 78), (28.4, 56), (30.5, 36), (36.5, 20), (43.5, 11.5)])
    curl = g.spiral(
        main[-1] + g.normals(main)[-1] * 4.0, 4.0, 1.0, np.degrees(np.arctan2(*(-g.normals(main)[-1])[::-1])), 1.2
    )
    rachis = np.vstack([main, curl[1:]])
    d.shape(
        g.tube(rachis, np.interp(np.linspace(0, 1, len(rachis)), [0, 0.5, 0.85, 1], [0.85, 0.55, 0.3, 0.2])),
        None,
        black=True,
        dome=0.5,
        color=(116, 120, 74),
    )
    curled_leaves(d, rachis, curl.mean(0), len(main) - 2, len(main) + int(0.55 * len(curl)), 2.2, 1.9)
    stem = g.spline([(32, 112), (33, 124), (37, 150), (40, 190)])
    d.shape(g.tube(stem, 0.9), None, scenery=True, dome=0.7, color=(116, 120, 74))
    k = pairs
    t_ = g.tangents(main)
    for i in range(k - 1, -1, -1):
        u = i / (k - 1)
        f = 0.26 + 0.735 * (1 - (1 - u) ** 1.22)
        length = 21.0 * (1 - u) ** 0.80 * min(1.0, 0.62 + 2.2 * u) + 2.2
        for q in (1, -1):
            j = int(np.clip(f - (0.010 if q > 0 else 0), 0, 1) * (len(main) - 1))
            dirn = np.degrees(np.arctan2(t_[j][1], t_[j][0]))
            pinna(d, main[j], dirn + q * (70 - 16 * u) + rng.normal(0, 1.5), length * rng.uniform(0.95, 1.05), -q, 0.04)
    d.shape(
        g.tube(main, np.linspace(0.62, 0.3, len(main))), None, black=True, dome=0.6, color=(116, 120, 74), shadow=0.2
    )
    return d.fitted()
