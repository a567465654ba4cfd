"""What is kept of each picture for comparing, and how it is taken up again."""

import datetime as dt
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import fields, replace
from pathlib import Path

from PIL import Image

from archgen.doubles.paths import folder_of
from archgen.picture_facts.facts import Describe, ImageFacts
from archgen.twins.description import prepare as preparing
from archgen.twins.description.prepare import prepare
from archgen.twins.description.prepared import Prepared
from archgen.twins.model import ComparedPicture


def _describe(image: Image.Image) -> bytes:
    return prepare(image).to_bytes()


DESCRIBE = Describe(f"twins {preparing.VERSION}", _describe)


class Shelved(Prepared):
    """A prepared picture whose pixels stay in its file until they are looked at.

    They have about 35 kB, which for 30,000 pictures would be a gigabyte; the rest has 5.
    """

    __slots__ = ("_at", "_path")
    _path: Path
    _at: int

    @property
    def packed(self) -> bytes:
        """Read the compressed pixels."""
        with self._path.open("rb") as stream:
            stream.seek(self._at)
            return stream.read()


def _shelved(path: Path) -> Shelved:
    data = path.read_bytes()
    whole = Prepared.from_bytes(data)
    made = object.__new__(Shelved)
    # Copies: arrays made from a file's bytes keep all of them in memory.
    kept = {
        "views": tuple(replace(view, norms=view.norms.copy()) for view in whole.views),
        "color": whole.color.copy(),
    }
    for field in fields(Prepared):
        if field.name != "packed":
            object.__setattr__(made, field.name, kept.get(field.name, getattr(whole, field.name)))
    object.__setattr__(made, "_path", path)
    object.__setattr__(made, "_at", len(data) - len(whole.packed))
    return made


def item(key: str, path: Path, taken: dt.datetime | None, *, is_stencil: bool | None = None) -> ComparedPicture:
    """Make what is compared of a description in a file.

    Raises:
        ValueError: The file is damaged.
        OSError: It cannot be read.
    """
    return ComparedPicture(key, _shelved(path), is_stencil, taken.timestamp() if taken else None)


def archive_items(facts: Mapping[str, ImageFacts], blobs: Path) -> Iterator[ComparedPicture]:
    """Give what is compared of an archive's pictures; the folder says what is a stencil."""
    for path, fact in facts.items():
        if fact.description:
            with suppress(OSError, ValueError):  # a damaged cache costs a comparison, not the build
                yield item(path, blobs / fact.description, fact.taken, is_stencil=folder_of(path) == "stencils" or None)
