"""What is asked and kept of pictures laid on each other by their lines; plain values only."""

from pathlib import Path

import msgspec
from PIL import Image

from archgen.picture_facts.facts import Derivative, ImageFacts

# The long side of the copies that lines are looked for on, at least.
_LINE_SIDE = 900
# A point of one picture and the same point of another, in pixels of the upright files.
PointPair = tuple[float, float, float, float]


class LinePicture(msgspec.Struct, frozen=True):
    """A picture whose lines are looked for: the size of its upright file, a copy (a blob of the cache), handedness."""

    width: int
    height: int
    copy: str
    mirrored: bool = False

    def open(self, blobs: Path) -> Image.Image:
        """Open it as it is seen on the skin.

        Raises:
            OSError: The copy cannot be read.
        """
        with Image.open(blobs / self.copy) as opened:
            upright = opened.convert("RGB")
        return upright.transpose(Image.Transpose.FLIP_LEFT_RIGHT) if self.mirrored else upright


def line_picture(facts: ImageFacts, *, mirrored: bool = False) -> LinePicture:
    """Choose the smallest copy of a picture that is large enough."""
    by_width = sorted(facts.screen, key=lambda one: max(one.width, one.height))
    copy = next((one for one in by_width if max(one.width, one.height) >= _LINE_SIDE), by_width[-1])
    return LinePicture(facts.width, facts.height, copy.blob, mirrored)


class LayJob(msgspec.Struct, frozen=True):
    """The photos of a piece to lay on each other, and the stencil to lay on them.

    Attributes:
        photos: The fresh one and the healed one, or the only one there is.
        drawing_px_per_mm: Pixels of the stencil's file that are printed as a millimetre; None when not known.
        on_photos: For each photo the recorded points of the stencil on it.
    """

    photos: tuple[LinePicture, ...]
    drawing: LinePicture | None
    drawing_px_per_mm: float | None
    on_photos: tuple[tuple[PointPair, ...], ...]


class FramePart(msgspec.Struct, frozen=True):
    """A part of a picture, in shares of its width and height."""

    left: float
    top: float
    width: float
    height: float


WHOLE = FramePart(0.0, 0.0, 1.0, 1.0)


class LaidLayer(msgspec.Struct, frozen=True):
    """One picture as it lies on the last photo, as a copy of that photo's shape.

    Attributes:
        recorded: Whether points somebody set led there; else it is a proposal.
        settled: Whether the lines settle the place; else only the eye can.
    """

    picture: Derivative
    recorded: bool
    settled: bool


class LaidFacts(msgspec.Struct, frozen=True):
    """Photos laid on each other.

    Attributes:
        fresh: The fresh photo as it lies on the healed one.
        stencils: The stencil's lines as they lie on each photo, in the shape of the last.
        alike_elsewhere: Whether the drawing fits about as well in other places.
        no_shift_seen: Whether nine tenths of the fresh lines have a healed one within a millimetre, far more than
            chance gives; nothing is said otherwise.
        both: What of the healed photo's frame both photos show.
    """

    fresh: LaidLayer | None
    stencils: tuple[LaidLayer | None, ...]
    alike_elsewhere: bool = False
    no_shift_seen: bool = False
    both: FramePart = WHOLE

    @property
    def is_certain(self) -> bool:
        """Say whether the drawing has but one place, or somebody said which it is."""
        return not self.alike_elsewhere or all(layer.recorded for layer in self.layers)

    @property
    def layers(self) -> tuple[LaidLayer, ...]:
        """Give every layer there is, the fresh photo first."""
        return tuple(layer for layer in (self.fresh, *self.stencils) if layer)

    @property
    def blobs(self) -> tuple[str, ...]:
        """Give the blobs that belong to these facts."""
        return tuple(layer.picture.blob for layer in self.layers)
