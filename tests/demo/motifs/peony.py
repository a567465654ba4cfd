"""A peony with ruffled petals, a bud and leaves."""

import numpy as np

from tests.demo import geom as g
from tests.demo.design import Color, Design, Grad

PINK, DEEP, LEAF = (226, 150, 158), (190, 92, 112), (92, 122, 82)


def petal(
    d: Design,
    c: g.Pts,
    ang: float,
    r0: float,
    r1: float,
    half: float,
    squash: float,
    dark: float,
    color: Color,
    line: float = 0.34,
) -> None:
    """One ruffled petal round the centre c. `half` is half its angular width in degrees."""
    rng = d.rng
    k = 11
    edge = []
    notch = rng.uniform(-0.35, 0.35)
    for i in range(k):
        f = i / (k - 1) * 2 - 1
        r = r0 + (r1 - r0) * (1 - abs(f) ** 3.2 * 0.42)
        r *= (
            1
            + 0.045 * np.sin(f * 7 + rng.uniform(0, 6))
            - 0.12 * np.exp(-(((f - notch) / 0.14) ** 2))
            + rng.normal(0, 0.012)
        )
        a = ang + f * half
        edge.append([r * np.cos(np.radians(a)), r * np.sin(np.radians(a)) * squash])
    b0 = [r0 * 0.8 * np.cos(np.radians(ang - half * 0.5)), r0 * 0.8 * np.sin(np.radians(ang - half * 0.5)) * squash]
    b1 = [r0 * 0.8 * np.cos(np.radians(ang + half * 0.5)), r0 * 0.8 * np.sin(np.radians(ang + half * 0.5)) * squash]
    rim = g.spline(edge, step=0.3) + c
    poly = np.vstack(
        [
            g.spline([np.array(b0) + c, (np.array(b0) + edge[0]) * 0.52 + c, rim[0]]),
            rim[1:-1],
            g.spline([rim[-1], (np.array(b1) + edge[-1]) * 0.52 + c, np.array(b1) + c]),
        ]
    )
    root = np.asarray(c) + [r0 * 0.75 * np.cos(np.radians(ang)), r0 * 0.75 * np.sin(np.radians(ang)) * squash]
    top = np.asarray(c) + [r1 * np.cos(np.radians(ang)), r1 * np.sin(np.radians(ang)) * squash]
    d.shape(
        poly,
        line,
        dome=0.22,
        rim=0.06,
        color=color,
        shadow=0.55,
        grads=[Grad(tuple(root), tuple(root + (top - root) * 0.85), dark, 1.3)],
    )
    for i in range(17):  # contour strokes from the base
        f = (i + 0.5) / 17 * 2 - 1 + rng.normal(0, 0.03)
        e = g.at(rim, (f + 1) / 2)
        s = root + (e - root) * 0.42
        far = rng.uniform(0.35, 0.82) * (1.0 if abs(f) < 0.75 else 0.75)
        v = e - s
        bow = np.array([-v[1], v[0]]) * f * -0.10
        d.line(g.spline([s, s + v * far * 0.5 + bow * far, s + v * far]), 0.18, taper=(0, 0.75), clip=poly)
    for i in range(9):  # ticks from the rim inwards
        t = rng.uniform(0.06, 0.94)
        e = g.at(rim, t)
        v = root - e
        d.line(g.arr([e, e + v * rng.uniform(0.06, 0.16)]), 0.17, taper=(0, 0.8), clip=poly)


def leaf(d: Design, base: g.Pts, tip: g.Pts, w: float, bend: float) -> None:
    """A pointed leaf with veins and hatching on one half."""
    poly, mid = g.blade(base, tip, w, bend, widest=0.42, sharp=1.0)
    d.shape(
        poly, 0.36, dome=0.25, tone=0.06, color=LEAF, shadow=0.4, grads=[Grad(tuple(mid[0]), tuple(mid[-1]), 0.85, 1.2)]
    )
    d.line(g.part(mid, 0, 0.97), 0.30, taper=(0, 0.6))
    n, t = g.normals(mid), g.tangents(mid)
    for k in range(8):
        i = int((0.10 + 0.75 * k / 8) * (len(mid) - 1))
        for q in (1, -1):
            d.line(
                g.spline(
                    [
                        mid[i],
                        mid[i] + q * n[i] * w * 0.24 + t[i] * w * 0.20,
                        mid[i] + q * n[i] * w * 0.5 + t[i] * w * 0.6,
                    ]
                ),
                0.2,
                taper=(0, 0.6),
                clip=poly,
            )
    for k in range(34):
        i = int((0.04 + 0.88 * k / 34) * (len(mid) - 1))
        d.line(
            g.arr([mid[i], mid[i] + n[i] * w * 0.22 * d.rng.uniform(0.6, 1.2) + t[i] * w * 0.3]),
            0.16,
            taper=(0, 0.8),
            clip=poly,
        )


def draw(seed: int = 8) -> Design:
    """About 78 x 96 mm."""
    d = Design(100, 120, seed)
    rng = d.rng
    c = np.array([48.0, 42.0])
    stem = g.spline([(49, 60), (50, 78), (45.5, 94), (41, 108)])
    d.shape(g.tube(stem, np.linspace(1.3, 1.1, len(stem))), 0.34, dome=0.8, tone=0.1, color=(104, 124, 78))
    tw = g.spline([(48.6, 86), (58, 80), (66, 72), (70, 65.5)])
    d.shape(g.tube(tw, np.linspace(1.0, 0.75, len(tw))), 0.3, dome=0.8, color=(104, 124, 78))
    leaf(d, (45, 96), (22, 104), 10, -0.12)
    leaf(d, (46.2, 92), (25, 84), 10.5, -0.12)
    leaf(d, (47.6, 88), (66, 99), 10, 0.12)
    leaf(d, (54, 82.5), (76, 84), 9, 0.12)
    leaf(d, (34, 58), (10, 68), 12, 0.13)
    leaf(d, (36, 62), (22, 82), 11, 0.1)
    leaf(d, (62, 58), (86, 58), 11, 0.14)
    leaf(d, (60, 30), (82, 14), 10, -0.1)
    leaf(d, (33, 30), (13, 17), 10, 0.1)
    # bud
    bc = np.array([71.5, 58.5])
    for a, w in ((-38, 5.2), (38, 5.2)):
        p, _ = g.blade(
            bc + [0, 6], bc + g.rot([[0, -9.5]], a * 0.6)[0] + [0, 1.5], 8.5, 0.02 * np.sign(a), widest=0.5, sharp=0.8
        )
        d.shape(p, 0.32, dome=0.4, color=PINK, grads=[Grad(tuple(bc + [0, 6]), tuple(bc + [0, -7]), 0.8)])
    p, _ = g.blade(bc + [0, 6.2], bc + [0.4, -8.6], 9.4, 0.03, widest=0.52, sharp=0.75)
    d.shape(p, 0.34, dome=0.5, color=PINK, grads=[Grad(tuple(bc + [0, 7]), tuple(bc + [0, -6]), 0.7)])
    for k in range(9):
        f = (k - 4) / 4.5
        d.line(g.spline([bc + [f * 1.2, 5], bc + [f * 4.2, 0], bc + [f * 2.6, -5.0]]), 0.18, taper=(0, 0.7), clip=p)
    for a in (-62, 60, -18, 22):
        q, _ = g.blade(bc + [0, 7.2], bc + [0, 6.4] + g.rot([[0, -7.2]], a)[0], 4.2, 0.08 * np.sign(a), widest=0.4)
        d.shape(q, 0.3, dome=0.3, color=LEAF, grads=[Grad(tuple(bc + [0, 8]), tuple(bc + [0, 1]), 0.7)])
    # petals from the outside inwards; the upper ones stand, the lower ones open towards us
    layers = (
        (7, 9, 30.0, 36, 0.88, 0, 0.6),
        (7, 8, 25.2, 35, 0.86, 27, -0.6),
        (6, 6.5, 20.4, 39, 0.86, 8, -2.2),
        (5, 5, 15.8, 45, 0.86, 40, -3.6),
    )
    for li, (n, r0, r1, half, sq, off, up) in enumerate(layers):
        order = sorted(range(n), key=lambda i: np.sin(np.radians(off + 360 / n * i - 90)))
        for i in order:
            ang = off + 360 / n * i - 90 + rng.normal(0, 5)
            reach = r1 * (1 + 0.09 * np.sin(np.radians(ang))) * rng.uniform(0.92, 1.04)
            petal(
                d,
                c + [0, up],
                ang,
                r0,
                reach,
                half * rng.uniform(0.92, 1.08),
                sq,
                0.62 + 0.07 * li,
                PINK if li % 2 == 0 else (216, 134, 146),
            )
    heart = c + [0, -4.6]
    for k in range(11):  # the heart: cups that lie one inside another, each leaning its own way
        r = 10.6 * (1 - k / 12.5)
        q = heart + g.polar((0, 0), 0.17 * r, 40 + k * 137.5) * [1, 0.85]
        an = np.linspace(0, 360, 16, endpoint=False)
        rr = r * (1 + rng.normal(0, 0.055, 16) + 0.05 * np.cos(np.radians(an * 2 + k * 70)))
        cup = g.spline(
            np.stack([q[0] + rr * np.cos(np.radians(an)), q[1] + 0.84 * rr * np.sin(np.radians(an))], 1), closed=True
        )
        away = g.polar((0, 0), r, 40 + k * 137.5)
        d.shape(
            cup,
            0.32,
            dome=0.1,
            rim=0.05,
            color=PINK if k % 2 else DEEP,
            shadow=0.45,
            grads=[Grad(tuple(q - away * 0.5), tuple(q + away * 0.95), 0.75, 1.1)],
        )
        for _ in range(14):
            e = g.at(cup, rng.uniform(0, 1))
            d.line(
                g.spline([e, e + (q - e) * 0.16 + rng.normal(0, 0.1, 2), e + (q - e) * rng.uniform(0.22, 0.42)]),
                0.17,
                taper=(0, 0.8),
                clip=cup,
            )
    return d.fitted()
