"""One motif as a drawing for a needle: resized to a width in mm, with lines that can be tattooed."""

import copy
import importlib
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike

from tests.demo.design import Design, Shape, Stroke
from tests.demo.geom import Array, rot
from tests.demo.redraw import Hand, redrawn

MOTIFS = tuple(sorted(p.stem for p in (Path(__file__).parent / "motifs").glob("[a-z]*.py")))

# Common practice, no source: lines of 0.25 to 0.5 mm are what is printed for liners from a three to a tight fourteen.
PRINTED = Hand(gap=0.62, finest=0.25)
# Small pieces whose whole idea is the fine line.
FINE = Hand(gap=0.56, finest=0.2)


def motif(
    name: str,
    width_mm: float | None = None,
    seed: int | None = None,
    flip: bool = False,
    hand: Hand = PRINTED,
    turn: float = 0.0,
    bend: float = 0.0,
) -> Design:
    """Draw a motif; `width_mm` is the width of its marks, as a stencil's record states it.

    With a width it is redrawn for the needle: lines of 0.25 to 0.5 mm (or as the hand says), clear of each other.
    Without one it is the whole drawing, hidden lines and all, as a reference is painted from.
    """
    if not width_mm:
        return copy.deepcopy(_drawn(name, seed, flip))
    return copy.deepcopy(_printed(name, width_mm, seed, flip, hand, turn, bend))


@lru_cache(maxsize=8)
def _printed(name: str, width_mm: float, seed: int | None, flip: bool, hand: Hand, turn: float, bend: float) -> Design:
    factor = 1.0
    for _ in range(3):
        left, _, right, _ = marks_box(_sized(name, seed, flip, factor, hand, turn, bend))
        factor *= width_mm / (right - left)
    design = redrawn(_sized(name, seed, flip, factor, hand, turn, bend), hand)
    design.scale = factor
    return design


def _sized(name: str, seed: int | None, flip: bool, factor: float, hand: Hand, turn: float, bend: float) -> Design:
    design = _resized(copy.deepcopy(_drawn(name, seed, flip)), factor, hand)
    return _swung(design, turn, bend) if turn or bend else design


def _swung(design: Design, turn: float, bend: float) -> Design:
    """Turn the drawing and let its ends lie aside, as it is made to follow a limb."""
    middle = np.array([design.width, design.height]) / 2

    def swung(p: ArrayLike) -> Array:
        q = rot(p, turn, middle)
        q[:, 0] += bend * ((q[:, 1] - middle[1]) / middle[1]) ** 2
        return q

    for item in design.items:
        if isinstance(item, Stroke):
            item.pts = swung(item.pts)
            continue
        item.poly = swung(item.poly)
        for grad in item.grads:
            grad.p0, grad.p1 = tuple(swung(grad.p0)[0]), tuple(swung(grad.p1)[0])
    return design.fitted()


def composed(parts: Sequence[tuple[Design, tuple[float, float]]], count: int) -> Design:
    """Lay drawings over each other, each at a place in mm; the page is that of all, the first `count` are drawn."""
    whole = Design(max(part.width + x for part, (x, _) in parts), max(part.height + y for part, (_, y) in parts))
    for part, at in parts[:count]:
        moved = copy.deepcopy(part)
        moved.moved(at)
        whole.items += moved.items
    return whole


def marks_box(design: Design) -> tuple[float, float, float, float]:
    """Measure the box of the black marks in mm: left, top, right, bottom."""
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    for item in design.items:
        if isinstance(item, Shape) and (item.fill or item.black):
            low, high = np.minimum(low, item.poly.min(0)), np.maximum(high, item.poly.max(0))
        elif isinstance(item, Stroke) and not item.white:
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


def _resized(design: Design, k: float, hand: Hand) -> Design:
    for item in design.items:
        if isinstance(item, Stroke):
            _weigh(item, k, hand)
            continue
        item.poly = item.poly * k
        for grad in item.grads:
            grad.p0 = (grad.p0[0] * k, grad.p0[1] * k)
            grad.p1 = (grad.p1[0] * k, grad.p1[1] * k)
    design.width, design.height = design.width * k, design.height * k
    return design


def _weigh(stroke: Stroke, k: float, hand: Hand) -> None:
    """Give the stroke a weight that is printed; its ends run out to the hand's finest line and no further."""
    stroke.pts = stroke.pts * k
    if len(stroke.pts) == 2:  # a dot
        stroke.width = np.maximum(stroke.width * k, hand.finest * 1.5)
        return
    peak = float(stroke.width.max())
    wanted = np.clip(peak * 5.2 * hand.finest * k**0.35, hand.finest * 1.1, 2 * hand.finest)
    stroke.width = np.maximum(stroke.width * (wanted / peak), hand.finest * 0.92)
