"""Measure on a small copy of a picture what tells drawings, skin and other pictures apart; knows pixels only."""

import cv2
import msgspec
import numpy as np
import numpy.typing as npt
from PIL import Image

from archgen.images.filters import length

Floats = npt.NDArray[np.float32]
Mask = npt.NDArray[np.bool_]

# Raise with every change of what is measured.
VERSION = 3
# Long side that is measured on: lines of a drawing are still a pixel wide, and grain is gone.
SIDE = 448
# CIE Lab. Skin of any tone lies in one wedge of hue; chroma and lightness leave out grays, woods and fires.
_SKIN_HUE, _SKIN_CHROMA, _SKIN_LIGHT = (18.0, 78.0), (7.0, 48.0), (13.0, 93.0)
# How far from the paper's colour a point still is bare paper, and how far beyond that it is ink at full strength.
_PAPER_APART, _INK_APART = 9.0, 45.0
# Chroma from which a point has a hue; how far from the mean hue nine tenths of them may lie, in degrees.
_COLOURED, _HUE_APART = 12.0, 14.0
_PLAINLY = 18.0


class Measures(msgspec.Struct, frozen=True):
    """What was measured; shares are of the whole picture unless said otherwise.

    Attributes:
        paper: Share that is bare paper: of the colour that most of the edge has.
        paper_light: Lightness of that colour, 0 to 100; paper_chroma its chroma.
        gray_ink: Of what is not paper, the share that lies between paper and ink: gray planes and washes.
        ink_chroma: Chroma of what is drawn, at its 80th percentile.
        coloured: Share of what is drawn that plainly has a colour.
        planes: Of what is drawn, the share that is wider than any line.
        one_hue: Whether all that has colour in it has nearly the same hue, as lines of transfer paper have.
        ink_light: Lightness of the darkest tenth of what is drawn.
        skin: Share with a colour that skin has.
        skin_block: Share of the largest such area, holes filled.
        ink_on_skin: Of that area, the share of dark marks narrower than a few centimetres.
        redness: How much redder the skin beside those marks is than far from them.
        flat: Share where neighbours are equal to the last bit: painted by a program.
        chroma: Mean chroma.
        sharpness: Variance of the Laplacian in the sharpest quarter.
    """

    paper: float
    paper_light: float
    paper_chroma: float
    gray_ink: float
    ink_chroma: float
    coloured: float
    planes: float
    one_hue: bool
    ink_light: float
    skin: float
    skin_block: float
    ink_on_skin: float
    redness: float
    flat: float
    chroma: float
    sharpness: float


def measure_picture(picture: Image.Image) -> Measures:
    """Measure an upright sRGB or gray picture."""
    small = _small(picture)
    pixels = np.asarray(small.convert("RGB"))
    lab = np.asarray(cv2.cvtColor(pixels.astype(np.float32) / 255, cv2.COLOR_RGB2LAB), np.float32)
    chroma = length(lab[..., 1], lab[..., 2])
    skin = _skin(lab, chroma)
    block = _largest_block(skin)
    ink = _ink_on(block, lab)
    apart, paper = _apart_from_paper(lab)
    drawn = apart > _PAPER_APART
    return Measures(
        paper=1 - _share(drawn),
        paper_light=round(float(paper[0]), 2),
        paper_chroma=round(float(np.hypot(paper[1], paper[2])), 2),
        gray_ink=_between(apart, drawn),
        ink_chroma=_percentile(chroma[drawn], 80),
        coloured=round(float((drawn & (chroma > _PLAINLY)).sum() / max(int(drawn.sum()), 1)), 4),
        planes=_planes(drawn),
        one_hue=_has_one_hue(lab, drawn & (chroma > _COLOURED)),
        ink_light=_percentile(lab[..., 0][drawn], 10),
        skin=_share(skin),
        skin_block=_share(block),
        ink_on_skin=round(float(ink.sum() / max(int(block.sum()), 1)), 4),
        redness=_redness(lab, block, ink),
        flat=_flat(pixels),
        chroma=round(float(chroma.mean()), 2),
        sharpness=_sharpness(pixels),
    )


def _small(picture: Image.Image) -> Image.Image:
    factor = max(picture.size) // (2 * SIDE)
    reduced = picture.reduce(factor) if factor > 1 else picture
    scale = SIDE / max(reduced.size)
    if scale >= 1:
        return reduced
    size = (max(1, round(reduced.width * scale)), max(1, round(reduced.height * scale)))
    return reduced.resize(size, Image.Resampling.BOX)


def _share(mask: Mask) -> float:
    return round(float(mask.mean()), 4)


def _percentile(values: Floats, percent: float) -> float:
    return round(float(np.percentile(values, percent)), 2) if values.size else 0.0


def _skin(lab: Floats, chroma: Floats) -> Mask:
    light, red, yellow = cv2.split(lab)
    least, most = (np.float32(np.tan(np.radians(hue))) for hue in _SKIN_HUE)  # both under a right angle
    of_hue = (red > 0) & (red * least < yellow) & (yellow < red * most)
    inside = [
        (low < values) & (values < high) for values, (low, high) in ((chroma, _SKIN_CHROMA), (light, _SKIN_LIGHT))
    ]
    return np.asarray(of_hue & inside[0] & inside[1])


def _largest_block(skin: Mask) -> Mask:
    """Give the largest area of skin with the marks in it, which have no colour of skin themselves."""
    closed = cv2.morphologyEx(skin.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((15, 15), np.uint8))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(closed)
    if count < 2:
        return np.zeros(skin.shape, bool)
    best = 1 + int(stats[1:, cv2.CC_STAT_AREA].argmax())
    block = (labels == best).astype(np.uint8)
    outlines, _ = cv2.findContours(block, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return np.asarray(cv2.drawContours(np.zeros_like(block), outlines, -1, 1, cv2.FILLED) > 0)


def _ink_on(block: Mask, lab: Floats) -> Mask:
    """Find dark marks inside an area of skin: darker than the skin round them, and less coloured."""
    if not block.any():
        return np.zeros(block.shape, bool)
    light = np.ascontiguousarray(lab[..., 0])
    round_them = cv2.GaussianBlur(cv2.morphologyEx(light, cv2.MORPH_CLOSE, np.ones((31, 31), np.uint8)), (0, 0), 6)
    inner = cv2.erode(block.astype(np.uint8), np.ones((9, 9), np.uint8)) > 0
    return np.asarray(inner & (round_them - light > 0.16 * round_them + 3))


def _redness(lab: Floats, block: Mask, ink: Mask) -> float:
    if ink.sum() < 40:
        return 0.0
    near = cv2.dilate(ink.astype(np.uint8), np.ones((7, 7), np.uint8)) > 0
    wide = cv2.dilate(ink.astype(np.uint8), np.ones((45, 45), np.uint8)) > 0
    beside = near & ~(cv2.dilate(ink.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0) & block
    far = block & ~wide
    if beside.sum() < 40 or far.sum() < 200:
        return 0.0
    return round(float(np.median(lab[..., 1][beside]) - np.median(lab[..., 1][far])), 2)


def _apart_from_paper(lab: Floats) -> tuple[Floats, Floats]:
    """Give how far every point is from the colour that most of the edge has."""
    edge = np.concatenate([lab[0], lab[-1], lab[:, 0], lab[:, -1]])
    paper = np.median(edge, axis=0)
    off = lab - paper
    return np.sqrt(np.einsum("ijk,ijk->ij", off, off)), paper


def _between(apart: Floats, drawn: Mask) -> float:
    """Give the share of what is drawn that has a middle tone and isn't merely the edge of a line."""
    if not drawn.any():
        return 0.0
    middle = drawn & (apart < _INK_APART)
    plane = cv2.erode(middle.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    return round(float(plane.sum() / drawn.sum()), 4)


def _planes(drawn: Mask) -> float:
    wide = cv2.erode(drawn.astype(np.uint8), np.ones((9, 9), np.uint8)) > 0
    return round(float(wide.sum() / max(int(drawn.sum()), 1)), 4)


def _has_one_hue(lab: Floats, coloured: Mask) -> bool:
    """Say whether what has colour has one: blue or violet, since red and yellow lines are no stencil's."""
    if not coloured.any():
        return False
    hues = np.arctan2(lab[..., 2][coloured], lab[..., 1][coloured])
    mean = np.arctan2(np.sin(hues).mean(), np.cos(hues).mean())
    apart = np.degrees(np.abs(np.mod(hues - mean + np.pi, 2 * np.pi) - np.pi))
    return bool(np.percentile(apart, 90) < _HUE_APART and -130 < np.degrees(mean) < -20)


def _flat(pixels: npt.NDArray[np.uint8]) -> float:
    red, green, blue = (pixels[..., channel].astype(np.uint32) for channel in range(3))
    whole = red << 16 | green << 8 | blue
    across = whole[:, 1:] == whole[:, :-1]
    return round(float(across.mean()), 4)


def _sharpness(pixels: npt.NDArray[np.uint8]) -> float:
    gray = cv2.cvtColor(pixels, cv2.COLOR_RGB2GRAY).astype(np.float32)
    energy = np.square(cv2.Laplacian(gray, cv2.CV_32F))
    blocks = cv2.resize(energy, (8, 8), interpolation=cv2.INTER_AREA)
    return round(float(np.sort(blocks.ravel())[-16:].mean()), 2)
