"""Remember what was found in which file, so that a file that did not change is not read again.

What was found is kept under the digest of the file and its name, and counts only while the same private texts are
looked for; pictures only while they are copies of what is public. A memory that is damaged is empty.
"""

from pathlib import Path

import msgspec
import pikepdf
import PIL

from archgen.leaks.leak import Leak
from archgen.storage.files import digest_bytes, write_atomically

# Raise it when files are read or searched in another way.
VERSION = 1


class Searched(msgspec.Struct, frozen=True):
    """What was found in a file, and the digests of the pixels of the pictures in it, all of them public copies."""

    leaks: tuple[Leak, ...]
    copies: tuple[str, ...] = ()


class _Kept(msgspec.Struct):
    sought: str
    searched: dict[str, Searched]
    pixels: dict[str, str]


class LeakMemory:
    """What was searched for `sought`, a digest of all that is looked for, kept in one file; without one nothing is.

    Attributes:
        pixels: The digests of the pixels of copies, by the name of their blob.
    """

    def __init__(self, file: Path | None, sought: str) -> None:
        self._file = file
        self._sought = digest_bytes(str(VERSION), pikepdf.__version__, PIL.__version__, sought)
        kept = _load(file) if file else _Kept("", {}, {})
        self._before = kept
        self._searched = kept.searched if kept.sought == self._sought else {}
        self._used = dict(self._searched)
        self.pixels = dict(kept.pixels)

    def recall(self, name: str, target: str | None, content: bytes) -> Searched | None:
        """Give what was found in a file of this name and content; None when it was not searched yet."""
        return self._searched.get(_key(name, target, content)) if self._searched else None

    def keep(self, name: str, target: str | None, content: bytes, found: Searched) -> None:
        """Remember what was found in a file."""
        if self._file:
            self._used[_key(name, target, content)] = found

    def save(self) -> None:
        """Write down what was recalled and kept, while the same is looked for."""
        kept = _Kept(self._sought, self._used, self.pixels)
        if self._file and kept != self._before:
            body = msgspec.json.encode(kept)
            write_atomically(self._file, digest_bytes(body).encode() + b"\n" + body)


def _key(name: str, target: str | None, content: bytes) -> str:
    return digest_bytes(name, target or "", content)


def _load(file: Path) -> _Kept:
    try:
        digest, _, body = file.read_bytes().partition(b"\n")
        if digest_bytes(body).encode() == digest:
            return msgspec.json.decode(body, type=_Kept)
    except (OSError, msgspec.MsgspecError):
        pass
    return _Kept("", {}, {})
