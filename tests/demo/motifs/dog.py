"""Long-haired dog, a frontal portrait: head a little to one side, ears in long waves, a pale bib."""

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from tests.demo import geom as g
from tests.demo.design import Color, Design, Grad, Shape, Stroke

TILT_DEG, CHIN = 8.0, (0.0, 60.0)
COAT, PALE, DARK, NOSE = (170, 104, 60), (238, 228, 212), (104, 62, 38), (44, 34, 32)
SIDES = (1, -1)
# Hair grows away from the bridge of the nose.
GROWTH = Grad((0.0, 41.0), (0.0, 60.0), 0.0, radial=True)


def both(half: list[tuple[float, float]]) -> g.Array:
    """Close an outline whose right half runs from the top to the chin."""
    return g.spline(half + [(-x, y) for x, y in half[-2:0:-1]], closed=True)


def side(points: g.Pts, s: int) -> g.Array:
    """Give a smooth line, on the other side for s = -1."""
    return g.spline(g.arr(points) * [s, 1])


def hairs(d: Design, edge: g.Array, way: tuple[float, float], length: float, every: float = 1.5) -> None:
    """Short hairs that cross an edge between two colours of the coat; `way` is where they point."""
    count = max(2, int(g.arclen(edge)[-1] / every))
    for k in range(count):
        p = g.at(edge, (k + 0.5) / count)
        v = np.array(way) + d.rng.normal(0, 0.12, 2)
        v = v / np.hypot(*v) * length * d.rng.uniform(0.75, 1.2)
        bend = np.array([-v[1], v[0]]) * 0.10
        d.line(g.spline([p - v * 0.4, p + v * 0.1 + bend, p + v * 0.6]), 0.24, taper=(0.3, 0.6))


def waves(d: Design, start: g.Array, end: g.Array, count: int, sway: float, line: float = 0.26) -> None:
    """Long hair between two edges: each strand swings out and back, and shorter ones lie between."""
    for k in range(count):
        f = (k + 0.5) / count
        a, b = g.at(start, f), g.at(end, f)
        v = b - a
        n = np.array([-v[1], v[0]]) / np.hypot(*v) * sway * (1 - 0.5 * f)
        mid = g.spline([a, a + v * 0.25 + n, a + v * 0.5 - n * 0.5, a + v * 0.75 + n * 0.9, b])
        first, last = (0.03, 0.96) if k % 2 else (d.rng.uniform(0.12, 0.3), d.rng.uniform(0.62, 0.84))
        d.line(g.part(mid, first, last), line if k % 2 else 0.22, taper=(0.2, 0.5))


def lock(
    d: Design, root: tuple[float, float], tip: tuple[float, float], width: float, bend: float, dark: float, color: Color
) -> None:
    """A lock of hair: broad in the middle, its pointed end curled to one side."""
    a, b = np.array(root), np.array(tip)
    v = b - a
    n = np.array([-v[1], v[0]]) * bend
    mid = g.spline([a, a + v * 0.35 + n, a + v * 0.72 - n * 0.4, b])
    u = np.linspace(0, 1, len(mid))
    half = width / 2 * np.clip(0.75 + u, 0, 1) * (1 - u**2.4) ** 0.8 + 0.02
    d.shape(
        g.tube(mid, half),
        None,
        dome=0.3,
        tone=0.06 if color == PALE else 0.26,
        rim=0.2,
        color=color,
        shadow=0.45,
        grads=[Grad(tuple(a), tuple(b), dark)],
    )
    n_, k = g.normals(mid), len(mid)
    d.line((mid + n_ * half[:, None])[int(0.22 * k) :], 0.36, taper=(0.4, 0.1))
    d.line((mid - n_ * half[:, None])[int(0.34 * k) :], 0.36, taper=(0.4, 0.1))
    d.line(g.part(mid, 0.2, 0.8), 0.24, taper=(0.3, 0.5))


def ear(d: Design, s: int) -> None:
    """A long hanging ear, wavy, that ends in locks."""
    outer = side(
        [(11.5, 11.2), (16.5, 9.6), (22.0, 13.0), (26.0, 21.5), (27.4, 33), (29.8, 43), (29.0, 53), (29.6, 60)], s
    )
    low = side([(29.6, 60), (23, 62), (17.4, 58)], s)
    inner = side([(17.4, 58), (17.0, 52), (16.0, 46), (17.2, 37), (16.6, 27), (15.2, 18.5), (11.5, 11.2)], s)
    for root, tip, width, bend in (
        ((26.8, 50), (30.4, 69.5), 6.0, 0.10),
        ((19.2, 49), (16.6, 67.5), 5.2, -0.10),
        ((24.6, 51), (26.4, 77.0), 6.2, -0.09),
        ((21.2, 50), (20.4, 73.5), 6.0, 0.09),
    ):
        lock(d, (root[0] * s, root[1]), (tip[0] * s, tip[1]), width, bend * s, 0.4, COAT)
    poly = np.vstack([outer, low[1:], inner[1:-1]])
    d.shape(
        poly,
        None,
        dome=0.4,
        tone=0.32,
        rim=0.0,
        color=COAT,
        shadow=0.4,
        blur=0.9,
        grads=[Grad((s * 14.0, 16.0), (s * 22.0, 40.0), 0.42)],
    )
    d.line(outer, 0.46, taper=(0.1, 0.05))
    d.line(inner, 0.40, taper=(0.05, 0.1))
    root = side([(13.4, 15.5), (17, 13.6), (21.0, 16.4), (24.4, 22.5)], s)
    foot = side([(18.6, 57), (21.5, 60.5), (25.0, 61.4), (28.6, 58.5)], s)
    waves(d, root, foot, 9, s * 2.0)


def eye(d: Design, s: int) -> None:
    """A round dark eye under a soft lid, with the window of the studio in it."""
    c = np.array([s * 8.3, 30.6])
    socket = g.ellipse(c + [0, 0.2], 4.4, 3.7)
    d.shape(socket, None, tone=0.5, dome=0, rim=0, blur=0.8, color=DARK, shadow=0, stencil=False)
    lid = [(4.7, 31.9), (6.1, 29.4), (8.5, 28.2), (10.7, 29.2), (12.1, 31.6), (10.6, 33.0), (8.3, 33.5), (6.2, 33.0)]
    d.shape(g.spline(g.arr(lid) * [s, 1], closed=True), 0.44, fill=True, color=(30, 20, 16), shadow=0)
    iris = g.ellipse(c + [0, 0.2], 1.95, 1.9)
    d.shape(iris, None, tone=0.9, dome=0.1, rim=0.3, color=(70, 40, 22), shadow=0, fill=True)
    d.line(g.ellipse(c + [0.1, 0.4], 1.75, 1.7, 20, 120), 0.34, white=True)
    d.shape(g.ellipse(c + [-0.8, -0.75], 0.72, 0.66), None, dome=0, rim=0, white=1, color=(255, 255, 255), shadow=0)
    d.line(side([(4.2, 30.6), (6.0, 27.6), (8.7, 26.5), (11.4, 27.7), (13.0, 30.2)], s), 0.28, taper=0.4)
    d.line(side([(5.6, 34.6), (8.3, 35.3), (11.0, 34.5)], s), 0.26, taper=0.45)
    d.line(side([(4.7, 31.9), (3.7, 33.2), (3.5, 34.6)], s), 0.3, taper=(0, 0.6))
    for k in range(5):  # the brow
        p = np.array([s * (5.6 + 1.5 * k), 23.6 - 1.0 * np.sin(k / 4 * np.pi)])
        d.line(g.spline([p, p + [s * 0.5, -1.5], p + [s * 1.7, -2.7]]), 0.26, taper=(0.15, 0.6))


def muzzle(d: Design) -> None:
    """The pale muzzle with lips, whisker dots and chin."""
    chin = g.spline([(-5.4, 58), (-4.0, 61.6), (0, 63.0), (4.0, 61.6), (5.4, 58)])
    d.shape(np.vstack([chin, [(0, 55)]]), None, dome=0.5, tone=0.12, color=PALE, shadow=0.5)
    d.line(chin, 0.34, taper=0.25)
    form = both(
        [
            (0, 33),
            (3.0, 34),
            (4.8, 38),
            (7.4, 42.5),
            (10.6, 46.4),
            (12.2, 51),
            (11.4, 56),
            (8.0, 59),
            (3.4, 58.4),
            (0, 55.4),
        ]
    )
    d.shape(form, None, dome=0.5, rim=0.1, color=PALE, shadow=0.55, white=0.2, grads=[replace(GROWTH)])
    for s in SIDES:
        lip = side([(0, 51.0), (0, 54.8), (2.2, 57.4), (5.6, 58.7), (9.0, 57.8), (11.4, 54.6), (12.3, 50.6)], s)
        d.line(lip, 0.44, taper=(0, 0.35))
        d.line(side([(3.3, 35.2), (4.4, 38.6), (6.2, 41.6)], s), 0.3, taper=0.5)
        d.line(side([(10.8, 46.2), (12.2, 48.0), (12.8, 50.2)], s), 0.26, taper=0.5)
        for x, y in (
            (4.4, 51.6),
            (6.4, 50.8),
            (8.4, 51.0),
            (5.2, 53.9),
            (7.3, 53.4),
            (9.3, 53.6),
            (6.6, 56.0),
            (8.6, 55.8),
        ):
            d.dot((s * x, y), 0.24)
        for y0, x1, y1 in ((51.4, 20.5, 50.0), (53.6, 20.0, 55.4), (55.4, 17.6, 59.6)):
            d.line(side([(9.6, y0), (14, (y0 + y1) / 2 - 0.9), (x1, y1)], s), 0.24, taper=(0.1, 0.7))
    d.line(g.spline([(-3.6, 60.2), (0, 60.9), (3.6, 60.2)]), 0.26, taper=0.5)


def nose(d: Design) -> None:
    """Leather with its light on top, nostrils and the groove below."""
    form = both([(0, 42.9), (3.2, 42.3), (5.5, 43.5), (6.2, 45.8), (4.8, 48.1), (2.2, 50.1), (0, 51.2)])
    d.shape(form, 0.46, tone=0.82, dome=0.2, rim=0.15, color=NOSE, shadow=0.4)
    d.shape(
        g.ellipse((-0.6, 44.2), 2.9, 0.75),
        None,
        dome=0,
        rim=0,
        tone=0.25,
        blur=0.5,
        color=(150, 140, 138),
        stencil=False,
        shadow=0,
    )
    for s in SIDES:
        hole = g.spline(
            g.arr([(1.9, 47.5), (2.6, 46.0), (4.2, 45.4), (5.2, 46.2), (4.5, 47.3), (3.2, 47.3)]) * [s, 1], closed=True
        )
        d.shape(hole, 0.26, fill=True, color=(16, 12, 12), shadow=0)
        d.line(side([(1.4, 44.0), (3.2, 43.8), (4.6, 44.5)], s), 0.24, taper=0.5)
    d.line(g.arr([(0, 47.8), (0, 50.8)]), 0.32, taper=(0.5, 0))


def bib(d: Design) -> None:
    """The long hair of throat and chest, in three rows of locks."""
    rng = d.rng
    poly = g.spline(
        [(-13.5, 55), (-15.0, 66), (-11, 78), (0, 84), (11, 78), (15.0, 66), (13.5, 55), (0, 50)], closed=True
    )
    d.shape(poly, None, dome=0, rim=0, color=PALE, shadow=0)
    for xs, y0, length in (
        ((-6.5, 6.0, -2.6, 2.4), 70, 24),
        ((-11.5, 11.5, -8.0, 7.6, -4.0, 3.8, 0.0), 61, 22),
        ((-13.0, 13.0, -9.6, 9.4, -6.0, 6.2, -2.0, 2.2), 56, 15),
    ):
        for x in xs:
            long = length * (1 - 0.026 * abs(x)) * rng.uniform(0.93, 1.07)
            lock(d, (x, y0), (x * 0.84 + rng.uniform(-0.8, 0.8), y0 + long), 4.6, rng.choice([-0.08, 0.08]), 0.62, PALE)


def head(d: Design) -> None:
    """Skull and cheeks, tan with a pale blaze; hair where the colours meet."""
    outline = both(
        [
            (0, 7.4),
            (5.5, 6.6),
            (11.0, 8.6),
            (15.2, 14.0),
            (17.0, 22),
            (17.0, 31),
            (16.0, 39),
            (14.8, 46),
            (13.6, 52),
            (10.0, 58.6),
            (4, 61.6),
            (0, 62),
        ]
    )
    d.shape(
        outline,
        None,
        dome=0.45,
        tone=0.24,
        color=COAT,
        shadow=0.6,
        blur=0.25,
        grads=[
            replace(GROWTH),
            Grad((17, 30), (11, 30), 0.35),
            Grad((-17, 30), (-11, 30), 0.35),
            Grad((0, 63), (0, 54), 0.4),
        ],
    )
    blaze = both(
        [
            (0, 7.2),
            (2.6, 9),
            (2.3, 17),
            (2.2, 24),
            (3.6, 30),
            (6.2, 36.5),
            (10.6, 42),
            (12.6, 49),
            (10.4, 57),
            (4.5, 60.6),
            (0, 61),
        ]
    )
    d.shape(
        blaze,
        None,
        dome=0.2,
        color=PALE,
        shadow=0,
        blur=0.7,
        rim=0.1,
        stencil=False,
        white=0.25,
        grads=[replace(GROWTH)],
    )
    for s in SIDES:
        d.line(side([(1.0, 9.6), (4.4, 6.8), (8.4, 6.9), (12.2, 9.6)], s), 0.4, taper=(0.3, 0.1))
        hairs(d, side([(2.7, 10.5), (2.4, 17), (2.3, 24), (3.3, 28.6)], s), (s * 0.55, -0.85), 2.2, 1.7)
        hairs(d, side([(5.9, 37.0), (9.0, 41.0), (12.4, 44.4)], s), (s * 0.9, 0.35), 2.2, 1.7)
        hairs(d, side([(6.2, 13.6), (9.6, 14.8), (12.6, 18.2)], s), (s * 0.75, 0.3), 2.8, 2.0)
        hairs(d, side([(5.6, 18.8), (9.0, 19.2), (13.0, 22.6)], s), (s * 0.8, 0.1), 2.4, 2.2)
        hairs(d, side([(14.4, 27), (14.2, 33), (12.8, 38)], s), (s * 0.35, 0.9), 3.0, 1.9)
        hairs(d, side([(14.6, 41.5), (14.2, 47), (13.0, 52.5)], s), (s * 0.2, 1.0), 3.4, 1.4)
        hairs(d, side([(11.2, 56.4), (8.4, 59.8), (5.6, 61.6)], s), (s * 0.1, 1.0), 3.0, 1.5)
    for x, lean in ((-1.6, -0.5), (-0.5, 0.1), (0.7, 0.6)):  # a tuft on top
        d.line(g.spline([(x, 9.6), (x + lean * 0.4, 7.0), (x + lean * 2.4, 4.8)]), 0.3, taper=(0.1, 0.6))


def tilt(items: list[Shape | Stroke]) -> None:
    """Lean the head to one side, as a dog does that is spoken to."""

    def turned(p: ArrayLike) -> g.Points:
        return g.rot(p, TILT_DEG, CHIN)

    for it in items:
        if isinstance(it, Stroke):
            it.pts = turned(it.pts)
            continue
        it.poly = turned(it.poly)
        for grad in it.grads:
            grad.p0, grad.p1 = tuple(turned(grad.p0)[0]), tuple(turned(grad.p1)[0])


def draw(seed: int = 21) -> Design:
    """About 64 x 92 mm."""
    d = Design(80, 110, seed)
    body = g.spline([(-17, 50), (-30, 82), (-46, 130), (0, 150), (46, 130), (30, 82), (17, 50), (0, 44)], closed=True)
    d.shape(body, None, scenery=True, color=COAT, dome=0.5)
    d.shape(g.ellipse((0, 96), 19, 44), None, scenery=True, color=PALE, dome=0.3, blur=2.0)
    bib(d)
    chest = len(d.items)
    for s in SIDES:
        ear(d, s)
    head(d)
    muzzle(d)
    for s in SIDES:
        eye(d, s)
    nose(d)
    tilt(d.items[chest:])
    return d.fitted()
