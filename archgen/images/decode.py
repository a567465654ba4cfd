"""Open pictures with limits and give their pixels small; knows formats and damage, not what pictures are for.

A picture is opened (header only) and decoded once, at the smallest scale that is large enough: JPEG by its own
scaling, everything else in bands of rows that are brought to plain modes on white and reduced one after the other,
so that no second picture of full size stands in memory.
"""

import contextlib
import ctypes
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO, Protocol

import numpy as np
import pillow_heif
from PIL import (
    AvifImagePlugin,
    BmpImagePlugin,
    GifImagePlugin,
    Image,
    ImageFile,
    JpegImagePlugin,
    PngImagePlugin,
    TiffImagePlugin,
    WebPImagePlugin,
    _imaging,
)

from archgen.languages.house import say, to_say

pillow_heif.register_heif_opener()
# Loaded here rather than at the first picture, where two threads would do it at once; the other forty formats, which
# take a tenth of the time to start, where a file is none of these.
_PLUGINS = (
    AvifImagePlugin,
    BmpImagePlugin,
    GifImagePlugin,
    JpegImagePlugin,
    PngImagePlugin,
    TiffImagePlugin,
    WebPImagePlugin,
)

# libtiff writes straight to the terminal what it thinks of a damaged file; where its library is not to be had this way
# (Windows), it goes on doing so.
with contextlib.suppress(AttributeError, OSError):
    ctypes.CDLL(_imaging.__file__).TIFFSetErrorHandler(None)

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "AVIF", "HEIF", "GIF", "BMP")
FORMAT_WORDS = to_say("JPEG, PNG, WebP, TIFF, AVIF or HEIC")
SUFFIXES = {
    ".jpg": "JPEG", ".jpeg": "JPEG", ".jpe": "JPEG", ".jfif": "JPEG", ".png": "PNG", ".webp": "WEBP", ".tif": "TIFF",
    ".tiff": "TIFF", ".avif": "AVIF", ".heic": "HEIF", ".heif": "HEIF", ".hif": "HEIF", ".gif": "GIF", ".bmp": "BMP",
}  # fmt: skip

# A3 scanned at 1200 dpi is 278 million pixels, the largest telephone pictures are 200 million.
MAX_PIXELS = 250_000_000
# Pillow warns from this and refuses from twice this; the exact limit, with its message, is checked here.
Image.MAX_IMAGE_PIXELS = MAX_PIXELS
# Memory that all decoding together may take; a build's other needs stay under 250 MB (tests/bench/bench_images.py).
MEMORY_BYTES = 330_000_000
# Every decoder's memory is spent before such a file is read; a damaged or padded one would only be read for nothing.
MAX_FILE_BYTES = 500_000_000
# Under this there is nothing to see, and every hash is chance.
MIN_SIDE_PX = 16
_BAND_PIXELS = 1_000_000
# Scanners store 10, 12 and 14 bits in 16, not always widened: then white is the largest number of that many bits.
_WHITES = tuple(2**bits - 1 for bits in (8, 10, 12, 14, 16))
# What the stage goes on with; every other mode becomes one of these.
PLAIN_MODES = frozenset({"L", "RGB", "CMYK", "LAB"})


class UnusableError(Exception):
    """A picture that cannot be used: the finding's code, what is wrong and what to do."""

    def __init__(self, code: str, problem: str, remedy: str) -> None:
        super().__init__(code, problem, remedy)
        self.code, self.problem, self.remedy = code, problem, remedy

    def __str__(self) -> str:
        """Give the problem."""
        return self.problem


@dataclass(slots=True)
class Opened:
    """A picture whose header was read: size (not turned yet), format, colour profile, the file itself.

    Attributes:
        stretch: By what to widen and heighten the stored pixels, so that they are square.
        width: Of square pixels.
        height: Likewise.
    """

    picture: ImageFile.ImageFile
    stream: BinaryIO
    file_format: str
    stretch: tuple[float, float] = field(init=False)
    width: int = field(init=False)
    height: int = field(init=False)
    mode: str = field(init=False)
    profile: bytes | None = field(init=False)
    _frames: int = field(init=False, default=-1)

    def __post_init__(self) -> None:
        self.stretch = _stretch(self.picture)
        self.width, self.height = _stretched(self.picture.size, self.stretch)
        self.mode = self.picture.mode
        self.profile = self.picture.info.get("icc_profile") or None

    def has_more_pictures(self) -> bool | None:
        """Say whether there are pictures behind the first; None where they are too damaged to be counted."""
        if self._frames < 0:  # counted once: after damage the reader counts on from wherever it stopped
            try:
                self._frames = max(getattr(self.picture, "n_frames", 1), 1)
            except Exception:  # damaged frames make the reader raise almost anything
                self._frames = 0
        return self._frames > 1 if self._frames else None


def _stretch(picture: Image.Image) -> tuple[float, float]:
    """Read how much finer the dots lie one way than the other, as fax and some scanners store them (ITU-T T.4)."""
    told = picture.info.get("dpi") or picture.info.get("aspect") or picture.info.get("jfif_density")
    try:
        across, down = (float(value) for value in told or (1, 1))
    except (TypeError, ValueError, ZeroDivisionError):
        return 1.0, 1.0
    if not (across > 0 and down > 0 and SQUARE < max(across / down, down / across) < MOST_STRETCH):
        return 1.0, 1.0
    return max(down / across, 1.0), max(across / down, 1.0)


# Resolutions that differ by less are one, rounded; and none that is meant differs by more.
SQUARE, MOST_STRETCH = 1.02, 4.0


def _stretched(size: tuple[int, int], stretch: tuple[float, float]) -> tuple[int, int]:
    return round(size[0] * stretch[0]), round(size[1] * stretch[1])


@contextmanager
def open_picture(path: Path) -> Iterator[Opened]:
    """Open a file and read its header.

    Raises:
        UnusableError: It is empty, no picture, damaged, too large or too small.
    """
    with path.open("rb") as stream:
        check_file_size(path.stat().st_size)
        if path.stat().st_size == 0:
            raise UnusableError(
                "image.empty",
                say("The file is empty (0 bytes)."),
                say("Copy the picture again from the camera or phone."),
            )
        try:
            picture = Image.open(stream, formats=FORMATS)
        except Image.DecompressionBombError as error:
            raise _too_large(say("more than {number}", number=2 * MAX_PIXELS // 1_000_000), MAX_PIXELS) from error
        except Exception as error:  # damaged headers make the decoders raise almost anything
            raise _no_picture(path) from error
        with picture:
            opened = Opened(picture, stream, {"MPO": "JPEG"}.get(picture.format or "", picture.format or ""))
            _check_size(opened)
            yield opened


def check_file_size(size: int) -> None:
    """Refuse a file that is far larger than any picture that can be opened.

    Raises:
        UnusableError: It is.
    """
    if size > MAX_FILE_BYTES:
        raise UnusableError(
            "image.too-large",
            say(
                "The file has {size:,} MB; pictures of up to {most} MB can be used.",
                size=size // 1000000,
                most=MAX_FILE_BYTES // 1000000,
            ),
            say("Save a smaller copy as JPEG, put it here and keep the large one elsewhere."),
        )


def memory_needed(opened: Opened, factor: int, as_gray: bool) -> int:
    """Estimate the bytes that decoding takes at its peak, so many times smaller or in gray at full size."""
    pixels = opened.width * opened.height
    if opened.file_format == "JPEG":
        scale = 1 if as_gray else min(factor, 8)
        # A photo is turned and converted at this size too; a gray one without its colours, unless they are inks.
        decoded = pixels * (5 if opened.mode == "CMYK" else 1) if as_gray else 8 * pixels // scale**2
        return decoded + _progressive_buffers(opened, pixels)
    stored = {"1": 1, "L": 1, "P": 1, "I;16": 2, "I;16B": 2}.get(opened.mode, 4)
    # Measured as peak memory over pixels: HEIF is read from the decoder's own memory, AVIF and WebP hand over a copy.
    is_turned = opened.file_format == "TIFF" and _orientation(opened.picture) != 1
    per_pixel = {"HEIF": 6, "TIFF": stored * (1 + is_turned), "AVIF": stored + 6, "WEBP": stored + 5}.get(
        opened.file_format, stored
    )
    return pixels * (per_pixel + as_gray)


class Sized(Protocol):
    """A picture whose header was read."""

    @property
    def file_format(self) -> str: ...  # noqa: D102
    @property
    def width(self) -> int: ...  # noqa: D102
    @property
    def height(self) -> int: ...  # noqa: D102


def check_memory(picture: Sized, needed: int) -> None:
    """Refuse a picture that alone would take more memory than all decoding may.

    Raises:
        UnusableError: It would.
    """
    if needed > MEMORY_BYTES:
        pixels = picture.width * picture.height
        way_out = "" if picture.file_format == "JPEG" else say("Save it as an ordinary JPEG, or:")
        raise _too_large(f"{pixels / 1e6:.0f}", int(pixels * MEMORY_BYTES / needed), way_out)


def load(opened: Opened, factor: int) -> Image.Image:
    """Decode the picture so many times smaller, transparency on white, mode L, RGB, CMYK or LAB, without metadata.

    Raises:
        UnusableError: The file ends too early or is damaged.
    """
    picture = opened.picture
    try:
        if opened.file_format == "JPEG":
            factor = _scale_while_decoding(picture, factor)
        small = _reduced(opened, factor)
        if small is not picture:
            picture.close()  # gives its memory back
        if opened.stretch != (1.0, 1.0):
            small = small.resize(_stretched(small.size, opened.stretch), Image.Resampling.BICUBIC)
    except UnusableError:
        raise
    except MemoryError as error:
        raise _too_large(f"{opened.width * opened.height / 1e6:.0f}", MAX_PIXELS // 4) from error
    except Exception as error:  # damaged files make the decoders raise almost anything
        raise _damaged(error) from error
    small.info = {}
    return small


def load_gray(opened: Opened) -> Image.Image:
    """Decode the picture as 8-bit gray on white at its full size.

    The stored values are kept as they are: on black lines a colour profile moves the half-way tone too little to see.

    Raises:
        UnusableError: The file ends too early or is damaged.
    """
    if opened.file_format == "JPEG":
        opened.picture.draft("L", opened.picture.size)  # leaves the colour channels undecoded
    gray = load(opened, 1)
    if gray.mode == "LAB":
        return gray.getchannel(0)
    return gray if gray.mode == "L" else gray.convert("RGB").convert("L")


def _scale_while_decoding(picture: ImageFile.ImageFile, factor: int) -> int:
    """Let the JPEG decoder give a half, a quarter or an eighth; return what is left to reduce by."""
    scale = next(scale for scale in (8, 4, 2, 1) if factor % scale == 0)
    if scale > 1:
        picture.draft(None, (max(picture.width // scale, 1), max(picture.height // scale, 1)))
    return factor // scale


def _reduced(opened: Opened, factor: int) -> Image.Image:
    picture = opened.picture
    if opened.file_format != "HEIF":
        picture.load()
        if factor == 1 and picture.mode in PLAIN_MODES and "transparency" not in picture.info:
            return picture
    # The decoder of HEIF widens deep grays to 16 bits.
    gain = 255 / 65535 if opened.file_format == "HEIF" else _gain_to_8_bit(picture)
    small: Image.Image | None = None
    for top, band in _bands(opened, factor):
        plain = _plain(band, gain)
        plain = plain.reduce(factor) if factor > 1 else plain
        if small is None:
            small = Image.new(plain.mode, (-(-picture.width // factor), -(-picture.height // factor)))
        small.paste(plain, (0, top // factor))
    assert small is not None  # noqa: S101  a picture has at least one row
    return small


def _bands(opened: Opened, factor: int) -> Iterator[tuple[int, Image.Image]]:
    """Give the rows of a decoded picture in bands that factor divides, with the row each starts at."""
    width, height = opened.picture.size
    rows = max(_BAND_PIXELS // width // factor, 1) * factor
    frame = None
    if opened.file_format == "HEIF":
        # Straight from the decoder's memory: Pillow's own copy would take four more bytes per pixel.
        heif = pillow_heif.open_heif(opened.stream, convert_hdr_to_8bit=True)
        frame = heif[heif.primary_index]
    for top in range(0, height, rows):
        bottom = min(top + rows, height)
        if frame is None:
            yield top, opened.picture.crop((0, top, width, bottom))
        else:
            memory = frame.data[top * frame.stride : bottom * frame.stride]
            size = (width, bottom - top)
            yield top, Image.frombuffer(frame.mode, size, memory, "raw", frame.mode, frame.stride, 1)


def _plain(band: Image.Image, gain: float) -> Image.Image:
    """Bring rows of any mode to L, RGB, CMYK or LAB on white."""
    if band.mode.startswith("I") or band.mode == "F":
        values = np.asarray(band, np.float32) * np.float32(gain) + np.float32(0.5)
        return Image.fromarray(np.clip(values, 0, 255).astype(np.uint8))
    if band.mode in {"LA", "La", "PA", "RGBA", "RGBa"} or "transparency" in band.info:
        seen = band.convert("LA" if band.mode in {"LA", "La"} else "RGBA")
        paper = Image.new("L" if seen.mode == "LA" else "RGB", seen.size, "white")
        paper.paste(seen.convert(paper.mode), mask=seen.getchannel("A"))
        return paper
    if band.mode in PLAIN_MODES:
        return band
    return band.convert("L" if band.mode == "1" else "RGB")


def _gain_to_8_bit(picture: Image.Image) -> float:
    """Say by what to multiply the values of deep gray pictures."""
    if picture.mode not in {"I", "F"} and not picture.mode.startswith("I;16"):
        return 1.0
    highest = _highest(picture)
    if picture.mode == "F" and highest <= 1:
        return 255.0
    return 255 / next((white for white in _WHITES if highest <= white), highest)


def _highest(picture: Image.Image) -> float:
    """Give the highest value of one channel; band by band where Pillow does not know how, so in little memory."""
    if picture.mode in {"I", "F", "I;16"}:
        _, highest = picture.getextrema()
        assert isinstance(highest, (int, float))  # noqa: S101  one channel
        return highest
    rows = max(_BAND_PIXELS // picture.width, 1)
    tops = range(0, picture.height, rows)
    return max(
        int(np.asarray(picture.crop((0, top, picture.width, min(top + rows, picture.height)))).max()) for top in tops
    )


def _orientation(picture: Image.Image) -> int:
    try:
        return int(picture.getexif().get(0x0112, 1))
    except Exception:  # damaged tags make the reader raise almost anything
        return 1


def _progressive_buffers(opened: Opened, pixels: int) -> int:
    """Give the size of the coefficients that a progressive JPEG keeps until its last byte, two bytes each."""
    if not opened.picture.info.get("progressive"):
        return 0
    # A damaged head may give its parts no room.
    layers = [(max(layer[1], 1), max(layer[2], 1)) for layer in getattr(opened.picture, "layer", [])]
    widest, tallest = max(h for h, _ in layers), max(v for _, v in layers)
    return int(2 * pixels * sum(h * v for h, v in layers) / (widest * tallest))


def _check_size(opened: Opened) -> None:
    width, height = opened.width, opened.height
    if width * height > MAX_PIXELS:
        raise _too_large(f"{width * height / 1e6:.0f}", MAX_PIXELS)
    if min(width, height) < MIN_SIDE_PX:
        raise UnusableError(
            "image.too-small",
            say(
                "The picture is only {width} × {height} pixels, so there is nothing to see in it.",
                width=width,
                height=height,
            ),
            say("Put the full picture here; each side needs at least {least} pixels.", least=MIN_SIDE_PX),
        )


def _too_large(megapixels: str, allowed_pixels: int, way_out: str = "") -> UnusableError:
    allowed = max(allowed_pixels // 10_000_000 * 10, 10)
    smaller = say(
        "Save a copy of at most {allowed} million pixels, put it here and keep the large one elsewhere. "
        "For a drawing, gray at 600 dots per inch of its printed size is enough.",
        allowed=allowed,
    )
    return UnusableError(
        "image.too-large",
        say(
            "The picture has {number} million pixels; of this kind up to {allowed} million can be opened.",
            number=megapixels,
            allowed=allowed,
        ),
        f"{way_out} {smaller}".lstrip(),
    )


def _no_picture(path: Path) -> UnusableError:
    if path.suffix.lower() in SUFFIXES:
        problem = say(
            "The file is named {suffix} but holds no picture that can be opened, or its beginning is damaged.",
            suffix=path.suffix,
        )
    else:
        problem = say("This is not a kind of picture that can be opened.")
    return UnusableError(
        "image.not-a-picture",
        problem,
        say(
            "Save or export the picture as {formats}, or copy it again from the camera or phone.",
            formats=say(FORMAT_WORDS),
        ),
    )


def _damaged(error: Exception) -> UnusableError:
    remedy = say("Copy it again from the camera, phone or backup; this copy cannot be shown.")
    words = str(error).lower()
    if isinstance(error, EOFError) or any(
        word in words for word in ("truncated", "end of file", "too short", "unexpected end")
    ):
        return UnusableError(
            "image.truncated", say("The picture's file ends too early: a part of it is missing."), remedy
        )
    return UnusableError("image.damaged", say("The picture's file is damaged and cannot be decoded."), remedy)
