"""Find the affine transform that lays one picture on another, from a first guess.

Gauss-Newton with the template's slopes (inverse compositional), coarse to fine, with gain and offset of the light
solved along with the six numbers of the transform. Knows square maps of content boxes in unit coordinates.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from PIL import Image
from scipy import ndimage

from archgen.twins.prepare import Kind, Prepared, ink_map
from archgen.twins.turns import Affine, Floats, compose, inverse

# Side of the square maps, and steps taken on each.
LEVELS = (24, 48, 96)
STEPS = (8, 5, 4)
FINE = LEVELS[-1]
# A template that was cut out of the other picture needs the other at a higher resolution.
WHOLE_SIDES = (36, 72, 144)


@dataclass(frozen=True, slots=True, eq=False)
class Level:
    """One resolution of a view: the map as template with its slopes, and the map to be sampled."""

    template: Floats
    slopes: Floats
    whole: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Working:
    """A view unpacked for alignment."""

    kind: Kind
    levels: tuple[Level, ...]
    gray: Floats


@cache
def _grid(side: int) -> tuple[Floats, Floats]:
    at = ((np.arange(side) + 0.5) / side).astype(np.float32)
    across, down = np.meshgrid(at, at)
    return across.ravel(), down.ravel()


def unpack(prepared: Prepared, view: int) -> Working:
    """Make the maps of a view."""
    chosen = prepared.views[view]
    rows, columns = prepared.gray.shape
    values = ink_map(prepared.gray) if chosen.kind is Kind.LINE else prepared.gray.astype(np.float32) / 255
    left, top, right, bottom = chosen.box
    box = (left * columns, top * rows, right * columns, bottom * rows)
    picture = Image.fromarray(values)
    levels = tuple(_level(picture, box, chosen.kind, *sides) for sides in zip(LEVELS, WHOLE_SIDES, strict=True))
    gray = np.asarray(picture.resize((WHOLE_SIDES[-1],) * 2, Image.Resampling.BILINEAR, box=box), np.float32)
    return Working(chosen.kind, levels, gray)


def _level(picture: Image.Image, box: tuple[float, float, float, float], kind: Kind, side: int, whole: int) -> Level:
    template = _feature(picture, box, kind, side, 1.0)
    down, across = np.gradient(template)
    x, y = _grid(side)
    gx, gy = across.ravel() * side, down.ravel() * side
    flat = template.ravel()
    slopes = np.stack(
        [gx * (x - 0.5), gx * (y - 0.5), gx, gy * (x - 0.5), gy * (y - 0.5), gy, flat, np.ones_like(flat)], 1
    )
    return Level(template, slopes.astype(np.float32), _feature(picture, box, kind, whole, whole / side))


def _feature(
    picture: Image.Image, box: tuple[float, float, float, float], kind: Kind, side: int, blur: float
) -> Floats:
    cut = np.asarray(picture.resize((side, side), Image.Resampling.BILINEAR, box=box), np.float32)
    if kind is Kind.PHOTO:
        cut = local_contrast(cut, 0.09 * side)
    out: Floats = ndimage.gaussian_filter(cut, blur).astype(np.float32)
    return out


def local_contrast(values: Floats, radius: float) -> Floats:
    """Take the light away: what is left is detail against its surroundings, of even strength."""
    mean = ndimage.gaussian_filter(values, radius)
    detail = values - mean
    strength = np.sqrt(ndimage.gaussian_filter(detail * detail, radius))
    out: Floats = detail / (strength + 0.25 * float(strength.mean()) + 0.004)
    return out


def sample(values: Floats, transform: Affine, side: int, outside: float) -> Floats:
    """Look up a square map through a transform of unit coordinates, on a grid of `side` x `side`."""
    size = values.shape[0]
    linear, shift = transform[:, :2], transform[:, 2]
    # ndimage wants (row, column) and pixel centres at whole numbers.
    matrix = linear[::-1, ::-1] * (size / side)
    start = (linear @ np.full(2, 0.5 / side) + shift) * size - 0.5
    out: Floats = ndimage.affine_transform(
        values,
        matrix,
        start[::-1],
        (side, side),
        np.float32,
        order=1,
        mode="constant",
        cval=outside,
        prefilter=False,
    )
    return out


def align(part: Working, whole: Working, guess: Affine) -> tuple[Affine, float]:
    """Refine a guess of where a point of `part` lies in `whole`; returns it and the correlation at the end."""
    transform = guess
    score = 0.0
    for level, (mine, other) in enumerate(zip(part.levels, whole.levels, strict=True)):
        transform, score = _refine(mine, other.whole, transform, STEPS[level], part.kind)
        if score < REJECT_BELOW[level] or not _plausible(transform, guess):
            return transform, min(score, 0.0) if not _plausible(transform, guess) else score
    return transform, score


# Correlation below which a pair is given up after a level.
REJECT_BELOW = (0.45, 0.55, 0.0)


def _plausible(transform: Affine, guess: Affine) -> bool:
    move = compose(inverse(guess), transform)
    return bool(np.abs(move[:, :2] - np.eye(2)).max() < 0.45 and np.abs(move @ [0.5, 0.5, 1] - 0.5).max() < 0.3)


def _refine(mine: Level, whole: Floats, transform: Affine, steps: int, kind: Kind) -> tuple[Affine, float]:
    side = mine.template.shape[0]
    flat = mine.template.ravel()
    score = -1.0
    best = transform
    for _ in range(steps + 1):
        seen = sample(whole, transform, side, 0.0 if kind is Kind.LINE else np.nan).ravel()
        valid = np.isfinite(seen)
        seen = np.where(valid, seen, 0.0)
        weight = valid.astype(np.float32)
        now = correlation(seen, flat, weight) if valid.mean() > 0.35 else -1.0
        if now <= score + 1e-4:
            score, best = max(score, now), best if now <= score else transform
            break
        score, best = now, transform
        gain, offset = _light(seen, flat, weight)
        step = _step(mine.slopes, weight, gain * seen + offset - flat)
        if step is None:
            break
        transform = compose(transform, step)
    return best, score


def _light(seen: Floats, flat: Floats, weight: Floats) -> tuple[float, float]:
    total = float(weight.sum())
    mean_seen, mean_flat = float(weight @ seen) / total, float(weight @ flat) / total
    spread = float(weight @ (seen - mean_seen) ** 2)
    gain = float(weight @ ((seen - mean_seen) * (flat - mean_flat))) / max(spread, 1e-9)
    gain = float(np.clip(gain, 0.2, 5.0))
    return gain, mean_flat - gain * mean_seen


def _step(slopes: Floats, weight: Floats, error: Floats) -> Affine | None:
    weighted = slopes * weight[:, None]
    square = (weighted.T @ slopes).astype(np.float64)
    square[np.diag_indices(8)] += 1e-4 * np.trace(square) / 8
    try:
        move = np.linalg.solve(square, (weighted.T @ error).astype(np.float64))
    except np.linalg.LinAlgError:
        return None
    change = np.array([[1 + move[0], move[1], 0], [move[3], 1 + move[4], 0]])
    center = np.full(2, 0.5)
    change[:, 2] = center + move[[2, 5]] - change[:, :2] @ center
    if abs(np.linalg.det(change[:, :2])) < 0.2:
        return None
    return inverse(change)


def correlation(first: Floats, second: Floats, weight: Floats) -> float:
    """Correlate two flat maps under weights; 0 when one of them is even."""
    total = float(weight.sum())
    if total <= 0:
        return 0.0
    one = first - float(weight @ first) / total
    two = second - float(weight @ second) / total
    spread = float(weight @ (one * one)) * float(weight @ (two * two))
    return float(weight @ (one * two)) / float(np.sqrt(spread)) if spread > 1e-12 else 0.0
