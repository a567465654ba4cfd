"""What is kept of each picture for comparing, and how it is taken up again: all but the gray maps stays in memory."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import fields
from functools import lru_cache
from pathlib import Path

from PIL import Image

from archgen.images.facts import Describe, ImageFacts
from archgen.twins import prepare as preparing
from archgen.twins.model import Item
from archgen.twins.prepare import Bytes, Prepared, prepare

# A gray map has about 50 kB: those of 30,000 pictures would take 1.5 GB.
_MAPS_KEPT = 512


def _describe(image: Image.Image) -> bytes:
    return prepare(image).to_bytes()


DESCRIBE = Describe(f"twins {preparing.VERSION}", _describe)


class Shelved(Prepared):
    """A prepared picture whose gray map is read from its file whenever it is looked at."""

    __slots__ = ("_path",)
    _path: Path

    @property
    def gray(self) -> Bytes:
        """Give the gray map."""
        return _gray(self._path)


@lru_cache(_MAPS_KEPT)
def _gray(path: Path) -> Bytes:
    return Prepared.from_bytes(path.read_bytes()).gray


def shelved(path: Path) -> Shelved:
    """Take up a description from its file.

    Raises:
        ValueError: The file is damaged.
        OSError: It cannot be read.
    """
    whole = Prepared.from_bytes(path.read_bytes())
    made = object.__new__(Shelved)
    for field in fields(Prepared):
        if field.name != "gray":
            object.__setattr__(made, field.name, getattr(whole, field.name))
    object.__setattr__(made, "_path", path)
    return made


def item(key: str, path: Path, taken: dt.datetime | None, *, is_stencil: bool | None = None) -> Item:
    """Make what is compared of a description in a file."""
    return Item(key, shelved(path), is_stencil, taken.timestamp() if taken else None)


def archive_items(facts: Mapping[str, ImageFacts], blobs: Path) -> Iterator[Item]:
    """Give what is compared of an archive's pictures; the folder says what is a stencil."""
    for path, fact in facts.items():
        if fact.description:
            yield item(path, blobs / fact.description, fact.taken, is_stencil=folder_of(path) == "stencils" or None)


def folder_of(path: str) -> str:
    """Give photos, stencils or references, of a path relative to the archive folder."""
    return path.split("/")[2]


def piece_of(path: str) -> str:
    """Give the piece's id, of a path relative to the archive folder."""
    return path.split("/")[1]
