"""What the image stage knows of one picture, and what is asked of it; knows pixels, not pieces."""

import datetime as dt
from collections.abc import Callable
from enum import Enum
from typing import TYPE_CHECKING

import msgspec

from archgen.findings import Finding
from archgen.metadata.file_rights import EmbeddedRights
from archgen.values.frozen import Value

if TYPE_CHECKING:
    from PIL import Image


AVIF = ".avif"


class Role(Enum):
    """Which folder of a piece a picture lies in; decides which derivatives are made."""

    PHOTO = "photo"
    STENCIL = "stencil"
    REFERENCE = "reference"


class ImageJob(msgspec.Struct, frozen=True):
    """One picture to look at: path relative to the archive folder, its role, whether the portfolio may want it.

    Attributes:
        avif: Whether copies for the public are made as AVIF too.
    """

    path: str
    role: Role
    public: bool = False
    avif: bool = False


class Derivative(msgspec.Struct, frozen=True):
    """One smaller copy: its size in pixels and its file name in the cache's blob folder, suffix included."""

    width: int
    height: int
    blob: str

    @property
    def is_avif(self) -> bool:
        """Say whether it is of the smaller format that some browsers do not read."""
        return self.blob.endswith(AVIF)


class Describe(Value, frozen=True):
    """What to keep of each upright picture of about 1000 px for comparing pictures; name changes with the method."""

    name: str
    make: "Callable[[Image.Image], bytes]"


class ImageFacts(msgspec.Struct, frozen=True, kw_only=True):
    """What was found in one picture; sizes are those of the upright picture.

    Attributes:
        digest: SHA-256 of the file's bytes, hexadecimal.
        file_format: JPEG, PNG, WEBP, TIFF, AVIF, HEIF ...
        taken: The camera's date, when it is believable.
        private: What the file itself tells of people, place and device, in plain words ("position", "camera serial
            number", "embedded thumbnail", ...), sorted.
        serials: The numbers of the camera and the lens it was taken with, as far as the file tells.
        texts: What the file says in words: owner, comment, captions, names, position.
        marks: Left, top, right, bottom of what is drawn (stencils; white border left out), None for other pictures.
        screen: JPEG (PNG for stencils) copies for the private archive, largest first.
        public: WebP copies with nothing but pixels in them, largest first, and behind them the same as AVIF where
            that is smaller; empty unless asked for.
        print_copy: For stencils: gray PNG on white at the file's own resolution, cut to the marks. For
            photos and references: the screen copy of about 1000 px.
        rights: What a reference's file itself says of its rights; None when it says nothing.
        description: What the caller asked to keep of the pixels for comparing pictures; a file name in the blob folder.
    """

    path: str
    digest: str
    file_format: str
    width: int
    height: int
    taken: dt.datetime | None = None
    private: tuple[str, ...] = ()
    serials: tuple[str, ...] = ()
    texts: tuple[str, ...] = ()
    marks: tuple[int, int, int, int] | None = None
    screen: tuple[Derivative, ...]
    public: tuple[Derivative, ...] = ()
    print_copy: Derivative | None = None
    rights: EmbeddedRights | None = None
    description: str | None = None

    @property
    def blobs(self) -> tuple[str, ...]:
        """Give the blobs that belong to these facts."""
        copies = (*self.screen, *self.public, *((self.print_copy,) if self.print_copy else ()))
        return (*(copy.blob for copy in copies), *((self.description,) if self.description else ()))


class ImageResult(msgspec.Struct, frozen=True):
    """What came of one picture: facts unless it cannot be used, and what is to be said about it."""

    facts: ImageFacts | None
    findings: tuple[Finding, ...] = ()
