"""A round ornament built from rings of petals and dots."""

from typing import Any

import numpy as np

from tests.demo import geom as g
from tests.demo.design import Color, Design, Grad


def ring(
    d: Design,
    n: int,
    r0: float,
    r1: float,
    width: float,
    offset: float,
    sharp: float = 1.0,
    widest: float = 0.5,
    line: float = 0.3,
    veins: int = 0,
    amount: float = 0.75,
    inner: float = 0.0,
    color: Color = (196, 170, 128),
) -> None:
    """A ring of n petals from radius r0 to r1."""
    for i in range(n):
        a = 360 / n * (i + offset) - 90
        b, t = g.polar((0, 0), r0, a), g.polar((0, 0), r1, a)
        poly, _ = g.blade(b, t, width, widest=widest, sharp=sharp)
        d.shape(poly, line, grads=[Grad(tuple(b), tuple(b + 0.75 * (t - b)), amount)], dome=0.1, color=color)
        if inner:
            p2, _ = g.blade(b + (t - b) * 0.10, b + (t - b) * 0.84, width * inner, widest=widest, sharp=sharp)
            d.line(np.vstack([p2, p2[:1]]), line * 0.6, taper=0)
        for k in range(veins):
            f = (k + 1) / (veins + 1) * 2 - 1
            q0 = b + (t - b) * 0.12
            e = (
                b
                + (t - b) * (0.72 - 0.22 * abs(f))
                + np.array([-(t - b)[1], (t - b)[0]]) / np.hypot(*(t - b)) * f * width * 0.36
            )
            d.line(g.spline([q0, (q0 + e) / 2 + (e - q0)[::-1] * [0.0, 0.0], e]), 0.22, taper=(0, 0.7), clip=poly)


def dots(d: Design, n: int, r: float, size: float, offset: float = 0.0) -> None:
    """A ring of dots."""
    for i in range(n):
        d.dot(g.polar((0, 0), r, 360 / n * (i + offset) - 90), size)


def circle(d: Design, r: float, w: float, tone: float = 0.0, **how: Any) -> None:
    """A disc with an outline."""
    d.shape(g.ellipse((0, 0), r), w, tone=tone, dome=0, rim=0, shadow=0.3, **how)


def draw(seed: int = 3) -> Design:
    """Twelve-fold ornament, ten-fold from another seed, about 84 mm across."""
    d, folds = Design(90, 90, seed), 12 if seed == 3 else 10
    for i in range(2 * folds):
        a = 180 / folds * i - 90
        long = i % 2 == 0
        d.line(np.array([g.polar((0, 0), 33, a), g.polar((0, 0), 41.5 if long else 38.6, a)]), 0.26, taper=(0, 0.6))
        d.dot(g.polar((0, 0), 43.2 if long else 40, a), 0.52 if long else 0.34)
    ring(d, folds, 20, 39, 11.5, 0.5, sharp=0.9, widest=0.42, line=0.34, veins=5, inner=0.72)
    ring(d, folds, 18, 35, 8.6, 0.0, sharp=0.85, widest=0.48, line=0.34, inner=0.62, amount=0.9, color=(120, 140, 150))
    for i in range(folds):
        a = 360 / folds * i - 90
        c = g.polar((0, 0), 29.4, a)
        p, _ = g.blade(g.polar((0, 0), 26.4, a), g.polar((0, 0), 32.2, a), 2.0)
        d.shape(p, 0.2, fill=True, color=(40, 40, 40))
    circle(d, 22.4, 0.4, 0.0, color=(214, 196, 160))
    circle(d, 21.4, 0.2, 0.0, color=(214, 196, 160))
    for i in range(24):
        a = 360 / 24 * i
        c = g.ellipse(g.polar((0, 0), 20.0, a), 1.15)
        d.shape(c, 0.22, dome=0.5, color=(230, 220, 190))
    circle(d, 18.6, 0.32, 0.55, color=(80, 90, 100))
    ring(d, 2 * folds, 10, 18.4, 3.5, 0.5, sharp=0.8, line=0.24, amount=0.8)
    ring(d, folds, 8, 17.6, 5.4, 0.0, sharp=0.8, line=0.32, veins=3, amount=0.9, color=(150, 110, 110))
    circle(d, 10.6, 0.36, color=(214, 196, 160))
    dots(d, 36, 9.6, 0.26)
    circle(d, 8.5, 0.28, 0.75, color=(70, 70, 80))
    ring(d, 8, 2.2, 8.3, 4.2, 0.5, line=0.28, amount=0.9)
    ring(d, 8, 1.6, 7.0, 3.6, 0.0, line=0.3, veins=1, amount=0.9, color=(200, 160, 150))
    circle(d, 2.3, 0.34, color=(230, 200, 120))
    n = np.arange(1, 22)
    for k in n:
        d.dot(g.polar((0, 0), 0.42 * np.sqrt(k), k * 137.508), 0.13)
    return d.fitted()
