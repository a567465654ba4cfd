"""Barn owl on a branch, seen from the front."""

import numpy as np

from tests.demo import geom as g
from tests.demo.design import Color, Design, Grad

BUFF, CREAM, BROWN = (196, 150, 92), (240, 230, 214), (92, 74, 58)


def feather(
    d: Design,
    base: g.Pts,
    tip: g.Pts,
    width: float,
    bend: float,
    line: float = 0.28,
    barbs: int = 8,
    dark: float = 0.6,
    color: Color = BUFF,
) -> None:
    """A flight feather with shaft and barbs."""
    poly, mid = g.blade(base, tip, width, bend, widest=0.62, sharp=0.55)
    d.shape(poly, line, dome=0.25, color=color, grads=[Grad(tuple(base), tuple(tip), dark)], shadow=0.45)
    d.line(g.part(mid, 0.0, 0.93), 0.2, taper=(0, 0.6))
    n, t = g.normals(mid), g.tangents(mid)
    for k in range(barbs):
        i = int((0.25 + 0.68 * k / max(1, barbs)) * (len(mid) - 1))
        for s in (1, -1):
            e = mid[i] + s * n[i] * width * 0.5 + t[i] * width * 0.55
            if d.rng.uniform() < 0.75:
                d.line(g.spline([mid[i], (mid[i] + e) / 2 + t[i] * 0.1, e]), 0.15, taper=(0, 0.7), clip=poly)


def wing(d: Design, s: int) -> None:
    """One folded wing; s is +1 for the right, -1 for the left of the page."""
    for k in range(7):
        f = k / 6
        base = (s * (17.5 - 2.5 * f), 50 + 3 * f)
        tip = (s * (12.2 + 8.0 * (1 - f) ** 0.8 - 2.2), 97 - 19 * (1 - f) ** 1.5)
        feather(d, base, tip, 5.0, -s * 0.06, barbs=10, dark=0.55)

    def edge(y: float) -> float:
        return float(np.interp(y, [34, 38, 43, 50, 60, 70, 80], [11.5, 15.5, 18.6, 21.0, 21.6, 20.4, 17.5]))

    for r in range(8):
        y = 67.5 - r * 3.9
        n = 6 if r < 6 else 5
        for k in range(n):
            f = (k + (0.5 if r % 2 else 0)) / n
            x = s * (edge(y) - 10.4 * f * (1.0 if r < 6 else 0.86))
            yy = y - 1.5 * (1 - f) ** 2 + 1.6 * f
            ln = 8.6 - 0.42 * r
            feather(
                d,
                (x, yy - 1.0),
                (x - s * (0.5 + 1.0 * (1 - f)), yy + ln),
                3.9 - 0.12 * r,
                -s * 0.07,
                line=0.25,
                barbs=3,
                dark=0.62,
            )
            if r % 2 == 0:
                d.dot((x - s * 0.6, yy + ln * 0.72), 0.3)


def foot(d: Design, s: int) -> None:
    """Toes over the branch, with talons."""
    for k, dx in enumerate((-3.2, 0, 3.2)):
        x = s * 6.6 + dx
        toe = g.spline([(s * 6.6 + dx * 0.5, 84.6), (x, 87.2), (x + dx * 0.08, 90.2)])
        poly = g.tube(toe, np.linspace(1.15, 0.95, len(toe)))
        d.shape(poly, 0.28, dome=0.6, color=(190, 170, 140))
        for t in (0.3, 0.5, 0.7):
            p = g.at(toe, t)
            d.line(g.arr([p + [-0.9, 0], p + [0, 0.25], p + [0.9, 0]]), 0.16)
        b = toe[-1]
        claw = g.spline(
            [b + [-0.8, -0.3], b + [-0.5, 1.4], b + [0.15, 3.0], b + [0.75, 1.2], b + [0.8, -0.3]], closed=True
        )
        d.shape(claw, 0.2, fill=True, color=(40, 36, 34))


def head(d: Design) -> None:
    """Heart-shaped face with radial feathers, eyes and beak."""
    rng = d.rng
    right = [(0, 1.2), (7.6, 2.2), (15.2, 7.2), (19.6, 16), (19.2, 26), (14.5, 35), (7, 41.5), (0, 43.5)]
    outline = g.spline(right + [(-x, y) for x, y in right[-2:0:-1]], closed=True)
    d.shape(outline, None, dome=0.55, color=(206, 160, 104), tone=0.10, shadow=0.55)
    for part in (g.part(outline, 0.0, 0.13), g.part(outline, 0.87, 1.0)):
        d.line(part, 0.22, taper=0.3)
    for i in range(0, len(outline) - 1, 3):
        p = outline[i]
        out = (p - [0, 22]) / np.hypot(*(p - [0, 22]))
        sweep = np.array([out[0] * 0.4, 1.0]) * 0.6
        e = p + out * rng.uniform(0.1, 0.7) + sweep * rng.uniform(0.5, 1.4)
        d.line(g.spline([p - sweep * 1.3 - out * 0.5, p, e]), 0.28, taper=(0.2, 0.6))
    for k in range(330):  # small feathers on the crown
        a, r = rng.uniform(0, 360), rng.uniform(0.74, 0.98)
        p = np.array([19 * r * np.cos(np.radians(a)), 22 + 20 * r * np.sin(np.radians(a))])
        o = np.array([np.cos(np.radians(a)), np.sin(np.radians(a))])
        d.line(g.arr([p, p + o * rng.uniform(0.7, 1.6) + [0, 0.2]]), 0.18, taper=(0.1, 0.7), clip=outline)
    half = [
        (0, 10.8),
        (3.6, 7.2),
        (8.6, 5.9),
        (13.6, 9.0),
        (16.1, 15.5),
        (15.6, 23.5),
        (11.6, 31.5),
        (6.0, 37.8),
        (0, 41.2),
    ]
    disc = g.spline(half + [(-x, y) for x, y in half[-2:0:-1]], closed=True)
    disc_out = g.spline(
        [(x * 1.09, (y - 22) * 1.06 + 22) for x, y in half]
        + [(-x * 1.09, (y - 22) * 1.06 + 22) for x, y in half[-2:0:-1]],
        closed=True,
    )
    d.shape(disc_out, 0.3, tone=0.34, dome=0.2, color=(150, 104, 62))
    for i in range(0, len(disc_out) - 1, 3):
        a, b = disc_out[i], disc[min(int(i * len(disc) / len(disc_out)), len(disc) - 1)]
        d.line(g.arr([a, b]), 0.22, taper=0.2)
    d.shape(disc, 0.34, dome=0.15, rim=0.28, color=CREAM, white=0.35)
    for s in (1, -1):
        eye = np.array([s * 7.2, 20.0])
        for k in range(58):
            a = rng.uniform(0, 360)
            o = np.array([np.cos(np.radians(a)), np.sin(np.radians(a))])
            if o[0] * s < -0.5 and abs(o[1]) < 0.6:
                continue
            r0 = rng.uniform(3.4, 6.0)
            r1 = r0 + rng.uniform(2.2, 5.0)
            bend = np.array([-o[1], o[0]]) * 0.35 * s
            d.line(
                g.spline([eye + o * r0, eye + o * (r0 + r1) / 2 + bend, eye + o * r1]),
                0.17,
                taper=(0.25, 0.6),
                clip=disc,
            )
        brow = g.spline([(s * 1.1, 12.6), (s * 2.3, 17), (s * 2.2, 22), (s * 1.7, 26)])
        for k in range(9):
            p = g.at(brow, k / 8)
            d.line(g.spline([p, p + [s * 0.9, 0.9], p + [s * 1.3, 2.2]]), 0.18, taper=(0.1, 0.7))
        ring = g.rot(g.ellipse(eye, 3.75, 2.95), -s * 24, eye)
        d.shape(ring, 0.22, tone=0.62, dome=0, rim=0.2, color=(140, 100, 80), blur=0.2, shadow=0)
        lid = g.rot(g.ellipse(eye, 3.05, 2.55), -s * 24, eye)
        d.shape(lid, 0.3, fill=True, color=(22, 18, 16), dome=0.0)
        d.shape(
            g.ellipse(eye + [-0.95, -0.85], 0.72, 0.6), None, dome=0, rim=0, white=1.0, color=(255, 255, 255), shadow=0
        )
        d.line(g.ellipse(eye + [0.2, 0.3], 1.9, 1.6, 30, 110), 0.22, white=True)
    for i in range(0, len(disc) - 1, 2):  # the rim's feathers lie inwards
        p = disc[i]
        v = np.array([0, 23.0]) - p
        v = v / np.hypot(*v)
        d.line(
            g.spline([p, p + v * 1.0 + [0, 0.2], p + v * rng.uniform(1.4, 3.4) + [0, 0.6]]),
            0.17,
            taper=(0, 0.75),
            clip=disc,
        )
    for x in (-0.9, -0.45, 0.0, 0.45, 0.9):
        d.line(
            g.spline([(x * 0.5, rng.uniform(14, 18)), (x * 0.9, 21), (x * 1.3, rng.uniform(23.5, 25.5))]),
            0.15,
            taper=(0.4, 0.4),
        )
    beak = g.spline([(-1.75, 26.5), (0, 24.6), (1.75, 26.5), (1.5, 30), (0.1, 34.4), (-1.5, 30)], closed=True)
    d.shape(beak, 0.32, dome=0.8, color=(214, 190, 160), tone=0.12, white=0.25)
    d.line(g.spline([(-1.2, 28.6), (-0.5, 29.2), (-0.3, 30)]), 0.22)
    d.line(g.spline([(1.2, 28.6), (0.5, 29.2), (0.3, 30)]), 0.22)
    d.line(g.spline([(0, 26), (0.2, 29), (0.1, 32)]), 0.16)


def draw(seed: int = 7) -> Design:
    """About 56 x 100 mm."""
    d = Design(80, 110, seed)
    rng = d.rng
    for k in range(5):
        f = k - 2
        feather(d, (f * 1.6, 82), (f * 3.0, 105 - abs(f) * 1.4), 4.6, 0, barbs=9, dark=0.6)
    far = g.spline([(-90, 97), (-60, 94), (-33, 92.5), (0, 90), (31, 86.5), (60, 79), (90, 74)])
    d.shape(g.tube(far, np.linspace(3.6, 1.6, len(far))), None, scenery=True, dome=0.9, color=(112, 90, 70))
    br = g.spline([(-33, 92.5), (-22, 90.2), (-8, 90.8), (8, 89.2), (22, 90.4), (31, 86.5)])
    rad = np.interp(np.linspace(0, 1, len(br)), [0, 0.2, 0.5, 0.85, 1], [2.0, 2.9, 2.7, 2.3, 1.5]) * g.wobble(
        len(br), rng, 0.12, 8
    )
    poly = g.tube(br, rad)
    twig = g.spline([(20, 90), (26, 93.5), (31, 95)])
    d.shape(g.tube(twig, np.linspace(1.2, 0.35, len(twig))), 0.3, dome=0.6, color=BROWN)
    d.shape(poly, 0.36, dome=0.9, tone=0.12, color=(112, 90, 70))
    for k in range(34):
        a = rng.uniform(0, 0.9)
        off = rng.uniform(-0.8, 0.8)
        seg = g.part(br, a, min(1, a + rng.uniform(0.05, 0.16)))
        seg = seg + g.normals(seg) * off * 2.3 + np.c_[np.zeros(len(seg)), 0.18 * np.sin(np.linspace(0, 5, len(seg)))]
        d.line(seg, 0.2, clip=poly)
    half = [(0, 36), (12, 38), (18.5, 46), (19.5, 58), (16, 72), (10.5, 83), (4, 88.5), (0, 88)]
    body = g.spline(half + [(-x, y) for x, y in half[-2:0:-1]], closed=True)
    d.shape(body, 0.3, dome=0.5, color=CREAM, white=0.15)
    for s in (1, -1):  # feathered legs
        leg = g.spline([(s * 2.6, 76), (s * 10, 76), (s * 9.6, 83), (s * 6.6, 87.2), (s * 3.9, 83)], closed=True)
        d.shape(leg, None, dome=0.5, color=CREAM)
        for k in range(34):
            y = rng.uniform(75, 83.5)
            x = s * (6.6 + rng.uniform(-1, 1) * np.interp(y, [75, 80, 85], [3.6, 3.0, 1.6]))
            d.line(
                g.spline([(x, y), (x + rng.normal(0, 0.2), y + 1.0), (x + (s * 6.6 - x) * 0.10, y + 2.0)]),
                0.19,
                taper=(0.2, 0.6),
            )
    for r in range(13):  # breast feathers: open scallops and drops
        y = 45 + r * 2.75
        half_w = 11.6 * np.sin(np.clip((y - 28) / 62, 0, 1) * np.pi) ** 0.5
        n_ = max(3, int(half_w * 2 / 3.3))
        for k in range(n_):
            x = np.float64((k - (n_ - 1) / 2 + (0.25 if r % 2 else -0.25)) * 3.3 + rng.normal(0, 0.2))
            if abs(x) > half_w:
                continue
            yy = y + rng.normal(0, 0.25)
            d.line(
                g.spline(
                    [
                        (x - 1.35, yy - 0.5),
                        (x - 0.7, yy + 0.8),
                        (x, yy + 1.25),
                        (x + 0.7, yy + 0.8),
                        (x + 1.35, yy - 0.5),
                    ]
                ),
                0.18,
                taper=0.5,
                clip=body,
            )
            if rng.uniform() < 0.55:
                d.dot((x, yy + 0.25), rng.uniform(0.2, 0.32))
    for s in (1, -1):
        foot(d, s)
        wing(d, s)
    for k in range(70):  # ruff under the face
        x = np.float64(rng.uniform(-13, 13))
        y = 41.5 - abs(x) * 0.35 + rng.uniform(-1, 3.0)
        d.line(
            g.spline([(x, y), (x * 1.02, y + 1.5), (x * 1.0 + rng.normal(0, 0.3), y + rng.uniform(2.4, 4))]),
            0.2,
            taper=(0.1, 0.7),
        )
    head(d)
    return d.fitted()
