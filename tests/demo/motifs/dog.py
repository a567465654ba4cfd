"""Long-haired dog, a small frontal portrait built from locks and fur strokes."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from tests.demo import geom as g
from tests.demo.design import Color, Design, Grad, Shape, Stroke

TILT_DEG, CHIN = 9.0, (0.0, 58.0)
COAT, PALE, DARK = (176, 112, 66), (240, 230, 214), (96, 60, 40)


def lock(d: Design, pts: g.Pts, width: float, strands: int, dark: float, color: Color, line: float = 0.24) -> None:
    """A lock of long hair along a curve, pointed at its end."""
    mid = g.spline(pts)
    u = np.linspace(0, 1, len(mid))
    prof = width / 2 * np.clip(0.55 + 1.6 * u, 0, 1) * (1 - u**2.2) ** 0.75 + 0.02
    poly = g.tube(mid, prof)
    d.shape(
        poly,
        None,
        dome=0.25,
        tone=0.05,
        rim=0.22,
        color=color,
        shadow=0.4,
        grads=[Grad(tuple(mid[0]), tuple(mid[-1]), dark)],
    )
    k = len(mid)
    n = g.normals(mid)
    d.line((mid + n * prof[:, None])[int(0.12 * k) :], line, taper=(0.5, 0.2))
    d.line((mid - n * prof[:, None])[int(0.2 * k) :], line * 0.85, taper=(0.5, 0.2))
    for i in range(strands):
        f = (i + 0.5) / strands * 2 - 1 + d.rng.normal(0, 0.08)
        a, b = int(k * d.rng.uniform(0.0, 0.4)), int(k * d.rng.uniform(0.6, 0.97))
        if b - a > 4:
            d.line((mid + n * (prof * f * 0.82)[:, None])[a:b], 0.17, taper=(0.45, 0.55))


def fur(
    d: Design,
    n: int,
    box: g.Pts,
    field: Callable[[g.Array], g.Array],
    poly: g.Pts,
    length: float,
    w: float = 0.18,
    keep: Callable[[g.Array], float] | None = None,
) -> None:
    """Short strokes that follow a direction field inside a polygon."""
    rng = d.rng
    p = np.stack([rng.uniform(box[0], box[2], n), rng.uniform(box[1], box[3], n)], 1)
    p = p[g.inside(poly, p)]
    for q in p:
        if keep is not None and rng.uniform() > keep(q):
            continue
        v = field(q)
        m = np.array([-v[1], v[0]]) * rng.normal(0, 0.12)
        L = length * rng.uniform(0.6, 1.25) * np.clip(np.hypot(*(q - [0, 44])) / 20, 0.38, 1.25)
        d.line(g.spline([q, q + v * L * 0.5 + m * L, q + v * L], step=0.25), w, taper=(0.2, 0.7))


def radial(q: g.Pts) -> g.Array:
    """Fur grows away from the bridge of the nose and hangs at the sides."""
    v = np.asarray(q) - [0, 39]
    v = v / max(np.hypot(*v), 1e-6) + np.array([0, 0.55 * min(1, abs(q[0]) / 15)])
    return np.asarray(v / np.hypot(*v))


def ear(d: Design, s: int) -> None:
    """A long hanging ear in three rows of locks."""
    rng = d.rng
    for row, (count, y0, length, out) in enumerate(((8, 19, 50, 13), (8, 17, 40, 11.5), (7, 15, 30, 10))):
        for k in range(count):
            f = k / (count - 1)
            x0 = s * (12.5 + 5.5 * f - row * 0.6)
            y = y0 + 8 * f * f
            x1 = s * (13.0 + (out + 3.5) * f + rng.uniform(-0.8, 0.8))
            L = length * (0.80 + 0.20 * np.sin(np.pi * f)) * rng.uniform(0.93, 1.06)
            sw = rng.uniform(1.0, 2.2)
            pts = [
                (x0, y),
                (x0 + s * (3.4 + 3.6 * f), y + L * 0.22),
                (x1 + s * (2.4 + sw), y + L * 0.52),
                (x1 + s * (0.8 - sw * 0.5), y + L * 0.76),
                (x1 + s * (1.2 + sw), y + L),
            ]
            lock(d, pts, rng.uniform(3.2, 4.4), 4, 0.72 - 0.1 * row, DARK if row == 0 else COAT)


def eye(d: Design, s: int) -> None:
    """One round, dark, wet eye."""
    c = np.array([s * 7.7, 31.2])
    socket = g.rot(g.ellipse(c, 4.6, 4.0), s * 14, c)
    d.shape(socket, None, tone=0.42, dome=0, rim=0, blur=0.7, color=DARK, shadow=0, stencil=False)
    lid = g.arr(
        [
            (s * 3.9 + 0, 32.6),
            (s * 5.3, 29.9),
            (s * 8.2, 28.9),
            (s * 10.8, 30.5),
            (s * 11.5, 32.2),
            (s * 9.6, 34.2),
            (s * 7.0, 34.6),
            (s * 5.0, 33.8),
        ]
    )
    d.shape(g.spline(lid, closed=True), 0.42, fill=True, color=(30, 20, 16), shadow=0)
    iris = g.ellipse(c + [s * -0.05, 0.25], 2.75, 2.72)
    d.shape(iris, 0.2, tone=0.80, dome=0.2, rim=0.4, color=(84, 46, 24), shadow=0, fill=True)
    d.shape(g.ellipse(c + [0, 0.1], 1.55), None, fill=True, color=(12, 10, 10), shadow=0)
    d.line(g.ellipse(c + [0.1, 0.4], 2.1, 2.0, 25, 120), 0.3, white=True)
    d.line(g.ellipse(c + [0.1, 0.4], 1.6, 1.5, 40, 105), 0.2, white=True)
    d.shape(g.ellipse(c + [-0.95, -0.85], 0.78, 0.7), None, dome=0, rim=0, white=1, color=(255, 255, 255), shadow=0)
    d.shape(g.ellipse(c + [0.9, 1.3], 0.34, 0.26), None, dome=0, rim=0, white=0.7, color=(225, 220, 215), shadow=0)
    d.line(g.spline([(s * 3.6, 31.0), (s * 5.6, 27.7), (s * 8.6, 26.5), (s * 11.6, 28.6)]), 0.26, taper=0.4)
    for k in range(12):
        p = np.array([s * (4.6 + 0.62 * k), 26.9 - 1.7 * np.sin(k / 11 * np.pi)])
        d.line(g.spline([p, p + [s * 0.7, -1.2], p + [s * 1.8, -1.9 + 0.06 * k]]), 0.2, taper=(0.1, 0.7))


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
    """About 62 x 92 mm."""
    d = Design(80, 110, seed)
    rng = d.rng
    for row, (y0, L, n) in enumerate(((62, 34, 13), (58, 31, 12), (55, 26, 11), (53, 20, 9))):  # chest
        for k in range(n):
            f = (k / (n - 1)) * 2 - 1
            x = f * (15.5 - row * 1.6)
            ln = L * (1 - 0.34 * f * f) * rng.uniform(0.9, 1.1)
            sw = rng.uniform(-1.6, 1.6)
            lock(
                d,
                [
                    (x * 0.8, y0 - 3),
                    (x * 0.95 + sw, y0 + ln * 0.35),
                    (x * 1.0 - sw, y0 + ln * 0.7),
                    (x * 0.86 + sw * 0.7, y0 + ln),
                ],
                rng.uniform(3.4, 4.6),
                4,
                0.75 if row < 3 else 0.9,
                PALE,
                0.22,
            )
    chest = len(d.items)
    half = [
        (0, 8.6),
        (6, 8.4),
        (12, 11.2),
        (16.4, 17.5),
        (18.2, 26),
        (17.6, 35),
        (15.8, 43),
        (13.2, 50),
        (9.4, 56.5),
        (4, 60),
        (0, 60.6),
    ]
    outline = g.spline(half + [(-x, y) for x, y in half[-2:0:-1]], closed=True)
    for s in (1, -1):
        ear(d, s)
    d.shape(outline, None, dome=0.42, tone=0.20, color=COAT, shadow=0.7, blur=0.25)
    # pale blaze and cheeks, painted soft
    blaze = g.spline(
        [
            (0, 9),
            (2.6, 12),
            (2.0, 20),
            (2.6, 27),
            (4.4, 34),
            (8.6, 40.5),
            (10.8, 47),
            (9.4, 54),
            (5, 58.5),
            (0, 60),
            (-5, 58.5),
            (-9.4, 54),
            (-10.8, 47),
            (-8.6, 40.5),
            (-4.4, 34),
            (-2.6, 27),
            (-2.0, 20),
            (-2.6, 12),
        ],
        closed=True,
    )
    d.shape(blaze, None, dome=0.25, color=PALE, shadow=0, blur=0.8, rim=0.12, stencil=False, white=0.25)

    def keep(q: g.Pts) -> float:
        e = min(np.hypot(q[0] - 7.7, q[1] - 31.2), np.hypot(q[0] + 7.7, q[1] - 31.2))
        if e < 4.0 or q[1] < 11.5 or (q[1] < 19 and abs(q[0]) > 11.5):
            return 0.0
        return 0.16 if g.inside(blaze, q[None])[0] else 0.92

    fur(d, 2700, (-19, 9, 19, 61), radial, outline, 2.7, 0.155, keep)
    for i in range(0, len(outline) - 1, 2):  # soft edge of the cheeks
        p = outline[i]
        if not 40 < p[1] < 52:
            continue
        v = radial(p)
        d.line(g.spline([p - v * 1.4, p + v * 0.4, p + v * rng.uniform(0.7, 1.7) + [0, 0.4]]), 0.2, taper=(0.2, 0.7))
    for s in (1, -1):  # hair parted in the middle, falling over the start of the ears
        for k in range(5):
            f = k / 4
            lock(
                d,
                [
                    (s * (0.4 + 0.5 * f), 9.8 + 1.6 * f),
                    (s * (5.0 + 0.3 * f), 7.9 + 2.8 * f),
                    (s * (9.8 + 0.6 * (1 - f)), 9.4 + 3.4 * f),
                    (s * (14.0 + 1.4 * (1 - f)), 13.6 + 3.4 * f),
                    (s * (16.4 + 2.0 * (1 - f)), 18.6 + 3.8 * f + rng.uniform(-0.6, 0.6)),
                ],
                2.5,
                3,
                0.40,
                COAT,
                0.22,
            )
        for k in range(4):
            lock(
                d,
                [
                    (s * (12.6 + k * 0.7), 14.4 + k * 1.1),
                    (s * (16.6 + k * 0.6), 17.4 + k * 1.4),
                    (s * (19.6 + k * 0.6), 24 + k * 1.9),
                    (s * (21.4 + k * 0.4), 33 + k * 2.6),
                ],
                3.0,
                3,
                0.6,
                COAT,
            )
        eye(d, s)
        brow = g.spline([(s * 3.4, 25), (s * 6.2, 22.4), (s * 9.4, 22.6)])
        for k in range(10):
            p = g.at(brow, k / 9)
            d.line(g.spline([p, p + [s * 0.6, -1.3], p + [s * 1.3, -2.4]]), 0.18, taper=(0.2, 0.6))
    for k in range(14):  # the parting
        y = rng.uniform(9.4, 15)
        s = 1 if k % 2 else -1
        d.line(
            g.spline([(s * 0.15, y), (s * 0.9, y - 0.5), (s * rng.uniform(1.8, 3.0), y - 0.3)]), 0.18, taper=(0.1, 0.7)
        )
    # muzzle
    for s in (1, -1):
        d.line(g.spline([(s * 3.0, 34), (s * 3.2, 39), (s * 4.2, 43.2)]), 0.18, taper=0.5)
        d.line(
            g.spline([(0, 51.8), (s * 0.3, 53.3), (s * 2.6, 55.2), (s * 5.8, 55.1), (s * 8.6, 53.0)]),
            0.42,
            taper=(0, 0.6),
        )
        for r in range(4):
            for k in range(3):
                d.dot((s * (3.6 + r * 1.3 + 0.3 * k), 49.6 + k * 1.2 + 0.25 * r), 0.17)
        for k in range(5):
            p = np.array([s * (4.0 + k * 1.0), 49.8 + (k % 3) * 1.1])
            d.line(
                g.spline([p, p + [s * 5, 0.4 + k * 0.5], p + [s * (9.0 + k * 0.3), 2.6 + k * 0.9]]),
                0.16,
                taper=(0, 0.8),
            )
        for k in range(10):
            p = np.array([s * rng.uniform(1.0, 8.6), 55.9 + rng.uniform(0, 2.2)])
            d.line(g.spline([p, p + [s * 0.3, 1.6], p + [s * 0.2, 3.4]]), 0.2, taper=(0.2, 0.7))
    lip = g.spline([(-2.4, 55.3), (0, 54.0), (2.4, 55.3), (1.3, 56.4), (0, 56.7), (-1.3, 56.4)], closed=True)
    d.shape(lip, 0.22, tone=0.6, dome=0.2, color=(70, 48, 44), shadow=0)
    for k in range(12):
        x = rng.uniform(-3.6, 3.6)
        y = rng.uniform(56.9, 58.4)
        d.line(g.spline([(x, y), (x * 1.05, y + 1.6), (x * 1.0, y + 3.2)]), 0.19, taper=(0.2, 0.6))
    nose = g.spline(
        [
            (0, 43.2),
            (3.4, 43.2),
            (5.2, 44.8),
            (5.0, 47.2),
            (3.2, 48.9),
            (1.2, 50.4),
            (0, 51.2),
            (-1.2, 50.4),
            (-3.2, 48.9),
            (-5.0, 47.2),
            (-5.2, 44.8),
            (-3.4, 43.2),
        ],
        closed=True,
    )
    d.shape(nose, 0.40, tone=0.80, dome=0.2, rim=0.2, color=(52, 40, 38), shadow=0.35)
    for k in range(150):
        q = np.array([rng.uniform(-5, 5), rng.uniform(44.8, 51)])
        if g.inside(nose, q[None])[0]:
            d.dot(q, rng.uniform(0.16, 0.27))
    for s in (1, -1):
        nos = g.spline(
            [(s * 1.5, 46.9), (s * 3.1, 45.9), (s * 4.3, 46.9), (s * 3.7, 48.1), (s * 2.6, 47.9)], closed=True
        )
        d.shape(nos, 0.2, fill=True, color=(14, 12, 12), shadow=0)
    d.line(g.arr([(0, 47.6), (0, 52.2)]), 0.36, taper=0.2)
    d.shape(
        g.spline([(-2.6, 44.5), (0, 44.0), (2.2, 44.4), (0, 45.0)], closed=True),
        None,
        dome=0,
        rim=0,
        white=0.7,
        color=(190, 184, 182),
        shadow=0,
        blur=0.2,
    )
    tilt(d.items[chest:])
    return d.fitted()
