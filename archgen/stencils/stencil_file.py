"""Open stencil files, pictures decoded and SVG and PDF drawn, as upright gray on white; judges nothing.

SVG and PDF are drawn in a child process: a small file can ask for more time and memory than a computer has.
"""

import os
from pathlib import Path
from typing import Any, TypeVar

from PIL import Image

from archgen.errors import InputError, no_such_file
from archgen.images import decode, orient
from archgen.isolation.child import RaisedError, WorkFailedError, call
from archgen.isolation.limits import WorkLimits
from archgen.languages.house import say, to_say
from archgen.metadata.picture_file import open_file
from archgen.values.frozen import Value

# What a drawn vector file may take: A3 at 600 dpi is 70 million.
MAX_DRAWN_PIXELS = 120_000_000
MAX_VECTOR_BYTES = 50_000_000
_VECTOR = {".svg", ".svgz", ".pdf"}
# One piece of work for the child: an SVG takes five bytes for each of these pixels.
_BAND_PIXELS = 8_000_000
# The most intricate drawing measured (9 MB, 400,000 points) took 1.1 s a band.
_LIMITS = WorkLimits(cpu_s=4.0)
_TASKS = "archgen.stencils.vector.page"
T = TypeVar("T")


def is_vector(path: Path) -> bool:
    """Say whether the file is drawn at a resolution of our choice."""
    return path.suffix.lower() in _VECTOR


def open_upright(path: Path) -> Image.Image:
    """Open a picture as 8-bit gray on white, turned the way its camera or scanner says.

    Raises:
        InputError: The file is missing, damaged, no picture, too large or too small.
    """
    return open_as_told(path)[0]


def open_as_told(path: Path) -> tuple[Image.Image, bool]:
    """Open likewise, and say whether the file's dots aren't square, so that it was stretched.

    Raises:
        InputError: The file is missing or damaged.
    """
    try:
        with open_file(path) as file:
            told, is_stretched = file.told, file.is_stretched
            return orient.upright(file.load_gray(), told.orientation), is_stretched
    except FileNotFoundError as error:
        raise no_such_file(path.name) from error
    except decode.UnusableError as error:
        raise InputError(f"{path.name}: {error.problem} {error.remedy}") from error


class VectorPage(Value, frozen=True):
    """An SVG, or the first page of a PDF; lengths on it are in its own widths, `height` is that of the page.

    `stamp` is the file's size and times: what is remembered of a page holds until they change.
    """

    path: Path
    height: float
    stamp: tuple[int, int, int] = (0, 0, 0)

    def whole(self, width_px: int, most_pixels: int = MAX_DRAWN_PIXELS) -> Image.Image:
        """Draw all of it in gray on white, so many pixels wide unless that were too many in all.

        Raises:
            InputError: It cannot be drawn.
        """
        size = self.size_within(width_px, most_pixels)
        return self.part((0.0, 0.0), float(size[0]), size)

    def size_within(self, width_px: int, most_pixels: int) -> tuple[int, int]:
        """Give the size of the page in pixels, so many wide unless that were too many in all."""
        across = max(round(min(width_px, (most_pixels / self.height) ** 0.5)), 1)
        return across, min(max(round(across * self.height), 1), most_pixels)

    def part(self, corner: tuple[float, float], scale: float, size: tuple[int, int]) -> Image.Image:
        """Draw what lies right of and below a corner, `scale` pixels to a width of the page.

        Raises:
            InputError: It cannot be drawn.
        """
        drawn = Image.new("L", size, 255)
        rows = max(_BAND_PIXELS // size[0], 1)
        for top in range(0, size[1], rows):
            band = size[0], min(rows, size[1] - top)
            place = corner[0], corner[1] + top / scale
            _, gray = _ask(self.path, "draw_part", type(None), corner=place, scale=scale, size=band)
            drawn.paste(Image.frombytes("L", band, gray), (0, top))
        return drawn


def open_vector(path: Path) -> VectorPage:
    """Look how large the page of an SVG or PDF is.

    Raises:
        InputError: The file is missing, damaged or too large.
    """
    try:
        status = path.stat()
        if status.st_size > MAX_VECTOR_BYTES:
            raise InputError(
                say(
                    "{name}: the file is too large for a drawing. Export it as PNG at 600 dots per inch.",
                    name=path.name,
                )
            )
    except FileNotFoundError as error:
        raise no_such_file(path.name) from error
    height, _ = _ask(path, "read_page", float)
    return VectorPage(path, height, (status.st_size, status.st_mtime_ns, status.st_ctime_ns))


class DrawingFailedError(InputError):
    """A drawing that takes too much, or ends the process that draws it.

    Attributes:
        is_certain: Whether it would do so again.
        is_of_size: Whether fewer pixels may help.
    """

    def __init__(self, message: str, failure: WorkFailedError) -> None:
        super().__init__(message)
        self.is_certain, self.is_of_size = failure.is_certain, failure.is_certain and not failure.is_of_time


def _ask(path: Path, task: str, kind: type[T], **arguments: Any) -> tuple[T, bytes]:
    word = "PDF" if path.suffix.lower() == ".pdf" else "SVG"
    try:
        return call(f"{_TASKS}:{task}", kind, _LIMITS, path=os.fsencode(path), **arguments)
    except WorkFailedError as error:
        text = say("{file}: this {kind} {why}, so it isn't drawn.", file=path.name, kind=word, why=say(error.why))
        raise DrawingFailedError(f"{text} {say(_SIMPLER[word])}", error) from error
    except RaisedError as error:
        if error.kind == "FileNotFoundError":
            raise no_such_file(path.name) from error
        said = say("{file}: the {kind} can't be drawn.", file=path.name, kind=word)
        if error.kind == "UndrawableError" and error.words:
            said = say("{file}: the {kind} can't be drawn: {why}.", file=path.name, kind=word, why=error.words[0])
        raise InputError(f"{said} {say(_READABLE[word])}") from error


_SIMPLER = {
    "SVG": to_say("Export it as PNG at 600 dots per inch, or simplify it and save it as plain SVG."),
    "PDF": to_say("Export its page as PNG at 600 dots per inch."),
}
_READABLE = {
    "SVG": to_say("Save it again as plain SVG, or export it as PNG."),
    "PDF": to_say("Remove its password, or export the page as PNG."),
}
