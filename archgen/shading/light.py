"""The light of a reference as shading can follow it: lines taken out, edges kept, nothing finer than the bundle."""

import cv2
import numpy as np
import numpy.typing as npt
from PIL import Image

from archgen.images.filters import Flags, Floats, carried_out, guided
from archgen.shading.outline import lines_of, near

# How far the soft edge of a stencil's line reaches into the reference.
_SOFT_MM = 0.1
# Differences below this many steps of lightness are smoothed away.
_EDGE = 6.0
_ROUNDS = 2


def lightness(gray: Image.Image) -> Floats:
    """Turn sRGB gray into CIE L* (IEC 61966-2-1; CIE 15)."""
    level = np.arange(256) / 255
    linear = np.where(level <= 0.04045, level / 12.92, ((level + 0.055) / 1.055) ** 2.4)
    light = np.where(linear > 216 / 24389, 116 * np.cbrt(linear) - 16, linear * 24389 / 27)
    return np.asarray(light.astype(np.float32)[np.asarray(gray.convert("L"))])


def gray_of(light: float) -> int:
    """Turn CIE L* into the level of sRGB gray, 0 to 255."""
    linear = ((light + 16) / 116) ** 3 if light > 8 else light * 27 / 24389
    level = linear * 12.92 if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055
    return min(max(round(255 * level), 0), 255)


def without_lines(light: Floats, ink: Flags, within: Flags, lights: Flags, px_per_mm: float) -> Floats:
    """Fill the drawing's lines, small lights, and all that lies outside it, from the nearest place beside."""
    clear = within & ~near(lines_of(ink, px_per_mm) | lights, _SOFT_MM * px_per_mm)
    return carried_out(light, clear if clear.any() else within)


def smoothed(light: Floats, bundle_px: float) -> Floats:
    """Even out what is finer than half the bundle: guided filter, then an opening and a closing by a disc, averaged.

    A level set of what comes out is nearly open already, so that few pixels change tone later. Of 18 ways tried on 28
    photographs this came out most like them; another round with a whole bundle's disc joins narrow stripes to a gray.
    """
    for _ in range(_ROUNDS):
        light = guided(light, max(round(bundle_px / 2), 1), _EDGE)
    levels = np.rint(np.clip(light, 0, 100) * 2.55).astype(np.uint8)
    disc = _disc(bundle_px / 2)
    there = _closed(_opened(levels, disc), disc)
    back = _opened(_closed(levels, disc), disc)
    return ((there.astype(np.float32) + back) / np.float32(5.1)).astype(np.float32)


def _disc(size_px: float) -> npt.NDArray[np.uint8]:
    """Give a disc of odd size: OpenCV sets the middle of an even one beside its middle, and such an opening adds."""
    side = 2 * int(np.ceil((size_px - 1) / 2)) + 1
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side)), np.uint8)


def _opened(levels: npt.NDArray[np.uint8], disc: npt.NDArray[np.uint8]) -> npt.NDArray[np.uint8]:
    return np.asarray(cv2.morphologyEx(levels, cv2.MORPH_OPEN, disc), np.uint8)


def _closed(levels: npt.NDArray[np.uint8], disc: npt.NDArray[np.uint8]) -> npt.NDArray[np.uint8]:
    return np.asarray(cv2.morphologyEx(levels, cv2.MORPH_CLOSE, disc), np.uint8)
