"""Cut a gray picture into the printer's dots and pack them as CCITT Group 4; knows dots, not millimetres."""

from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageChops, TiffImagePlugin

from archgen.values.frozen import Value

# Tags of TIFF 6.0: the strip is taken out of the file, so all rows must lie in one.
_ROWS_PER_STRIP, _PHOTOMETRIC, _STRIP_OFFSETS, _STRIP_BYTES = 278, 262, 273, 279
_BLACK_IS_ZERO = 1
_INK_LEVEL = 127
# Lighter than this is paper, or the faint ripple that enlarging leaves beside edges.
_BLANK_LEVEL = 250
# A file already in ink and paper keeps its pixels up to this many per printer dot; beyond, the printer would drop some.
_FINEST_KEPT = 2.0


class Bitmap(Value, frozen=True):
    """Ink and paper, cut to the ink: mode "1", black is ink; `drawn_px` is the full grid that the box was cut into."""

    image: Image.Image
    drawn_px: tuple[int, int]


def cut(
    gray: Image.Image, box: tuple[float, float, float, float], size_px: tuple[int, int], *, one_bit: bool
) -> Bitmap:
    """Reduce or enlarge the box to so many dots and cut at one half; ink-and-paper files keep their pixels.

    Lanczos on coverage keeps both edges of a line where they are; the cut at one half moves neither.
    """
    if one_bit and (box[2] - box[0]) <= _FINEST_KEPT * size_px[0]:
        whole = gray.crop((round(box[0]), round(box[1]), round(box[2]), round(box[3])))
        return _tight(_threshold(whole))
    small = gray.resize(size_px, Image.Resampling.LANCZOS, box=box)
    return _tight(_with_tips(np.asarray(small)))


def _threshold(gray: Image.Image) -> Image.Image:
    return gray.point([0] * (_INK_LEVEL + 1) + [255] * (255 - _INK_LEVEL), "1")


def _with_tips(gray: NDArray[np.uint8]) -> Image.Image:
    """Cut at one half, but keep a dot for tips that are finer than half a dot, out to the edges of the box.

    Without them the drawing would end short of its width, and be enlarged to reach it.
    """
    ink = gray <= _INK_LEVEL
    for turned, dots in ((gray.T, ink.T), (gray.T[::-1], ink.T[::-1]), (gray, ink), (gray[::-1], ink[::-1])):
        bare = int(dots.any(axis=1).argmax())
        at = turned[:bare].argmin(axis=1)
        seen = turned[np.arange(bare), at] < _BLANK_LEVEL
        dots[np.flatnonzero(seen), at[seen]] = True
    return Image.fromarray(np.where(ink, np.uint8(0), np.uint8(255))).convert("1", dither=Image.Dither.NONE)


def _tight(dots: Image.Image) -> Bitmap:
    """Cut to the ink: the width asked for is that of the ink."""
    ink = ImageChops.invert(dots).getbbox()
    if ink is None:
        return Bitmap(dots, dots.size)
    return Bitmap(dots.crop(ink), dots.size)


def pack(dots: Image.Image) -> tuple[bytes, bool]:
    """Give the Group 4 code of a bitmap and whether PDF must read its black as 1.

    A TIFF in one strip, as Pillow writes it, is one Group 4 stream; tag 262 says what the coder took for black.
    """
    buffer = BytesIO()
    dots.save(buffer, "TIFF", compression="group4", tiffinfo={_ROWS_PER_STRIP: dots.height})
    buffer.seek(0)
    with TiffImagePlugin.TiffImageFile(buffer) as tiff:
        tags = tiff.tag_v2
        offset, length = tags[_STRIP_OFFSETS], tags[_STRIP_BYTES]
        black_is_one = tags[_PHOTOMETRIC] == _BLACK_IS_ZERO
    return buffer.getvalue()[offset[0] : offset[0] + length[0]], black_is_one
