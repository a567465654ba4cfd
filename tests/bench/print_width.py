"""Draw stencils of known size in every kind of file, print them, and let poppler say how wide they came out.

What is measured is black on paper: the first and last dark column of the whole print, and the scale between two bars
inside the drawing.
"""

import datetime as dt
import math
import random
from dataclasses import dataclass

import cv2
import numpy as np
import pikepdf
from PIL import Image

from archgen.config import PrinterSettings
from archgen.pieces.prints import WantedPrint, image_job
from archgen.printing.stencil_pdf import write
from archgen.printing.stencil_plan import make_plan
from tests import printed_page

KINDS = ("gray.png", "stepped.png", "scan.jpg", "drawing.svg", "drawing.pdf")
DPIS = (203, 300, 600)
# Places in hundredths of the width: a tip on the left, a blunt end on the right, a ring, two bars between.
_BARS = (20.0, 78.0)


@dataclass(frozen=True)
class KnownShape:
    """Outlines in hundredths of the width, and the height of it all likewise."""

    polygons: tuple[tuple[tuple[float, float], ...], ...]
    height: float


def shape(rng):
    """Make a drawing 100 wide whose leftmost point is a tip of 8 to 60 degrees, and that is as high as its bars."""
    tall = rng.uniform(30, 120)
    half = 15 * math.tan(math.radians(rng.uniform(4, 30)))
    middle = tall * rng.uniform(0.3, 0.7)
    tip = ((0, middle), (15, middle - half), (15, middle + half))
    bars = tuple(((x, 0), (x + 2, 0), (x + 2, tall), (x, tall)) for x in _BARS)
    ring = tuple(
        (90 + 10 * math.cos(turn), tall / 2 + 10 * math.sin(turn)) for turn in np.linspace(0, 2 * math.pi, 181)[:-1]
    )
    return KnownShape((tip, *bars, ring), tall)


def save(known, kind, folder, px):
    """Write it as a file of so many pixels across; vector files have none."""
    path = folder / kind
    if kind.endswith(".svg"):
        paths = "".join(f'<path d="M{" L".join(f"{x} {y}" for x, y in one)} Z"/>' for one in known.polygons)
        path.write_text(
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-20 -30 160 {known.height + 50}">{paths}</svg>'
        )
    elif kind.endswith(".pdf"):
        _save_pdf(known, path)
    else:
        _raster(known, px, kind).save(path, quality=95)
    return path


def _save_pdf(known, path):
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(400, 2 * known.height + 90))
        parts = []
        for one in known.polygons:
            points = [f"{40 + 2 * x:.4f} {2 * known.height + 40 - 2 * y:.4f}" for x, y in one]
            parts.append(f"{points[0]} m " + " ".join(f"{point} l" for point in points[1:]) + " h f")
        page.contents_add(" ".join(parts).encode())
        pdf.save(path)


def _raster(known, px, kind):
    over, scale = 8, px / 100
    size = (round((known.height + 10) * scale) * over, round(110 * scale) * over)
    canvas = np.full(size, 255, np.uint8)
    for one in known.polygons:
        points = np.round((np.array(one) + 5) * scale * over * 16 - 8).astype(np.int32)
        cv2.fillPoly(canvas, [points], 0, cv2.LINE_8, 4)
    gray = Image.fromarray(canvas).reduce(over)
    return gray.point([0] * 128 + [255] * 128) if kind.startswith("stepped") else gray


def printed(path, width_mm, dpi, factor):
    """Print it as the command does."""
    printer = PrinterSettings(dpi=dpi, measured_x_mm=factor, method="thermal", paper="A3", margin_mm=3)
    wanted = WantedPrint(printer, dt.date(2026, 3, 14), width_mm=width_mm)
    return write(make_plan(image_job(path, wanted)))


def errors_mm(pdftoppm, data, path, width_mm, factor):
    """Give how far the width and the distance of the bars are off, in mm on skin."""
    path.write_bytes(data)
    (placed,) = printed_page.placed_images(data)
    true = 100 / factor
    left, _ = printed_page.black_span(pdftoppm, path, (placed.left - 1, placed.top, 3, placed.height), dpi=4800)
    _, right = printed_page.black_span(
        pdftoppm, path, (placed.left + placed.width - 2, placed.top, 3, placed.height), dpi=4800
    )
    edges = []
    for bar in _BARS:
        at = placed.left + placed.width * (bar + 1) / 100
        reach = placed.width * 0.015
        edges.append(sum(_span(pdftoppm, path, (at - reach, placed.top + placed.height * 0.02, 2 * reach, 0.3))) / 2)
    apart = (edges[1] - edges[0]) / true
    return (right - left) / true - width_mm, apart - width_mm * (_BARS[1] - _BARS[0]) / 100


def _span(pdftoppm, path, window):
    return printed_page.black_span(pdftoppm, path, window, dpi=2400)


def jobs(count, seed):
    """List random jobs, every kind of file on every kind of head among the first fifteen."""
    rng = random.Random(seed)
    for number in range(count):
        dpi = DPIS[number // len(KINDS) % len(DPIS)]
        yield KINDS[number % len(KINDS)], dpi, rng.uniform(25, 150), rng.choice((100.0, 99.4, 100.6)), shape(rng)
