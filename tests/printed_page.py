"""Read a printed stencil with other programs: pikepdf for what the PDF says, poppler for what appears on paper.

The comparers here give a list of complaints; empty means that the print is right. They are tested themselves.
"""

import subprocess
from dataclasses import dataclass
from io import BytesIO

import numpy as np
import pikepdf
from PIL import Image

POINTS_PER_MM = 72 / 25.4


@dataclass(frozen=True)
class Placed:
    """An image as a content stream places it: mm on the sheet from the upper left, and the clip, if any."""

    page: int
    name: str
    left: float
    top: float
    width: float
    height: float
    clip: tuple[float, float, float, float] | None


def placed_images(data):
    """Follow the transformation matrices of every page to each painted image."""
    found = []
    with pikepdf.open(BytesIO(data)) as pdf:
        for number, page in enumerate(pdf.pages):
            height = float(page.MediaBox[3])
            matrix, clip, stack, path = pikepdf.Matrix(), None, [], None
            for operands, operator in pikepdf.parse_content_stream(page):
                name = str(operator)
                if name == "q":
                    stack.append((matrix, clip))
                elif name == "Q":
                    matrix, clip = stack.pop()
                elif name == "cm":
                    matrix = pikepdf.Matrix(*map(float, operands)) @ matrix
                elif name == "re":
                    path = _corners(matrix, map(float, operands), height)
                elif name == "W":
                    clip = path
                elif name == "Do":
                    box = _corners(matrix, (0, 0, 1, 1), height)
                    found.append(Placed(number, str(operands[0]), *box, clip))
    return found


def stroked_boxes(data):
    """Give for every page the rectangles whose outline is drawn: left, top, width, height, line width, all in mm."""
    found = []
    with pikepdf.open(BytesIO(data)) as pdf:
        for page in pdf.pages:
            height, matrix, width, stack, path = float(page.MediaBox[3]), pikepdf.Matrix(), 1.0, [], None
            found.append([])
            for operands, operator in pikepdf.parse_content_stream(page):
                name = str(operator)
                if name == "q":
                    stack.append((matrix, width))
                elif name == "Q":
                    matrix, width = stack.pop()
                elif name == "cm":
                    matrix = pikepdf.Matrix(*map(float, operands)) @ matrix
                elif name == "w":
                    width = float(operands[0]) * abs(matrix.a) / POINTS_PER_MM
                elif name == "re":
                    path = _corners(matrix, map(float, operands), height)
                elif name == "S" and path:
                    found[-1].append((*path, width))
                if name not in ("re", "w"):
                    path = None
    return found


def drawn_lines(data):
    """Give both ends of every straight line that is drawn, in the units it is drawn in."""
    found, start = [], None
    with pikepdf.open(BytesIO(data)) as pdf:
        for page in pdf.pages:
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) == "m":
                    start = [float(one) for one in operands]
                elif str(operator) == "l":
                    found.append((*start, *(float(one) for one in operands)))
    return found


def _corners(matrix, rectangle, page_height):
    """Give left, top, width, height in mm of a rectangle under a matrix."""
    x, y, width, height = rectangle
    ends = [matrix.transform((x, y)), matrix.transform((x + width, y + height))]
    xs, ys = sorted(end[0] for end in ends), sorted(page_height - end[1] for end in ends)
    return tuple(v / POINTS_PER_MM for v in (xs[0], ys[0], xs[1] - xs[0], ys[1] - ys[0]))


def stored_dots(data, name="/Stencil1"):
    """Decode the embedded bitmap with pikepdf (libtiff): True is painted black."""
    with pikepdf.open(BytesIO(data)) as pdf:
        mask = pdf.pages[0].Resources.XObject[name]
        assert mask.ImageMask
        picture = pikepdf.PdfImage(mask).as_pil_image().convert("1")
    # Without a Decode array, sample 0 of a mask is painted (ISO 32000-1, 8.9.6.2); Pillow shows it as black.
    return ~np.asarray(picture)


def render(pdftoppm, path, dpi, page=1, window_mm=None):
    """Let poppler print a page, or a window (left, top, width, height in mm) of it, as gray."""
    command = [pdftoppm, "-r", str(dpi), "-gray", "-aa", "no", "-aaVector", "no", "-f", str(page), "-l", str(page)]
    if window_mm:
        pixels = [round(value / 25.4 * dpi) for value in window_mm]
        command += ["-x", str(pixels[0]), "-y", str(pixels[1]), "-W", str(pixels[2]), "-H", str(pixels[3])]
    shot = subprocess.run([*command, str(path)], check=True, capture_output=True).stdout
    return np.asarray(Image.open(BytesIO(shot)))


def black_span(pdftoppm, path, window_mm, dpi=4800, axis=1):
    """Measure from the first to the last black across a thin window: (start, end) in mm on the sheet."""
    dark = render(pdftoppm, path, dpi, window_mm=window_mm) < 128
    places = np.flatnonzero(dark.any(axis=1 - axis))
    origin = round(window_mm[1 - axis] / 25.4 * dpi)
    return (places[0] + origin) / dpi * 25.4, (places[-1] + 1 + origin) / dpi * 25.4


def size_complaints(data, width_mm, height_mm, tolerance=0.001):
    """Compare every placed stencil with the size asked for."""
    return [
        f"page {image.page + 1}: {side} {got:.4f} mm instead of {wanted:.4f} mm"
        for image in placed_images(data)
        for side, got, wanted in (("width", image.width, width_mm), ("height", image.height, height_mm))
        if abs(got - wanted) > tolerance
    ]


def dot_complaints(data, expected, name="/Stencil1"):
    """Compare the embedded dots with the expected ones, each of them."""
    dots = stored_dots(data, name)
    if dots.shape != expected.shape:
        return [f"{dots.shape} dots instead of {expected.shape}"]
    wrong = int((dots != expected).sum())
    return [f"{wrong} dots differ"] if wrong else []


def hand_complaints(printed, upright, *, mirrored):
    """Compare a rendered drawing (True is black) with the right-reading one, both cut to their ink."""
    shown = np.asarray(Image.fromarray(printed).resize((200, 260)), float)
    wanted = np.asarray(Image.fromarray(upright[:, ::-1] if mirrored else upright).resize((200, 260)), float)
    other = wanted[:, ::-1]
    like, unlike = (float(np.corrcoef(shown.ravel(), one.ravel())[0, 1]) for one in (wanted, other))
    return [] if like > 0.9 and like > unlike + 0.2 else [f"agrees {like:.2f}, the other hand {unlike:.2f}"]


def ink_of(dark):
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    return dark[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
