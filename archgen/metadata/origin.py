"""Read how a picture file came about: camera, program, size on paper, screen; knows tags alone."""

import re

import msgspec
from PIL import ExifTags

from archgen.images.decode import Opened

# Dots to the inch that programs write when nobody chose them: they say nothing about a size on paper.
_NO_MEANING = frozenset({1, 72, 96})
_LEAST_DPI, _MOST_DPI = 100, 4800
_SCREENSHOT = re.compile(r"screen\s*shot|screen\s*capture|bildschirmfoto|capture d.écran|captura de pantalla", re.I)
_LONGEST = 80


class FileOrigin(msgspec.Struct, frozen=True, omit_defaults=True):
    """What the file tells.

    Attributes:
        camera: Make and model.
        program: What it was saved or edited with.
        dots_per_inch: Where that means something for the size on paper.
        is_screenshot: Whether it calls itself one.
    """

    camera: str | None = None
    program: str | None = None
    dots_per_inch: float | None = None
    is_screenshot: bool = False


def read_origin(opened: Opened) -> FileOrigin:
    """Read it; what is damaged counts as not there."""
    try:
        exif = opened.picture.getexif()
        camera = " ".join(dict.fromkeys(text for tag in (0x010F, 0x0110) if (text := _text(exif.get(tag)))))
        comment = _text(exif.get_ifd(ExifTags.IFD.Exif).get(0x9286))
        program = _text(exif.get(0x0131))
    except Exception:  # damaged tags make the reader raise almost anything
        camera = comment = program = ""
    said = " ".join((comment, *(_text(opened.picture.info.get(key)) for key in ("Title", "Comment", "comment"))))
    return FileOrigin(camera or None, program or None, _dots(opened), bool(_SCREENSHOT.search(said)))


def _text(value: object) -> str:
    if isinstance(value, bytes):
        value = value.removeprefix(b"ASCII\0\0\0").decode("utf-8", "replace")
    text = " ".join(value.replace("\0", " ").split()) if isinstance(value, str) else ""
    return "".join(character for character in text if character.isprintable())[:_LONGEST]


def _dots(opened: Opened) -> float | None:
    found = opened.picture.info.get("dpi")
    try:
        across, down = (float(value) for value in found or ())
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    if not _LEAST_DPI <= across <= _MOST_DPI or abs(across - down) > 0.01 * across or round(across) in _NO_MEANING:
        return None
    return round(across, 2)
