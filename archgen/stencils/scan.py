"""Turn a scan or photograph of a drawing into ink coverage: paper tone, uneven light, dust; knows pixels only.

A scanner adds up light, then stores it on the sRGB curve. So coverage is read in linear light: on the stored values
every line came out 0.025 mm too thin at 600 dpi, in linear light 0.001 mm (measured on drawn lines).
"""

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from archgen.languages.house import say

Floats = NDArray[np.float32]

# Grain: the share of near-paper pixels that sit exactly on the paper's tone. Drawn pictures keep 90 % and more
# there (JPEG included), a scanner's grain of two levels leaves half.
_DRAWN_CONCENTRATION = 0.9
# Paper lit less than this share of the brightest is uneven: the darker side loses fine lines.
_UNEVEN_BELOW = 0.6
# Ink that takes less light away than this is pencil or a faint copy.
_FAINT_BELOW = 0.45
_LINEAR = np.array(
    [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in np.arange(256) / 255], np.float32
)


def looks_scanned(histogram: NDArray[np.int64]) -> bool:
    """Tell a scan's grainy paper from the even white of a drawn picture."""
    light = histogram[128:]
    if not light.any():
        return False
    paper = int(light.argmax()) + 128
    near = int(histogram[max(paper - 1, 0) : paper + 2].sum())
    around = int(histogram[max(paper - 6, 0) : paper + 7].sum())
    return near < _DRAWN_CONCENTRATION * around


def flatten(gray: Image.Image) -> tuple[Image.Image, tuple[str, ...]]:
    """Give ink coverage with even white paper, and what the artist should know about the scan."""
    light = _LINEAR[np.asarray(gray)]
    paper = _paper_tone(light)
    light /= paper
    sample = light[::2, ::2]
    grain = float(np.median(np.abs(sample - 1))) * 1.48
    marks = sample[sample < 1 - max(6 * grain, 0.12)]
    ink = float(np.quantile(marks, 0.05)) if marks.size else 0.0
    coverage = (1 - light) / max(1 - ink, 0.05)
    coverage = _without_dust(np.clip(coverage, 0, 1))
    return Image.fromarray(np.round(255 - 255 * coverage).astype(np.uint8)), _remarks(paper, ink)


def _remarks(paper: Floats, ink: float) -> tuple[str, ...]:
    remarks = []
    if 1 - ink < _FAINT_BELOW:
        remarks.append(
            say(
                "The scan is very light: its darkest lines are only gray. Lines may break up in print. "
                "Scan it again darker, or go over the drawing with a black pen first."
            )
        )
    if float(paper.min()) < _UNEVEN_BELOW * float(paper.max()):
        remarks.append(
            say(
                "The paper is lit unevenly, as in a photograph or beside a book's fold. Fine lines on "
                "the dark side may change. Scan it flat, or photograph it in even light from two sides."
            )
        )
    return tuple(remarks)


def _paper_tone(light: Floats) -> Floats:
    """Give the bare paper's light at every pixel: bright end of each block, holes filled, drawn out smoothly."""
    height, width = light.shape
    block = max(max(height, width) // 40, 8)
    step = max(block // 16, 1)
    rows, columns = max(height // block, 1), max(width // block, 1)
    thin = light[: rows * block : step, : columns * block : step]
    tone = np.empty((rows, columns), np.float32)
    for row, band in enumerate(np.array_split(thin, rows, axis=0)):
        for column, patch in enumerate(np.array_split(band, columns, axis=1)):
            tone[row, column] = np.quantile(patch, 0.85)
    tone = _fill_dark(tone)
    smooth = Image.fromarray(tone).resize((width, height), Image.Resampling.BICUBIC)
    return np.maximum(np.asarray(smooth, dtype=np.float32), np.float32(0.02))


def _fill_dark(tone: Floats) -> Floats:
    """Give blocks that solid ink covers the tone of their neighbours."""
    known = tone > 0.45 * np.quantile(tone, 0.9)
    if not known.any():  # black all over: there is no neighbour to take a tone from
        return tone
    tone = np.where(known, tone, 0)
    while not known.all():
        padded, flags = np.pad(tone, 1), np.pad(known, 1).astype(np.float32)
        rows, columns = tone.shape
        shifts = [(i, j) for i in range(3) for j in range(3)]
        total = sum(padded[i : i + rows, j : j + columns] for i, j in shifts)
        count = sum(flags[i : i + rows, j : j + columns] for i, j in shifts)
        grown = ~known & (count > 0)
        tone = np.where(grown, total / np.maximum(count, 1), tone).astype(np.float32)
        known = known | grown
    return tone


def _without_dust(coverage: Floats) -> Floats:
    """Drop specks too small for a pen, and the shadow of the paper's edge along the frame."""
    from archgen.images.filters import any_around, find_spots  # noqa: PLC0415  OpenCV, which only scans need

    spots = find_spots(coverage > 0.5)
    height, width = coverage.shape
    # A pen's dot of 0.3 mm on a sheet of 200 mm has 1/600 of its side.
    smallest = max((max(height, width) / 900) ** 2, 3)
    left, top, wide, tall = spots.boxes.T
    beside = (wide < 0.03 * width) & ((left == 0) | (left + wide == width))
    above = (tall < 0.03 * height) & ((top == 0) | (top + tall == height))
    drop = (spots.area < smallest) | beside | above
    drop[0] = False
    if not drop.any() or drop[1:].all():
        return coverage
    dropped = drop[spots.numbers]
    # One pixel further, so that no gray rim of the speck is left.
    wiped = any_around(dropped, 5) & ~any_around((spots.numbers > 0) & ~dropped, 3)
    return np.where(wiped, 0, coverage).astype(np.float32)
