"""What goes into the comparison of pictures and what comes out.

Knows keys, boxes and transforms; not where a picture is stored or which piece it belongs to.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from archgen.values.frozen import Value

if TYPE_CHECKING:
    from archgen.twins.description.prepared import Prepared

Transform = tuple[float, float, float, float, float, float]


class Relation(StrEnum):
    """How two pictures belong together."""

    IDENTICAL = "identical"  # the same pixels up to encoding and size
    EDITED = "edited"  # other light, colour, sharpness, a border, a slight tilt
    BURST = "burst"  # another exposure of the same moment
    MIRRORED = "mirrored"
    TURNED = "turned"  # by a quarter, half or three quarters
    CROPPED = "cropped"  # one is a part of the other
    VERSION = "version"  # the same design with another line weight


class PictureBox(Value, frozen=True):
    """A part of a picture, in fractions of its width and height."""

    left: float
    top: float
    right: float
    bottom: float


class ComparedPicture(Value, frozen=True):
    """A picture to be compared.

    `key` is any name that is the caller's own. A picture whose `is_stencil` is true is not compared with one where it
    is false; `None` is compared with both. `taken` is the moment of exposure in seconds, for bursts.
    """

    key: str
    prepared: Prepared
    is_stencil: bool | None = None
    taken: float | None = None


class Pair(Value, frozen=True):
    """Two pictures that belong together; `a` comes before `b` in the order of the keys.

    `b` looks like `a` mirrored left-right (when `mirrored`) and then turned clockwise by `turned` degrees.
    `transform` (xx, xy, x0, yx, yy, y0) sends a point of `b` to the same point of `a`, both in fractions of the
    upright picture: x_a = xx * x_b + xy * y_b + x0. `score` is 0.5 to 1; `part` names the key of the picture that is a
    part of the other one and `box` the place it has there; `weight` is the line weight of `b` over
    that of `a`. `None` where that is not so or not known.
    """

    a: str
    b: str
    relation: Relation
    mirrored: bool
    turned: int
    transform: Transform
    score: float
    part: str | None = None
    box: PictureBox | None = None
    weight: float | None = None
