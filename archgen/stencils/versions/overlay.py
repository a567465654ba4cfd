"""Lay two drawings over each other at their printed size so that they agree best; knows gray pixels and mm."""

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter, ImageOps

Floats = NDArray[np.float32]

# A shift found at four pixels to the millimetre, and between pixels, is finer than anyone sees on a page.
_PX_PER_MM = 4.0
_LARGEST_PX = 500
# Two drawings of one line a little apart still meet when softened; against their wider surroundings a thin line
# does not fit into a thick one.
_SOFT_PX, _AROUND_PX = 1.5, 4.5


def best_shift(first: Image.Image, second: Image.Image, first_mm: float, second_mm: float) -> tuple[float, float]:
    """Give how far right and down the second's corner lies from the first's, in mm; both are cut to their marks."""
    sides = [first_mm, second_mm, *(mm * im.height / im.width for im, mm in ((first, first_mm), (second, second_mm)))]
    scale = min(_PX_PER_MM, _LARGEST_PX / max(sides))
    inks = [_ink(picture, mm * scale) for picture, mm in ((first, first_mm), (second, second_mm))]
    match = _match(*inks)
    rows, columns = match.shape
    down, right = np.unravel_index(int(match.argmax()), match.shape)
    return (
        _between(match[down], int(right), columns) / scale,
        _between(match[:, right], int(down), rows) / scale,
    )


def _match(first: Floats, second: Floats) -> Floats:
    """Give how well the two agree at each shift of the second; shifts up and to the left come from the far ends."""
    rows, columns = (cv2.getOptimalDFTSize(first.shape[axis] + second.shape[axis]) for axis in (0, 1))
    waves = []
    for ink in (first, second):
        wide = np.zeros((rows, columns), np.float32)
        wide[: ink.shape[0], : ink.shape[1]] = ink
        waves.append(cv2.dft(wide))
    product = cv2.mulSpectrums(waves[0], waves[1], 0, conjB=True)
    return np.asarray(cv2.idft(product, flags=cv2.DFT_SCALE), np.float32)


def _ink(gray: Image.Image, width_px: float) -> Floats:
    width = max(round(width_px), 1)
    small = gray.resize((width, max(round(width * gray.height / gray.width), 1)), Image.Resampling.BOX)
    padded = ImageOps.expand(ImageOps.invert(small), round(2 * _AROUND_PX))
    soft, around = (
        np.asarray(padded.filter(ImageFilter.GaussianBlur(radius)), dtype=np.float32)
        for radius in (_SOFT_PX, _AROUND_PX)
    )
    return soft - around


def _between(line: Floats, peak: int, length: int) -> float:
    """Give the top of the parabola through the peak and its neighbours; beyond the middle the shift is negative."""
    before, top, after = (float(line[(peak + step) % length]) for step in (-1, 0, 1))
    bend = before - 2 * top + after
    place = peak + (0.5 * (before - after) / bend if bend else 0.0)
    return place - length if place > length / 2 else place
