"""Lighthouse on rocks with breaking waves, in a round frame."""

from typing import Any

import numpy as np

from tests.demo import geom as g
from tests.demo.design import Design, Grad


def swell(d: Design, cx: float, y: float, amp: float, phase: float, half: float, tone: float, line: float) -> None:
    """A row of rounded crests with contour lines that follow them."""
    rng = d.rng
    xs = np.linspace(cx - half, cx + half, 200)
    env = np.clip((1 - np.abs(xs - cx) / half) * 4, 0, 1)
    top = y - amp * env * np.abs(np.sin(xs * 0.19 + phase)) + amp * 0.4
    low = y + 6 - 5.0 * ((xs - cx) / half) ** 2
    poly = np.vstack([np.stack([xs, top], 1), np.stack([xs, np.maximum(low, top + 0.1)], 1)[::-1]])
    d.shape(
        poly,
        None,
        dome=0,
        rim=0,
        tone=tone,
        color=(74, 110, 132),
        shadow=0.25,
        grads=[Grad((cx, y - amp), (cx, y + 5), 0.5)],
        blur=0.3,
    )
    d.line(np.stack([xs, top], 1), line, taper=0.12)
    for k in range(1, 5):
        for _ in range(6):
            c = rng.uniform(cx - half * (0.9 - 0.1 * k), cx + half * (0.9 - 0.1 * k))
            m = np.abs(xs - c) < rng.uniform(3, 8)
            seg = np.stack([xs, top + 1.05 * k], 1)[m]
            if len(seg) > 6:
                d.line(seg, 0.24 - 0.02 * k, taper=0.45)


def spray(d: Design, x: float, y: float, w: float, h: float, lean: float) -> None:
    """Water thrown up against a rock: arching fingers, drops and foam at the foot."""
    rng = d.rng
    for k in range(13):
        f = (k + 0.5) / 13 * 2 - 1
        top = h * (1 - 0.7 * abs(f) ** 1.5) * rng.uniform(0.7, 1.05)
        p0 = np.array([x + f * w * 0.45, y])
        p2 = np.array([x + f * w * 1.05 + lean * top * 0.35, y - top])
        d.line(g.spline([p0, (p0 + p2) / 2 + [-f * 0.6, -top * 0.12], p2]), 0.3, taper=(0.1, 0.7))
        for _ in range(3):
            d.dot(p2 + [rng.normal(f * 1.2, 0.8), rng.normal(-0.9, 0.9)], rng.uniform(0.12, 0.32))


def rock(d: Design, pts: g.Pts, seed_tone: float) -> None:
    """A faceted rock: outline, ridge lines, hatching on the shaded facets."""
    poly = g.arr(pts)
    ext = np.vstack([g.resample(np.vstack([poly, poly[:1]]), 0.8)])
    ext = ext + d.rng.normal(0, 0.14, ext.shape)
    lo, hi = poly.min(0), poly.max(0)
    d.shape(
        ext,
        0.4,
        dome=0.35,
        tone=seed_tone,
        color=(112, 106, 100),
        shadow=0.5,
        grads=[Grad((hi[0], hi[1]), (lo[0], lo[1]), 0.75)],
    )
    c = poly.mean(0) + [-(hi[0] - lo[0]) * 0.1, -(hi[1] - lo[1]) * 0.08]
    for p in poly[::1]:
        q = c + (p - c) * 0.96
        m = (c + q) / 2 + d.rng.normal(0, 0.4, 2)
        d.line(g.arr([c + (p - c) * 0.12, m, q]), 0.24, taper=(0.3, 0.2), clip=ext)
    k = int((hi[0] - lo[0]) / 0.7)
    for i in range(k):
        x = c[0] + (hi[0] - c[0]) * i / k
        y = c[1] + d.rng.uniform(-0.6, 0.6) + (hi[1] - c[1]) * 0.1 * i / k
        L = (hi[1] - lo[1]) * d.rng.uniform(0.25, 0.6)
        d.line(g.arr([(x, y), (x - L * 0.18, y + L)]), 0.2, taper=(0.1, 0.6), clip=ext)


def tower(d: Design) -> None:
    """Tapered tower with bands, gallery, lantern and dome."""
    yb, yt, wb, wt, cx = 66.0, 27.0, 7.2, 4.6, 42.0

    def half(y: float | g.Array) -> Any:
        return wb + (wt - wb) * ((yb - y) / (yb - yt)) ** 0.85

    ys = np.linspace(yt, yb, 60)
    poly = np.vstack([np.stack([cx - half(ys), ys], 1), np.stack([cx + half(ys), ys], 1)[::-1]])
    d.shape(
        poly, 0.42, dome=0.1, color=(240, 236, 228), shadow=0.3, grads=[Grad((cx + 7.5, 45), (cx - 2, 45), 0.6, 1.3)]
    )
    for a, b in ((32, 38.5), (45, 51.5), (58, 64.5)):
        yy = np.linspace(a, b, 20)
        f = np.linspace(-1, 1, 25)
        up = np.stack([cx + f * half(a), a + 1.2 * (1 - f * f)], 1)
        dn = np.stack([cx + f * half(b), b + 1.5 * (1 - f * f)], 1)[::-1]
        band = np.vstack([up, np.stack([cx + half(yy), yy], 1), dn, np.stack([cx - half(yy), yy], 1)[::-1]])
        d.shape(
            band,
            0.3,
            tone=0.60,
            dome=0.0,
            rim=0,
            color=(178, 62, 54),
            shadow=0,
            grads=[Grad((cx + 7, 45), (cx, 45), 0.35)],
        )
        for k in range(17):
            fx = (k + 0.5) / 17 * 2 - 1
            if fx > -0.55:
                d.line(
                    g.arr([(cx + fx * half(a), a + 1.2 * (1 - fx * fx)), (cx + fx * half(b), b + 1.5 * (1 - fx * fx))]),
                    0.26,
                    taper=0.05,
                )
    for k in range(7):
        x = 0.97 - 0.085 * k
        seg = np.stack([cx + half(ys) * x, ys], 1)
        for start in np.arange(0, 1, 0.34):
            d.line(g.part(seg, start + d.rng.uniform(0, 0.06), min(1, start + 0.30 - 0.02 * k)), 0.18, taper=0.4)
    for x, y in ((cx - 1.6, 41.5), (cx - 1.2, 54.4)):
        w = g.arr([(x - 0.8, y + 1.6), (x - 0.8, y - 0.6), (x, y - 1.5), (x + 0.8, y - 0.6), (x + 0.8, y + 1.6)])
        d.shape(w, 0.3, fill=True, color=(40, 44, 50), shadow=0)
    d.shape(
        g.arr(
            [
                (cx - 2.2, 66.5),
                (cx - 2.2, 60.8),
                (cx - 1.2, 59.5),
                (cx, 59.1),
                (cx + 1.2, 59.5),
                (cx + 2.2, 60.8),
                (cx + 2.2, 66.5),
            ]
        )
        + [0, 0.5],
        0.34,
        tone=0.7,
        color=(70, 52, 44),
    )
    # gallery
    d.shape(
        g.arr([(cx - 5.2, 27.6), (cx + 5.2, 27.6), (cx + 6.9, 24.6), (cx - 6.9, 24.6)]),
        0.36,
        dome=0.2,
        tone=0.35,
        color=(96, 92, 90),
    )
    d.shape(
        g.arr([(cx - 7.3, 24.8), (cx + 7.3, 24.8), (cx + 7.3, 23.8), (cx - 7.3, 23.8)]),
        0.34,
        dome=0,
        color=(220, 214, 206),
    )
    # lantern
    d.shape(
        g.arr([(cx - 4.0, 23.8), (cx - 4.0, 15.0), (cx + 4.0, 15.0), (cx + 4.0, 23.8)]),
        0.36,
        dome=0.1,
        color=(250, 226, 150),
        white=0.6,
    )
    glow = g.ellipse((cx, 19.4), 1.7, 2.3)
    d.shape(glow, 0.26, dome=0, rim=0, color=(255, 246, 200), white=1.0)
    for q in (-0.5, 0.0, 0.5):
        d.line(g.arr([(cx + q * 5.3, 15), (cx + q * 5.3, 23.8)]), 0.26, taper=0)
    for y in (18, 21):
        d.line(g.arr([(cx - 4, y), (cx + 4, y)]), 0.18, taper=0)
    dome = np.vstack([g.ellipse((cx, 15.0), 4.9, 5.2, 180, 360), [(cx + 4.9, 15.4), (cx - 4.9, 15.4)]])
    d.shape(dome, 0.38, tone=0.45, dome=0.5, color=(120, 60, 54))
    for q in (-0.66, -0.33, 0, 0.33, 0.66):
        d.line(g.spline([(cx + q * 4.9, 15), (cx + q * 4.2, 12.4), (cx + q * 1.2, 9.9)]), 0.22)
    d.shape(g.ellipse((cx, 9.2), 0.9), 0.3, dome=0.5, color=(90, 70, 60))
    d.line(g.arr([(cx, 8.3), (cx, 4.6)]), 0.3, taper=(0, 0.5))
    for k in range(15):  # rail
        x = cx - 7 + k
        d.line(g.arr([(x, 21.6), (x, 23.8)]), 0.18, taper=0)
    d.line(g.arr([(cx - 7.3, 21.6), (cx + 7.3, 21.6)]), 0.26, taper=0)
    d.line(g.arr([(cx - 7.3, 22.7), (cx + 7.3, 22.7)]), 0.16, taper=0)


def draw(seed: int = 12) -> Design:
    """About 76 x 92 mm."""
    d = Design(90, 110, seed)
    rng = d.rng
    cx, cy, R = 42.0, 43.0, 34.0
    sky = g.ellipse((cx, cy), R)
    d.shape(
        sky,
        None,
        dome=0,
        rim=0.0,
        color=(168, 188, 204),
        shadow=0,
        grads=[Grad((cx, cy - R), (cx, cy + 6), 0.42)],
        stencil=False,
    )
    d.line(g.ellipse((cx, cy), R, R, 152, 388), 0.46, taper=0.08)
    d.line(g.ellipse((cx, cy), R + 1.5, R + 1.5, 160, 380), 0.2, taper=0.1)
    for s in (-1, 1):  # beams
        for k in range(5):
            a = (-4 + 2.0 * k) * 1.0
            p0, p1 = np.array([cx + s * 5.4, 19.4 + a * 0.10]), np.array([cx + s * 30.5, 19.4 + a * 1.75])
            for t in np.arange(0, 0.96, 0.24):
                d.line(
                    g.arr([p0 + (p1 - p0) * t, p0 + (p1 - p0) * (t + 0.19 - 0.02 * abs(k - 2))]),
                    0.24,
                    taper=0.3,
                    clip=sky,
                )
    for x, y, w in (
        (20, 38, 9),
        (25, 40.6, 6),
        (17, 42.6, 5),
        (63, 44, 8),
        (59, 46.6, 5.5),
        (66, 41.6, 4),
        (22, 52, 5),
        (64, 55, 4),
    ):
        d.line(
            g.spline([(x - w, y + 0.4), (x - w * 0.3, y - 0.5), (x + w * 0.4, y + 0.2), (x + w, y - 0.1)]),
            0.24,
            taper=0.5,
        )
    for x, y, w in ((24, 28.5, 3.0), (60, 31, 2.6), (56, 35, 1.8)):  # gulls
        for s in (-1, 1):
            d.line(
                g.spline([(x, y), (x + s * w * 0.45, y - w * 0.36), (x + s * w, y - w * 0.1)]), 0.34, taper=(0.1, 0.6)
            )
    for k in range(9):  # the horizon
        y = 60.5 + k * 0.95
        for x0, x1 in ((9.5, 30), (54, 75)):
            a = x0 + rng.uniform(0, 7)
            b = x1 - rng.uniform(0, 7)
            d.line(g.spline([(a, y), ((a + b) / 2, y + rng.uniform(-0.2, 0.2)), (b, y)]), 0.2, taper=0.4, clip=sky)
    rock(
        d,
        [
            (20, 74),
            (22, 68),
            (27, 64.5),
            (31, 65.5),
            (35, 62.6),
            (50, 62.2),
            (55, 65.6),
            (59, 64.8),
            (64, 69),
            (67, 75),
        ],
        0.12,
    )
    tower(d)
    rock(d, [(23, 78), (25.5, 70.5), (31, 67.8), (36, 70.2), (38, 78)], 0.1)
    rock(d, [(36, 79), (37.5, 70.5), (43, 66.8), (49, 69), (51.5, 79)], 0.08)
    rock(d, [(49, 79), (51, 72), (56, 69.2), (61, 72.4), (63.5, 80)], 0.12)
    spray(d, 22.5, 77.0, 5.6, 11.0, -0.4)
    spray(d, 63.5, 77.2, 5.4, 9.5, 0.4)
    swell(d, cx, 78.6, 2.4, 0.3, 33, 0.12, 0.40)
    swell(d, cx, 83.2, 2.4, 1.6, 29, 0.08, 0.36)
    swell(d, cx, 87.6, 2.0, 2.9, 22.5, 0.05, 0.32)
    return d.fitted()
