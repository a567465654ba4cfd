"""A drawing as vectors: filled shapes that hide what lies behind them, and strokes with a width.

Shapes also say how they are shaded and coloured, so one description gives the stencil, the shading
of the tattoo and a painted reference.
"""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from tests.demo import geom as g

Color = tuple[int, int, int]


@dataclass
class Grad:
    """Tone added along a line: `amount` at p0, fading to nothing at p1; the grain of the thing runs the same way.

    `radial`: the grain runs away from p0 to all sides.
    """

    p0: tuple[float, ...]
    p1: tuple[float, ...]
    amount: float = 0.7
    power: float = 1.4
    radial: bool = False


@dataclass
class Shape:
    """A closed outline that covers earlier things."""

    poly: g.Array
    color: Color = (200, 190, 180)
    tone: float = 0.0  # flat ink density
    dome: float = 0.45  # how strongly it is shaded as a rounded form
    rim: float = 0.12  # darkening just inside the edge
    shadow: float = 0.35  # what it throws on the shapes behind
    fill: bool = False  # solid black in the stencil, too
    black: bool = False  # solid black on paper and skin, though the thing itself has a colour
    white: float = 0.0  # white highlight in the tattoo
    grads: list[Grad] = field(default_factory=list)
    blur: float = 0.0  # softness of the edge of the tone, mm
    scenery: bool = False  # what a camera sees round the subject; not drawn, not tattooed
    stencil: bool = True  # does it hide strokes in the line drawing


@dataclass
class Stroke:
    """A line with one width for each point."""

    pts: g.Array
    width: g.Array
    color: Color | None = None
    white: bool = False


class Design:
    """Ordered shapes and strokes; later things lie in front."""

    def __init__(self, width: float, height: float, seed: int = 1) -> None:
        self.width, self.height = width, height
        self.items: list[Shape | Stroke] = []
        self.rng = np.random.default_rng(seed)
        self.light = (-0.6, -0.8)
        self.palette: dict[str, Color] = {}
        self.scale = 1.0  # against the motif as it was first drawn

    def shape(self, poly: ArrayLike, line: float | None = 0.34, **how: Any) -> Shape:
        """Add a closed shape; `line` is the outline's width in mm, None for no outline."""
        outline = g.arr(poly)
        s = Shape(outline, **how)
        s.stencil = s.stencil and not s.scenery
        self.items.append(s)
        if line:
            self.line(np.vstack([outline, outline[:2]]), line, taper=0)
        return s

    def line(
        self,
        pts: ArrayLike,
        w: float = 0.3,
        taper: float | tuple[float, float] = 0.35,
        clip: g.Array | None = None,
        vary: float = 0.10,
        color: Color | None = None,
        white: bool = False,
        tip: float = 0.28,
    ) -> None:
        """Add a stroke. `taper` is the share of the length that thins out at either end."""
        p = g.arr(pts)
        if len(p) < 2 or g.arclen(p)[-1] < 0.05:
            return
        if len(p) < 8:
            p = g.resample(p, min(0.3, g.arclen(p)[-1] / 8))
        s = g.arclen(p)
        u = s / s[-1]
        a, b = (taper, taper) if isinstance(taper, (int, float)) else taper
        f = np.ones(len(p))
        if a > 0:
            f = np.minimum(f, tip + (1 - tip) * np.clip(u / a, 0, 1) ** 0.8)
        if b > 0:
            f = np.minimum(f, tip + (1 - tip) * np.clip((1 - u) / b, 0, 1) ** 0.8)
        width = w * f * g.wobble(len(p), self.rng, vary)
        if clip is None:
            self.items.append(Stroke(p, width, color, white))
            return
        keep = g.inside(clip, p)
        idx = np.flatnonzero(np.diff(np.concatenate([[0], keep.astype(int), [0]])))
        for i, j in zip(idx[::2], idx[1::2], strict=True):
            if j - i >= 2:
                self.items.append(Stroke(p[i:j], width[i:j], color, white))

    def dot(self, c: ArrayLike, r: float, color: Color | None = None, white: bool = False) -> None:
        """A round dot."""
        q = np.asarray(c, float)
        self.items.append(Stroke(np.array([q, q + 1e-3]), np.array([2 * r, 2 * r]), color, white))

    def fitted(self, margin: float = 2.0) -> "Design":
        """Moved and resized so that everything drawn lies inside with the margin."""
        lo = np.full(2, np.inf)
        hi = -lo
        for it in self.items:
            if isinstance(it, Shape) and it.scenery:
                continue
            p = it.poly if isinstance(it, Shape) else it.pts
            lo, hi = np.minimum(lo, p.min(0)), np.maximum(hi, p.max(0))
        self.moved(margin - lo)
        self.width, self.height = (hi - lo + 2 * margin).tolist()
        return self

    def moved(self, off: ArrayLike) -> None:
        """Move everything drawn by so many mm."""
        by = np.asarray(off, float)
        for it in self.items:
            if isinstance(it, Shape):
                it.poly = it.poly + by
                for gr in it.grads:
                    gr.p0 = tuple(np.asarray(gr.p0) + by)
                    gr.p1 = tuple(np.asarray(gr.p1) + by)
            else:
                it.pts = it.pts + by
