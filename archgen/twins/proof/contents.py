"""Tell one drawing from two that share a frame: what stands inside or beside the frame decides.

Much of what is drawn has one frame and other contents: rings, signs, cards, medallions, borders. A frame of heavy lines
outweighs them in everything measured over the whole. Knows two drawings that are laid on each other.
"""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt

from archgen.images.filters import blurred, greatest_around
from archgen.twins.description.turns import Affine, Floats
from archgen.twins.description.warp import correlation, sample, within
from archgen.twins.proof.align import PLAIN, Working
from archgen.twins.proof.compare import high_ink

# How much stronger than the ink beside it a pixel may be; the share of ink lacking on both sides that says nothing; and
# what a share more of it takes from the evidence.
NEAR_GAIN, LACKING, LACKING_COST = 2.5, 0.0004, 800.0
# Lines that both have and that reach over so much of the drawing are a frame; its rim goes with it.
FRAME, RIM = 0.25, 7
# Ink beside the frame, in pixels of black, from which it tells something; the correlation it should have; and what a
# lesser one takes from the evidence.
LEAST_INK, LEAST_ALIKE, UNLIKE_COST = 100.0, 0.85, 40.0


def other_content(part: Working, whole: Working, transform: Affine) -> float:
    """Weigh what speaks against one drawing.

    Each must have ink that the other lacks: a heavier, paler or cut copy, and one with a part taken out, has such ink
    on one side only. Then it counts how much that is, and whether the rest is alike once the lines are left out that
    both share and that go round everything. Measured on 240 drawings with
    four copies each (tests/bench/bench_twins.py): of right pairs one in a hundred has more than .003 of its ink on both
    sides, of wrong ones nine in ten; the rest of right pairs correlates from .85, of 95 in 100 wrong ones below.

    Returns:
        What is to be taken from the weighed evidence, from 0; 0 for photographs.
    """
    if whole.edges is None:
        return 0.0
    seen = sample(whole.plain, transform, PLAIN, 0.0)
    inner = within(whole.edges, transform, PLAIN)
    known = np.float32(1) if inner is None else inner.reshape(seen.shape)
    one, two = (
        np.minimum(ink * np.float32(1 / high_ink(ink, 0.995)), 1.0) for ink in (part.plain * known, seen * known)
    )
    near = greatest_around(two, 3), greatest_around(one, 3)
    lacking = min(_lacking(one, near[0]), _lacking(two, near[1]))
    if lacking <= LACKING:  # one is the other with a part taken out, or heavier
        return 0.0
    shared = ((one > SHARED) & (near[0] > SHARED)) | ((two > SHARED) & (near[1] > SHARED))
    return LACKING_COST * (lacking - LACKING) + UNLIKE_COST * _unlike(one, two, _frame(shared))


# Ink from which a line is seen.
SHARED = 0.25


def _lacking(ink: Floats, near: Floats) -> float:
    """Give the share of ink that the other drawing has nothing near for."""
    left = np.maximum(ink - np.minimum(near * np.float32(NEAR_GAIN), 1.0), 0)
    return float(left.sum()) / max(float(ink.sum()), 1e-6)


def _frame(shared: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """Give what is taken up by lines that go round much of the drawing."""
    _, labels, stats, _ = cv2.connectedComponentsWithStats(shared.view(np.uint8), connectivity=8)
    reach = stats[:, cv2.CC_STAT_WIDTH] * stats[:, cv2.CC_STAT_HEIGHT]
    reach[0] = 0  # the paper
    frame = np.isin(labels, np.flatnonzero(reach >= FRAME * shared.size)).astype(np.uint8)
    return np.asarray(cv2.dilate(frame, np.ones((RIM, RIM), np.uint8)) > 0)


def _unlike(one: Floats, two: Floats, frame: npt.NDArray[np.bool_]) -> float:
    """Give by how much the correlation beside the frame falls short; 0 without a frame or anything beside it."""
    beside = [ink * ~frame for ink in (one, two)]
    if not frame.any() or min(float(ink.sum()) for ink in beside) < LEAST_INK:
        return 0.0
    first, second = (blurred(ink, 1.2) for ink in beside)
    drawn = ((first > FAINT) | (second > FAINT)).astype(np.uint8)
    where = (cv2.dilate(drawn, np.ones((5, 5), np.uint8)) > 0) & ~frame
    return max(LEAST_ALIKE - correlation(first.ravel(), second.ravel(), where.ravel().astype(np.float32)), 0.0)


FAINT = 0.05
