"""Stencils with known truth: lines and gaps of exact width at any angle, covered by area, and a lopsided sign."""

import numpy as np
from PIL import Image, ImageDraw

from archgen.stencils.marks import find_marks

MM_PER_INCH = 25.4
_OVER = 8


def bar(half_length, half_width, angle, centre, size):
    """Give the coverage, exact to 1/64, of a turned rectangle in a square of `size` pixels."""

    def depth(x, y):
        along, across = x * np.cos(angle) + y * np.sin(angle), y * np.cos(angle) - x * np.sin(angle)
        return np.minimum(half_length - np.abs(along), half_width - np.abs(across))

    x, y = np.meshgrid(np.arange(size) + 0.5 - centre[0], np.arange(size) + 0.5 - centre[1])
    deep = depth(x, y)
    ink = (deep > 0).astype(float)
    edge = np.abs(deep) < 1
    steps = (np.arange(_OVER) + 0.5) / _OVER - 0.5
    down, across = np.meshgrid(steps, steps, indexing="ij")
    ink[edge] = (depth(x[edge][:, None] + across.ravel(), y[edge][:, None] + down.ravel()) > 0).mean(axis=1)
    return ink


def line_field(dpi, widths_mm, seed=0, *, gaps=False, columns=10, length_mm=14.0):
    """Draw one line (or gap: white in a black block) for each width, each at its own angle.

    Gives gray (uint8), the pixels per mm, and for each line its middle in pixels and its width in mm.
    """
    rng = np.random.default_rng(seed)
    k = dpi / MM_PER_INCH
    cell = int(np.ceil(length_mm * 1.4 * k))
    rows = -(-len(widths_mm) // columns)
    ink = np.zeros((rows * cell + 8, columns * cell + 8))
    truth = []
    for index, width in enumerate(widths_mm):
        x0, y0 = 4 + index % columns * cell, 4 + index // columns * cell
        centre = cell / 2 + rng.uniform(0, 1), cell / 2 + rng.uniform(0, 1)
        angle = rng.uniform(0, np.pi)
        patch = bar(length_mm * k / 2, width * k / 2, angle, centre, cell)
        if gaps:
            outer = bar(length_mm * k / 2, (width / 2 + 1.2) * k, angle, centre, cell)
            patch = np.maximum(outer - bar(length_mm * k, width * k / 2, angle, centre, cell), 0)
        ink[y0 : y0 + cell, x0 : x0 + cell] = patch
        truth.append((x0 + centre[0], y0 + centre[1], width))
    return np.round(255 - 255 * ink).astype(np.uint8), k, truth


def marks_of(gray):
    return find_marks(Image.fromarray(gray) if isinstance(gray, np.ndarray) else gray, "drawn")


def sign(width=600, height=800, *, one_bit=False):
    """Draw a lopsided sign that touches all four sides of its box and differs from its mirror image everywhere."""
    over = 1 if one_bit else 4
    image = Image.new("L", ((width + 40) * over, (height + 60) * over), 255)
    pen = ImageDraw.Draw(image)

    def box(left, top, right, bottom):
        pen.rectangle(
            ((20 + left * width) * over, (30 + top * height) * over,
             (20 + right * width) * over - 1, (30 + bottom * height) * over - 1), fill=0)  # fmt: skip

    box(0, 0, 0.12, 1)
    box(0, 0, 1, 0.08)
    box(0, 0.4, 0.6, 0.46)
    pen.line([(20 + 0.3 * width) * over, (30 + 0.5 * height) * over, (20 + 0.9 * width) * over,
              (30 + 0.9 * height) * over], fill=0, width=8 * over)  # fmt: skip
    return image if one_bit else image.reduce(over)
