"""Open a picture's file: what it tells, and its pixels; JPEG and PNG here, every other kind in a child process.

What decodes JPEG and PNG meets every picture of the world each day. The libraries for the other kinds may die of a
damaged file, and would take the whole program with them.
"""

import builtins
import os
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path
from typing import Any, Protocol, TypeVar

import msgspec
from PIL import Image

from archgen.images import decode
from archgen.isolation.child import RaisedError, WorkFailedError, call
from archgen.isolation.frames import Stretch
from archgen.isolation.limits import WorkLimits
from archgen.languages.house import say
from archgen.metadata import tags
from archgen.metadata.embedded_rights import read_rights
from archgen.metadata.file_rights import EmbeddedRights
from archgen.metadata.origin import FileOrigin, read_origin

# The slowest of those that fit the memory, 160 million gray pixels as GIF, took 3.6 s; and 150 MB are the child itself
# with the stack it reserves and never fills.
_LIMITS = WorkLimits(cpu_s=12.0, memory_bytes=decode.MEMORY_BYTES + 270_000_000)
_TASKS = "archgen.metadata.picture_file"
# Pixels sent at a time: all at once are there three times while they are made one row of bytes.
_PART_PIXELS = 1_000_000
T = TypeVar("T")


class PictureFile(decode.Sized, Protocol):
    """A picture's file whose header was read; sizes are of square pixels, not turned yet."""

    @property
    def mode(self) -> str: ...  # noqa: D102
    @property
    def profile(self) -> bytes | None: ...  # noqa: D102
    @property
    def is_stretched(self) -> bool:
        """Say whether its dots aren't square, so that it is widened or heightened."""

    @property
    def has_more_pictures(self) -> bool | None:
        """Say whether there are pictures behind the first; None where they are too damaged to be counted."""

    @property
    def told(self) -> tags.FileTags:
        """Give what the file tells, to be asked before the pixels; behind those of a PNG it decodes them."""

    @property
    def rights(self) -> EmbeddedRights | None: ...  # noqa: D102
    @property
    def origin(self) -> FileOrigin: ...  # noqa: D102
    def memory_needed(self, factor: int, *, as_gray: bool) -> int:
        """Estimate the bytes that decoding takes, so many times smaller or in gray at full size."""

    def load(self, factor: int) -> Image.Image:
        """Decode it so many times smaller, as `decode.load` does.

        Raises:
            UnusableError: The file ends too early or is damaged.
        """

    def load_gray(self) -> Image.Image:
        """Decode it as 8-bit gray at full size, as `decode.load_gray` does.

        Raises:
            UnusableError: The file ends too early or is damaged.
        """


class UnopenedError(decode.UnusableError):
    """A picture whose decoder takes too much or dies of it; `is_certain` says whether it would do so again."""

    def __init__(self, failure: WorkFailedError) -> None:
        super().__init__(
            "image.damaged",
            say("This picture {why}, so it isn't used.", why=say(failure.why)),
            "Open it in another program and save it as JPEG or PNG, or copy it again from the camera or phone.",
        )
        self.is_certain = failure.is_certain


def is_opened_here(head: bytes) -> bool:
    """Say by its first bytes whether a file is opened in this process."""
    return head.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"))


@contextmanager
def open_file(path: Path) -> Iterator[PictureFile]:
    """Open a file and read its header.

    Raises:
        UnusableError: It is empty, no picture, damaged, too large or too small.
    """
    with path.open("rb") as stream:
        head = stream.read(8)
    if is_opened_here(head) or not head:
        with decode.open_picture(path) as opened:
            yield _Here(opened)
    else:
        yield _ask("read_file", path, _Apart)[0]


class _Here:
    """A file that is opened in this process."""

    def __init__(self, opened: decode.Opened) -> None:
        self._opened = opened
        self.file_format, self.mode, self.profile = opened.file_format, opened.mode, opened.profile
        self.width, self.height = opened.width, opened.height
        self.is_stretched = opened.stretch != (1, 1)

    @property
    def has_more_pictures(self) -> bool | None:
        return self._opened.has_more_pictures()

    @cached_property
    def told(self) -> tags.FileTags:
        return tags.read(self._opened)

    @property
    def rights(self) -> EmbeddedRights | None:
        return read_rights(self._opened)

    @property
    def origin(self) -> FileOrigin:
        return read_origin(self._opened)

    def memory_needed(self, factor: int, *, as_gray: bool) -> int:
        return decode.memory_needed(self._opened, factor, as_gray)

    def load(self, factor: int) -> Image.Image:
        return decode.load(self._opened, factor)

    def load_gray(self) -> Image.Image:
        return decode.load_gray(self._opened)


class _Apart(msgspec.Struct, frozen=True):
    """What a child process read of a file, which it opens again for the pixels."""

    path: bytes
    file_format: str
    width: int
    height: int
    mode: str
    profile: bytes | None
    is_stretched: bool
    has_more_pictures: bool | None
    told: tags.FileTags
    rights: EmbeddedRights | None
    origin: FileOrigin
    memory_bytes: int

    def memory_needed(self, factor: int, *, as_gray: bool) -> int:  # noqa: ARG002  only JPEG is decoded smaller
        return self.memory_bytes + self.width * self.height * as_gray

    def load(self, factor: int) -> Image.Image:
        return self._pixels(factor)

    def load_gray(self) -> Image.Image:
        return self._pixels(0)

    def _pixels(self, factor: int) -> Image.Image:
        (mode, size), pixels = _ask(
            "read_pixels", Path(os.fsdecode(self.path)), tuple[str, tuple[int, int]], factor=factor
        )
        return Image.frombuffer(mode, size, pixels, "raw", mode, 0, 1)


def read_file(path: bytes) -> tuple[_Apart, bytes]:
    """Read all but the pixels; called by name, in the child process."""
    with decode.open_picture(Path(os.fsdecode(path))) as opened:
        found = _Apart(
            path=path,
            file_format=opened.file_format,
            width=opened.width,
            height=opened.height,
            mode=opened.mode,
            profile=opened.profile,
            is_stretched=opened.stretch != (1, 1),
            told=tags.read(opened),
            rights=read_rights(opened),
            origin=read_origin(opened),
            has_more_pictures=opened.has_more_pictures(),
            memory_bytes=decode.memory_needed(opened, 1, as_gray=False),
        )
    return found, b""


def read_pixels(path: bytes, factor: int) -> tuple[tuple[str, tuple[int, int]], Stretch]:
    """Decode so many times smaller, 0 for gray at full size: mode and size, bytes; called by name, in the child."""
    with decode.open_picture(Path(os.fsdecode(path))) as opened:
        picture = decode.load(opened, factor) if factor else decode.load_gray(opened)
    width, height = picture.size
    rows = max(_PART_PIXELS // width, 1)
    parts = (picture.crop((0, top, width, min(top + rows, height))).tobytes() for top in range(0, height, rows))
    return (picture.mode, picture.size), Stretch(width * height * len(picture.getbands()), parts)


def _ask(task: str, path: Path, kind: type[T], **arguments: Any) -> tuple[T, bytes]:
    try:
        # The child stays in the folder it was started in; a name of another encoding is bytes and no text.
        return call(f"{_TASKS}:{task}", kind, _LIMITS, path=os.fsencode(path.absolute()), **arguments)
    except WorkFailedError as error:
        raise UnopenedError(error) from error
    except RaisedError as error:
        if error.kind == decode.UnusableError.__name__:
            raise decode.UnusableError(*error.words) from None
        known = getattr(builtins, error.kind, None)
        if isinstance(known, type) and issubclass(known, OSError) and len(error.words) > 1:
            raise OSError(int(error.words[0]), error.words[1], str(path)) from None
        raise
