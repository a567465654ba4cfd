"""Swallow in flight, seen from behind, wings swept and tail forked."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from tests.demo import geom as g
from tests.demo.design import Color, Design, Grad

BLUE = (62, 78, 112)
NECK, HEAD = np.array([0.3, -12.4]), 0.80


def quill(
    d: Design,
    tr: Callable[..., g.Array],
    base: g.Pts,
    tip: g.Pts,
    width: float,
    bend: float,
    dark: float,
    line: float = 0.3,
    barbs: int = 9,
    color: Color = BLUE,
) -> None:
    """A feather in the bird's own frame."""
    poly, mid = g.blade(tr(base)[0], tr(tip)[0], width, bend, widest=0.55, sharp=0.6)
    d.shape(
        poly, line, dome=0.2, color=color, shadow=0.5, tone=0.10, grads=[Grad(tuple(mid[0]), tuple(mid[-1]), dark, 1.3)]
    )
    d.line(g.part(mid, 0.02, 0.93), 0.2, taper=(0, 0.6))
    n, t = g.normals(mid), g.tangents(mid)
    for k in range(barbs):
        i = int((0.3 + 0.62 * k / barbs) * (len(mid) - 1))
        for q in (1, -1):
            if d.rng.uniform() < 0.7:
                d.line(
                    g.spline(
                        [
                            mid[i],
                            mid[i] + q * n[i] * width * 0.24 + t[i] * width * 0.5,
                            mid[i] + q * n[i] * width * 0.46 + t[i] * width * 1.2,
                        ]
                    ),
                    0.15,
                    taper=(0, 0.7),
                    clip=poly,
                )


def draw(seed: int = 17) -> Design:
    """About 96 x 84 mm."""
    d = Design(110, 100, seed)
    rng = d.rng

    def place(p: ArrayLike) -> g.Array:
        return g.rot(g.arr(p) + [52, 48], 38, (52, 48))

    # tail
    for s in (1, -1):
        quill(d, place, (s * 1.6, 19), (s * 18.5, 60), 3.0, s * 0.10, 0.9, barbs=18)
        for row, (x, y) in enumerate(((9.4, 38), (6.8, 34.5), (4.6, 32.5), (2.2, 31))):
            quill(d, place, (s * (1.2 - 0.2 * row), 19.5), (s * x, y), 4.2, s * 0.05, 0.9, barbs=8)
    for s, k in ((-1, 1.0), (1, 0.92)):

        def tr(p: g.Pts, s: int = s, k: float = k) -> g.Array:
            return place(g.arr([p]) * [s * k, 1.0] if np.ndim(p) == 1 else g.arr(p) * [s * k, 1.0])

        # primaries from the tip inwards, then secondaries
        P = 9
        for i in range(P):
            f = i / (P - 1)
            base = (23.5 - 5.5 * f, -12.6 + 2.8 * f)
            tip = (63.0 - 39.5 * f**0.74, 15.5 - 6.8 * f**0.6)
            quill(d, tr, base, tip, 3.7 + 0.5 * f, -s * (0.12 - 0.07 * f), 0.8, barbs=13)
        for i in range(8):
            f = i / 7
            quill(
                d, tr, (19 - 13.5 * f, -9.4 + 2.6 * f), (22.4 - 15.2 * f, 8.6 - 0.1 * i), 4.4, -s * 0.03, 0.85, barbs=8
            )
        for i in range(11):  # greater coverts
            f = i / 10
            quill(
                d,
                tr,
                (25.5 - 20 * f, -12.5 + 4.6 * f),
                (35.0 - 28.5 * f, -2.4 + 5.0 * f**0.7),
                3.5,
                -s * 0.06,
                0.7,
                line=0.26,
                barbs=4,
            )
        for i in range(11):
            f = i / 10
            quill(
                d,
                tr,
                (24.5 - 19.5 * f, -13.6 + 3.4 * f),
                (29.6 - 23.5 * f, -6.6 + 4.0 * f),
                2.9,
                -s * 0.06,
                0.6,
                line=0.24,
                barbs=2,
            )
        arm = g.spline(
            [
                (2.4, -12.2),
                (8, -13.6),
                (15, -15.4),
                (22, -16.2),
                (28, -13.4),
                (33, -9.5),
                (27, -10.4),
                (22, -11.4),
                (14, -9.6),
                (7, -7.4),
                (3, -5),
            ],
            closed=True,
        )
        d.shape(tr(arm), 0.34, tone=0.35, dome=0.4, color=BLUE, shadow=0.4)
        for k_ in range(46):
            x = rng.uniform(5, 27)
            y = np.interp(x, [4, 14, 22, 28], [-9.8, -12.4, -13.8, -12.2]) + rng.normal(0, 0.9)
            d.line(tr(g.spline([(x, y), (x + 0.9, y + 0.7), (x + 1.9, y + 1.7)])), 0.2, taper=(0.2, 0.6), clip=tr(arm))
    half = [(0, -17), (3.8, -15.5), (5.6, -10), (6.2, -2), (5.4, 7), (3.8, 15), (2.0, 22), (0, 25)]
    body = place(g.spline(half + [(-x, y) for x, y in half[-2:0:-1]], closed=True))
    d.shape(body, 0.36, tone=0.42, dome=0.6, color=BLUE, shadow=0.6)
    for r in range(15):  # mantle feathers
        y = -12 + r * 2.3
        hw = np.interp(y, [-14, -8, 0, 8, 16, 24], [3.5, 5.2, 5.6, 4.8, 3.2, 0.8])
        n = max(2, int(hw * 2 / 2.2))
        for k in range(n):
            x = (k - (n - 1) / 2 + (0.25 if r % 2 else -0.25)) * 2.2
            if abs(x) < hw * 0.95:
                d.line(
                    place(
                        g.spline(
                            [
                                (x - 1.0, y - 0.6),
                                (x - 0.5, y + 0.8),
                                (x, y + 1.2),
                                (x + 0.5, y + 0.8),
                                (x + 1.0, y - 0.6),
                            ]
                        )
                    ),
                    0.22,
                    taper=0.4,
                    clip=body,
                )
                for o in (-0.4, 0, 0.4):
                    d.line(place(g.arr([(x + o, y - 0.6), (x + o * 1.2, y + 0.5)])), 0.16, taper=(0.2, 0.6), clip=body)

    # head turned to one side; small, as in life, so that the wings stay the larger part
    def headed(p: ArrayLike) -> g.Array:
        return place((g.arr(p) - NECK) * HEAD + NECK)

    hd = g.spline(
        [
            (-4.9, -12.6),
            (-5.0, -17),
            (-3.6, -21.0),
            (-0.4, -23.2),
            (3.2, -23.2),
            (5.3, -21.0),
            (5.3, -16.8),
            (4.2, -12.4),
            (0, -11.2),
        ],
        closed=True,
    )
    d.shape(headed(hd), 0.36, tone=0.45, dome=0.6, color=BLUE, shadow=0.4)
    thr = g.spline([(5.5, -21), (5.6, -18.6), (4.4, -15.6), (2.8, -15.2), (2.4, -17.8), (3.6, -20.6)], closed=True)
    d.shape(headed(thr), 0.2, tone=0.1, dome=0.2, color=(168, 84, 56), shadow=0)
    beak = g.spline([(3.4, -23.1), (5.4, -23.6), (7.6, -23.4), (6.4, -22.2), (5.4, -20.9), (4.6, -22)], closed=True)
    d.shape(headed(beak), 0.26, tone=0.7, dome=0.3, color=(40, 40, 44))
    d.line(headed(g.spline([(4.8, -21.8), (6.0, -22.5), (7.5, -23.3)])), 0.22)
    ec = headed((2.1, -20.6))[0]
    d.shape(g.ellipse(ec, 1.05), 0.2, dome=0, rim=0, color=(190, 190, 196), shadow=0)
    d.shape(g.ellipse(ec, 0.78), 0.2, fill=True, color=(12, 12, 14), shadow=0)
    d.shape(g.ellipse(ec + [-0.25, -0.25], 0.24), None, dome=0, rim=0, white=1, color=(255, 255, 255), shadow=0)
    for k in range(90):
        a = rng.uniform(0, 360)
        q = np.array([0.3, -18.8]) + [
            4.9 * np.sqrt(rng.uniform(0, 1)) * np.cos(np.radians(a)),
            5.2 * np.sqrt(rng.uniform(0, 1)) * np.sin(np.radians(a)),
        ]
        if np.hypot(*(q - [2.1, -20.6])) < 1.8:
            continue
        v = np.array([-0.5, 0.85])
        d.line(headed(g.arr([q, q + v * rng.uniform(0.7, 1.5)])), 0.18, taper=(0.1, 0.7), clip=headed(hd))
    return d.fitted()
