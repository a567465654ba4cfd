"""What is kept of each picture for comparing, and how it is taken up again."""

import datetime as dt
from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path

from PIL import Image

from archgen.images.facts import Describe, ImageFacts
from archgen.twins import prepare as preparing
from archgen.twins.model import Item
from archgen.twins.prepare import prepare
from archgen.twins.prepared import Prepared


def _describe(image: Image.Image) -> bytes:
    return prepare(image).to_bytes()


DESCRIBE = Describe(f"twins {preparing.VERSION}", _describe)


def item(key: str, path: Path, taken: dt.datetime | None, *, is_stencil: bool | None = None) -> Item:
    """Make what is compared of a description in a file.

    Raises:
        ValueError: The file is damaged.
        OSError: It cannot be read.
    """
    return Item(key, Prepared.from_bytes(path.read_bytes()), is_stencil, taken.timestamp() if taken else None)


def archive_items(facts: Mapping[str, ImageFacts], blobs: Path) -> Iterator[Item]:
    """Give what is compared of an archive's pictures; the folder says what is a stencil."""
    for path, fact in facts.items():
        if fact.description:
            with suppress(OSError, ValueError):  # a damaged cache costs a comparison, not the build
                yield item(path, blobs / fact.description, fact.taken, is_stencil=folder_of(path) == "stencils" or None)


def folder_of(path: str) -> str:
    """Give photos, stencils or references, of a path relative to the archive folder."""
    return path.split("/")[2]


def piece_of(path: str) -> str:
    """Give the piece's id, of a path relative to the archive folder."""
    return path.split("/")[1]
