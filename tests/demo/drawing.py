"""One motif as a drawing for a needle: resized to a width in mm, with lines that can be tattooed."""

import copy
import importlib
from functools import lru_cache
from pathlib import Path

import numpy as np

from tests.demo.design import Design, Shape, Stroke

MOTIFS = tuple(sorted(p.stem for p in (Path(__file__).parent / "motifs").glob("[a-z]*.py")))

# Common practice, no source: what liners from a single needle to a tight fourteen leave on skin.
MIN_LINE_MM, MAX_LINE_MM = 0.20, 0.60
# Symmetrical or made of outlines: nothing is left out when they are made small.
EXACT = ("mandala", "moon", "fern", "lavender")


def motif(name: str, width_mm: float | None = None, seed: int | None = None, flip: bool = False) -> Design:
    """Draw a motif; `width_mm` is the width of its marks, as a stencil's record states it.

    Every stroke is 0.20 to 0.60 mm at its widest (its ends may run out thinner). A drawing made smaller loses some of
    its finest strokes, as it would when redrawn by hand.
    """
    factor = 1.0
    for _ in range(3 if width_mm else 1):
        design = _adjusted(copy.deepcopy(_drawn(name, seed, flip)), name, factor)
        left, _, right, _ = marks_box(design)
        factor *= width_mm / (right - left) if width_mm else 1.0
    return design


def marks_box(design: Design) -> tuple[float, float, float, float]:
    """Measure the box of the black marks in mm: left, top, right, bottom."""
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    for item in design.items:
        if isinstance(item, Stroke) and not item.white:
            low = np.minimum(low, (item.pts - item.width[:, None] / 2).min(0))
            high = np.maximum(high, (item.pts + item.width[:, None] / 2).max(0))
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


@lru_cache(maxsize=8)
def _drawn(name: str, seed: int | None, flip: bool) -> Design:
    module = importlib.import_module(f"tests.demo.motifs.{name}")
    design: Design = module.draw() if seed is None else module.draw(seed)
    if flip:
        for item in design.items:
            points = item.poly if isinstance(item, Shape) else item.pts
            points[:, 0] = design.width - points[:, 0]
            for grad in item.grads if isinstance(item, Shape) else ():
                grad.p0 = (design.width - grad.p0[0], grad.p0[1])
                grad.p1 = (design.width - grad.p1[0], grad.p1[1])
    return design


def _adjusted(design: Design, name: str, k: float) -> Design:
    rng = np.random.default_rng(41)
    kept: list[Shape | Stroke] = []
    for item in design.items:
        if isinstance(item, Shape):
            item.poly = item.poly * k
            for grad in item.grads:
                grad.p0 = (grad.p0[0] * k, grad.p0[1] * k)
                grad.p1 = (grad.p1[0] * k, grad.p1[1] * k)
            kept.append(item)
            continue
        fine = _weigh(item, k) and name not in EXACT
        if not fine or rng.uniform() < min(1.0, max(0.42, k**0.9)):
            kept.append(item)
    design.items = kept
    design.width, design.height = design.width * k, design.height * k
    return design


def _weigh(stroke: Stroke, k: float) -> bool:
    """Give the stroke its width at the new size; say whether a smaller drawing could do without it."""
    peak = float(stroke.width.max())
    stroke.pts = stroke.pts * k
    if len(stroke.pts) == 2:  # a dot
        stroke.width = np.maximum(stroke.width * k, MIN_LINE_MM)
    else:
        stroke.width = stroke.width * (float(np.clip(peak * 1.12 * k**0.5, MIN_LINE_MM, MAX_LINE_MM)) / peak)
    is_outline = len(stroke.pts) > 8 and float(np.hypot(*(stroke.pts[0] - stroke.pts[-1]))) < 0.6
    return peak < 0.24 and not stroke.white and not is_outline
