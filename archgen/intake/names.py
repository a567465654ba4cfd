"""Give files and folders names that every disk allows, that are free, and that the artist recognises."""

import re
import unicodedata
from collections.abc import Collection
from pathlib import PurePosixPath

from archgen.records.folder import STENCIL_SUFFIXES

_LONGEST = 80
_NOT_ALLOWED = re.compile(r'[<>:"/\\|?*\x00-\x1f\x7f]')
# Names that one system keeps for itself; learn.microsoft.com, "Naming Files, Paths, and Namespaces", from memory.
_KEPT = frozenset({"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(10))})
_SUFFIX = {
    "JPEG": ".jpg",
    "PNG": ".png",
    "WEBP": ".webp",
    "TIFF": ".tif",
    "AVIF": ".avif",
    "HEIF": ".heic",
    "BMP": ".bmp",
}
_SAME = {".jpeg": ".jpg", ".tiff": ".tif", ".heif": ".heic"}


def file_name(name: str, file_format: str, taken: Collection[str]) -> str:
    """Make the name a picture gets in the archive from the one it had; only what cannot stay is changed.

    `taken` are the names that are in use in that folder. The suffix follows what the file is.
    """
    last = PurePosixPath(name.replace("\\", "/")).name
    stem, dot, suffix = last.rpartition(".")
    stem, suffix = (stem, f".{suffix}") if dot and stem else (last, "")
    right = _SUFFIX.get(file_format, suffix.lower())
    if _SAME.get(suffix.lower(), suffix.lower()) != right or suffix.lower() not in STENCIL_SUFFIXES:
        suffix = right
    return free_name(_plain(stem) or "picture", suffix, taken)


def free_name(stem: str, suffix: str, taken: Collection[str]) -> str:
    """Number a name that is in use; capitals and accents do not make a difference on every disk."""
    used = {fold(one) for one in taken}
    name, number = f"{stem}{suffix}", 2
    while fold(name) in used:
        name, number = f"{stem}-{number}{suffix}", number + 1
    return name


def fold(name: str) -> str:
    """Give the form in which two names are the same on some disk."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def slug(text: str) -> str:
    """Make a folder's name of a title: small letters, digits, hyphens."""
    folded = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss"))
    letters = "".join(one for one in folded if not unicodedata.combining(one))
    return re.sub(r"[^a-z0-9]+", "-", letters).strip("-")[:60].strip("-")


def _plain(stem: str) -> str:
    text = unicodedata.normalize("NFC", stem)
    text = "".join(one for one in _NOT_ALLOWED.sub("-", text) if one.isprintable() and one != _REPLACED)
    text = " ".join(text.split()).lstrip(_NOT_FIRST)
    # Bytes count, too: a name of many characters that take four bytes each is too long for most disks.
    while len(text.encode()) > 2 * _LONGEST or len(text) > _LONGEST:
        text = text[:-1]
    text = text.rstrip(". ")
    return f"{text}-" if text.casefold() in _KEPT else text


_REPLACED = "\N{REPLACEMENT CHARACTER}"
# A dot hides a file, the others mean something to a shell.
_NOT_FIRST = ".-~ "
