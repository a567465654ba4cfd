"""Find the drawn part of a stencil on its paper, without a second picture of full size; knows gray pixels only."""

import numpy as np
from PIL import Image

from archgen.errors import InputError
from archgen.stencils import marks, scan
from archgen.stencils.specks import Specks, find_specks

Box = tuple[int, int, int, int]

# Reading the ink of a grainy scan takes 30 bytes per pixel, so it is done at this size; the edges are then looked up
# in the full picture. Lines of 0.1 mm on an A4 sheet still cover a whole pixel here.
_SEARCH_PX = 2000
_SEARCH_BYTES = 30
_LIGHT = 128


def memory_needed(pixels: int) -> int:
    """Estimate the bytes that finding and cutting out the marks takes, the gray picture included."""
    return max(2 * pixels, pixels + _SEARCH_BYTES * min(pixels, _SEARCH_PX**2))


def marks_box(gray: Image.Image) -> Box | None:
    """Give left, top, right, bottom of the drawing in whole pixels; None where there is none."""
    factor = -(-max(gray.size) // _SEARCH_PX)
    try:
        found = marks.find_marks(gray.reduce(factor) if factor > 1 else gray, "").box
    except InputError:
        return None
    rough = tuple(round(edge * factor) for edge in found)
    near = (rough[0] - factor, rough[1] - factor, rough[2] + factor, rough[3] + factor)
    left, top, right, bottom = max(near[0], 0), max(near[1], 0), min(near[2], gray.width), min(near[3], gray.height)
    paper, ink = _tones(gray)
    dark = gray.crop((left, top, right, bottom)).point([255 * (level <= (paper + ink) // 2) for level in range(256)])
    exact = dark.getbbox() or (0, 0, right - left, bottom - top)
    # Uneven light defeats a single cut: an edge that it moves far stays where the careful search put it.
    shifted = (exact[0] + left, exact[1] + top, exact[2] + left, exact[3] + top)
    edges = [new if abs(new - old) <= 2 * factor else old for new, old in zip(shifted, rough, strict=True)]
    return max(edges[0], 0), max(edges[1], 0), min(edges[2], gray.width), min(edges[3], gray.height)


def specks_beside(gray: Image.Image) -> Specks | None:
    """Find specks far beside the drawing that will be printed; the dust of a scan won't."""
    if scan.looks_scanned(np.asarray(gray.histogram(), dtype=np.int64)):
        return None
    return find_specks(np.asarray(gray) <= marks.INK_LEVEL)


def on_white(gray: Image.Image) -> Image.Image:
    """Make the paper white and the ink black, so that a scan prints as a drawing and not as a gray card."""
    paper, ink = _tones(gray)
    light, dark = paper - (paper - ink) * 0.1, ink + (paper - ink) * 0.02
    if paper == 255 and ink == 0:
        return gray
    scale = 255 / max(light - dark, 1)
    return gray.point([round(min(max((level - dark) * scale, 0), 255)) for level in range(256)])


def _tones(gray: Image.Image) -> tuple[int, int]:
    """Give the paper's most frequent tone and the tone that one dark pixel in a hundred has at most."""
    histogram = gray.histogram()
    light = histogram[_LIGHT:]
    paper = light.index(max(light)) + _LIGHT if any(light) else 255
    dark = histogram[:_LIGHT]
    wanted, seen = sum(dark) * 0.01, 0
    for level, count in enumerate(dark):
        seen += count
        if seen > wanted:
            return paper, level
    return paper, 0
