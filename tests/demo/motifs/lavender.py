"""A small bunch of lavender, tied with a ribbon."""

import numpy as np

from tests.demo import geom as g
from tests.demo.design import Design, Grad

STEM, FLOWER, LEAF, RIBBON = (104, 128, 88), (128, 108, 168), (120, 142, 104), (214, 200, 180)
KNOT = np.array([30.0, 66.0])
# tip of each stem, and how far its middle bows sideways
STEMS = (((9, 17), -3.0), ((50, 15), 3.4), ((19, 8), -1.2), ((41, 6), 1.8), ((30, 1), 0.4))


def floret(d: Design, base: g.Points, angle: float, size: float) -> None:
    """One small bud with its calyx."""
    tip = g.polar(base, size, angle)
    poly, mid = g.blade(base, tip, size * 0.56, 0.0, widest=0.58, sharp=0.8)
    d.shape(poly, 0.26, dome=0.4, color=FLOWER, shadow=0.4, grads=[Grad(tuple(mid[0]), tuple(mid[-1]), 0.6)])
    d.line(g.part(mid, 0.05, 0.62), 0.2, taper=(0, 0.6))


def spike(d: Design, stem: g.Points, length: float) -> None:
    """The whorls of florets, from the lowest up, so that each hides the foot of the one above."""
    s = g.arclen(stem)[-1]
    direction = g.tangents(stem)
    whorls = int(length / 2.9)
    for k in range(whorls + 1):
        f = k / whorls
        i = min(len(stem) - 1, int((1 - (length * (1 - f)) / s) * (len(stem) - 1)))
        way = np.degrees(np.arctan2(direction[i, 1], direction[i, 0]))
        size = 4.7 - 1.7 * f
        for turn in (-58, 58, -30, 30, 0):
            if f > 0.93 and abs(turn) > 40:
                continue
            floret(d, stem[i], way + turn + d.rng.normal(0, 5), size * d.rng.uniform(0.9, 1.08))
    lone = int((1 - (length + 5.5) / s) * (len(stem) - 1))
    way = np.degrees(np.arctan2(direction[lone, 1], direction[lone, 0]))
    for turn in (-46, 46):
        floret(d, stem[lone], way + turn, 3.6)


def leaf(d: Design, base: tuple[float, float], tip: tuple[float, float], bend: float) -> None:
    """A narrow leaf with its midrib."""
    poly, mid = g.blade(base, tip, 2.6, bend, widest=0.4)
    d.shape(poly, 0.28, dome=0.3, color=LEAF, grads=[Grad(tuple(mid[0]), tuple(mid[-1]), 0.6)], shadow=0.4)
    d.line(g.part(mid, 0, 0.9), 0.2, taper=(0, 0.6))


def ribbon(d: Design) -> None:
    """Two loops, two ends, and the wrap over the stems."""
    x, y = KNOT
    for s in (1, -1):
        end = g.spline([(x, y), (x + s * 4, y + 6), (x + s * 3, y + 13), (x + s * 7, y + 20)])
        width = np.interp(np.linspace(0, 1, len(end)), [0, 0.3, 1], [0.6, 1.3, 1.5])
        d.shape(g.tube(end, width), 0.28, dome=0.5, color=RIBBON, shadow=0.3)
        loop = g.spline(
            [
                (x, y),
                (x + s * 5, y - 4.6),
                (x + s * 11, y - 4.2),
                (x + s * 12.4, y + 0.4),
                (x + s * 8, y + 3.4),
                (x + s * 3, y + 1.6),
            ],
            closed=True,
        )
        d.shape(loop, 0.32, dome=0.5, color=RIBBON, shadow=0.4, grads=[Grad((x, y), (x + s * 9, y), 0.6)])
        inner = g.spline([(x + s * 2.6, y - 0.2), (x + s * 6, y - 2.6), (x + s * 9.6, y - 2.0)])
        d.line(inner, 0.22, taper=(0.1, 0.6))
        d.line(g.spline([(x + s * 2.6, y + 0.5), (x + s * 5.4, y + 0.8), (x + s * 8, y + 0.4)]), 0.2, taper=(0.1, 0.7))
    wrap = g.spline(
        [(x - 3.2, y - 2), (x, y - 2.6), (x + 3.2, y - 2), (x + 3.4, y + 2), (x, y + 2.6), (x - 3.4, y + 2)],
        closed=True,
    )
    d.shape(wrap, 0.34, dome=0.5, color=RIBBON, shadow=0.5)
    for q in (-0.8, 0.8):
        d.line(g.spline([(x - 3, y + q), (x, y + q - 0.4), (x + 3, y + q)]), 0.2, taper=0.4)


def draw(seed: int = 29) -> Design:
    """About 48 x 92 mm."""
    d = Design(60, 100, seed)
    feet = ((38, 90), (23, 91), (34, 93), (27, 94), (30, 92))
    stems = []
    for ((tx, ty), bow), foot in zip(STEMS, feet, strict=True):
        through = (30 + (tx - 30) * 0.06, 66)
        middle = ((through[0] + tx) / 2 + bow * 0.6, (66 + ty) / 2)
        stems.append(g.spline([foot, through, middle, (tx, ty)]))
    for base, tip, bend in (
        ((28, 60), (12, 45), 0.10),
        ((32, 60), (48, 44), -0.10),
        ((29, 57), (21, 41), 0.08),
        ((31, 58), (39, 42), -0.08),
    ):
        leaf(d, base, tip, bend)
    for stem in stems:
        d.shape(g.tube(stem, 0.46), 0.26, dome=0.5, color=STEM, shadow=0.3)
    for stem, length in zip(stems, (21, 22, 23, 24, 25), strict=True):
        spike(d, stem, length)
    ribbon(d)
    return d.fitted()
