"""Say how the edges of two pictures lie that were laid on each other: the same, moved, cut, framed or tilted.

Knows prepared pictures and where they alignment.
"""

from __future__ import annotations

import math
from enum import Enum, auto

import cv2
import numpy as np
import numpy.typing as npt

from archgen.twins.description.content import ink_of
from archgen.twins.description.prepared import Prepared
from archgen.twins.description.signature import PictureKind
from archgen.twins.description.turns import Affine, Floats, inverse
from archgen.twins.model import PictureBox
from archgen.twins.naming.alignment import Alignment, ends, in_pixels, is_one_size, small
from archgen.values.frozen import Value

# How far an edge may seem to stick out by the error of the alignment alone, in parts of the picture, how far both must
# for the camera to have moved, and how far at most in a burst. What moved in no way but nearer has other outlines: by
# so little an edit of the lines, by more a slanted view.
EDGE_ERROR, PLAIN_ERROR = 0.012, 0.003
MOVED, MOVED_FAR, ONE_WAY, SHRUNK = 0.003, 0.1, 0.0005, 0.0155
# Edges meet that are apart by so many pixels.
EDGE_PIXELS = 1.6
# Degrees off the upright from which a picture was tilted on purpose; and how much longer one axis than the other must
# have become for a slant (measured: bursts up to 0.009, photographs of prints from 0.01).
TILTED, SLANTED = 1.7, 0.0095
# A margin of one colour is a border when so much of it has the colour.
BORDER_SHARE, BORDER_LEVELS, PAPER = 0.75, 0.05, 0.5
LOST_INK = 0.006


class EdgePlace(Enum):
    """How the edges of two pictures alignment."""

    SAME = auto()
    MOVED = auto()  # each shows something at an edge that the other lacks
    A_IN_B = auto()
    B_IN_A = auto()
    FRAMED = auto()  # one has a border, or stands on a screen
    TILTED = auto()  # turned by a little, or seen at a slant


class Frame(Value, frozen=True):
    """Where `b` lies in `a`: its box, how far either sticks out of the other, and what the transform does to shapes.

    `pixels` is the further of both in pixels of the coarser picture.
    """

    b_in_a: PictureBox
    a_in_b: PictureBox
    b_out: float
    a_out: float
    pixels: float
    lean: float
    stretch: float


def frame_of(a: Prepared, b: Prepared, alignment: Alignment) -> Frame:
    """Describe how the edges alignment."""
    transform = alignment.transform
    longer, shorter, angle = _shape(in_pixels(transform, (a.width, a.height), (b.width, b.height)))
    scale = math.sqrt(longer * shorter)
    b_in_a, b_across, b_down = _extent(transform)
    a_in_b, a_across, a_down = _extent(inverse(transform))
    of_b = max(b_across * a.width, b_down * a.height) / max(1.0, scale)
    of_a = max(a_across * b.width, a_down * b.height) * min(1.0, scale)
    b_out, a_out = max(b_across, b_down), max(a_across, a_down)
    return Frame(b_in_a, a_in_b, b_out, a_out, max(of_b, of_a), min(angle, 90.0 - angle), longer / shorter - 1)


def _shape(linear: npt.NDArray[np.float64]) -> tuple[float, float, float]:
    """Give the axes of the ellipse that a circle becomes, and the degrees by which it is turned, up to quarters."""
    (xx, xy), (yx, yy) = linear.tolist()
    turned, mirrored = complex(xx + yy, yx - xy) / 2, complex(xx - yy, yx + xy) / 2
    rotation = turned if abs(turned) > abs(mirrored) else mirrored
    angle = math.degrees(math.atan2(rotation.imag, rotation.real)) % 90.0
    return abs(turned) + abs(mirrored), max(abs(abs(turned) - abs(mirrored)), 1e-6), angle


def _extent(transform: Affine) -> tuple[PictureBox, float, float]:
    """Give the box in which the unit square comes to alignment, and how far it sticks out, across and down."""
    (left, right), (top, bottom) = ends(transform)
    box = PictureBox(*(round(min(max(value, 0.0), 1.0), 4) for value in (left, top, right, bottom)))
    return box, max(-left, right - 1), max(-top, bottom - 1)


def place_of(a: Prepared, b: Prepared, alignment: Alignment, kind: PictureKind) -> tuple[EdgePlace, Frame]:
    """Say how the edges of two pictures alignment."""
    frame = frame_of(a, b, alignment)
    return _place(a, b, alignment, frame, kind), frame


def _place(a: Prepared, b: Prepared, alignment: Alignment, frame: Frame, kind: PictureKind) -> EdgePlace:
    if not alignment.is_plain and (frame.lean > TILTED or frame.stretch > SLANTED):
        return EdgePlace.TILTED
    more, less = max(frame.a_out, frame.b_out), min(frame.a_out, frame.b_out)
    error = PLAIN_ERROR if alignment.is_plain else EDGE_ERROR
    one_size = is_one_size(a, b, alignment.turn)
    if frame.pixels <= EDGE_PIXELS and (alignment.is_plain or not one_size or less <= MOVED):
        return EdgePlace.SAME
    if one_size and more < MOVED_FAR:
        return _place_of_one_size(alignment, more, less)
    if less > MOVED and more < 4 * less + error:
        return EdgePlace.MOVED if more < MOVED_FAR else EdgePlace.TILTED
    return EdgePlace.SAME if more <= error else _place_of_part(a, b, alignment, frame, kind)


def _place_of_one_size(alignment: Alignment, more: float, less: float) -> EdgePlace:
    """No part is cut out to the size of the whole; and what only shrank about its middle has other outlines."""
    if alignment.is_plain and less < ONE_WAY:
        return EdgePlace.SAME if more < SHRUNK else EdgePlace.TILTED
    return EdgePlace.MOVED if more > MOVED else EdgePlace.SAME


def _place_of_part(a: Prepared, b: Prepared, alignment: Alignment, frame: Frame, kind: PictureKind) -> EdgePlace:
    b_is_small = frame.a_out > frame.b_out
    large, placed = (a, alignment.transform) if b_is_small else (b, inverse(alignment.transform))
    if _is_framed(large, placed, kind):
        return EdgePlace.FRAMED
    return EdgePlace.B_IN_A if b_is_small else EdgePlace.A_IN_B


def _is_framed(large: Prepared, placed: Affine, kind: PictureKind) -> bool:
    """Tell whether only a margin lies around the small picture, put into the large one by `placed`."""
    gray = small(large)
    outside, u, v = _outside(placed, gray.shape)
    if not outside.any():
        return False
    around = gray[outside]
    level = float(np.median(around))
    if (np.abs(around - level) <= BORDER_LEVELS).mean() < BORDER_SHARE:
        return False
    if kind is PictureKind.LINE and level >= PAPER:
        ink = cv2.resize(ink_of(large), gray.shape[::-1], interpolation=cv2.INTER_AREA)
        if float(ink[outside].sum()) > LOST_INK * float(ink.sum()) and not _is_screen(u, v):
            return False
    return _is_even(placed, large)


def _outside(placed: Affine, shape: tuple[int, ...]) -> tuple[npt.NDArray[np.bool_], Floats, Floats]:
    """Tell which pixels of the large picture lie outside the small one, and where they all lie in that."""
    rows, columns = shape
    x = ((np.arange(columns) + 0.5) / columns).astype(np.float32)
    y = ((np.arange(rows) + 0.5) / rows).astype(np.float32)[:, None]
    back = inverse(placed)
    u, v = (row[0] * x + row[1] * y + row[2] for row in back)
    # Pixels that the edge goes through belong to neither.
    reach = 0.5 * np.abs(back[:, :2]) @ [1 / columns, 1 / rows] + PLAIN_ERROR
    return (u < -reach[0]) | (u > 1 + reach[0]) | (v < -reach[1]) | (v > 1 + reach[1]), u, v


def _is_screen(u: npt.NDArray[np.floating], v: npt.NDArray[np.floating]) -> bool:
    """Tell a picture as wide as the screen, with much room above and below."""
    return bool(max(-u.min(), u.max() - 1) < SCREEN_MARGIN and min(-v.min(), v.max() - 1) > SCREEN_ROOM)


def _is_even(placed: Affine, large: Prepared) -> bool:
    """Tell a border from a cut: a border is as wide on opposite sides, and in pixels rather than in shares."""
    box, *_ = _extent(placed)
    across = np.array([box.left, 1 - box.right])
    down = np.array([box.top, 1 - box.bottom])
    if max(across.mean(), down.mean()) < LEAST_BORDER:
        return False
    if max(np.ptp(across) * large.width, np.ptp(down) * large.height) > UNEVEN * max(large.width, large.height):
        return False
    pixels = np.array([across.mean() * large.width, down.mean() * large.height])
    shares = np.array([across.mean() / (box.right - box.left), down.mean() / (box.bottom - box.top)])
    as_pixels, as_shares = np.ptp(pixels) / pixels.max(), np.ptp(shares) / shares.max()
    return bool(as_pixels < max(as_shares, ALIKE) or as_shares > UNLIKE)


# Sides that differ by so much are not alike: in parts of the picture, and in parts of the margin.
UNEVEN, ALIKE, UNLIKE = 0.008, 0.05, 0.3
# A border is at least so wide, and a screen has at least so much room above and below.
LEAST_BORDER, SCREEN_ROOM, SCREEN_MARGIN = 0.0145, 0.06, 0.03
