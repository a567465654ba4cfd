"""Keep the bytes that were searched of each file, brought to the form in which they are searched.

A text that is private since a moment ago is looked for in every file that is known. What was read of the files is a
few megabytes for thousands of them: looked through in a moment, where opening them again takes longer than all else.
Only files in which the text may stand are opened. A damaged file of it is empty.
"""

import zlib
from collections.abc import Iterable
from pathlib import Path

import msgspec

from archgen.storage.plain_files import make_own_folder, put_plain, read_plain, sealed, unsealed

_HeardFile = dict[str, bytes]


class Heard:
    """What was searched of files, by their keys."""

    def __init__(self, file: Path | None = None, around: str = "") -> None:
        """Take in what was kept in a file by programs that read alike, as `around` tells; None: nothing is kept."""
        self._file = file
        self._name = f"{file.name} {around}" if file else ""
        self._before = _load(file, self._name) if file else {}
        self._now: _HeardFile = {}

    def of(self, key: str) -> bytes | None:
        """Give what was searched of a file, and go on keeping it; None when that is not known."""
        content = self._before.get(key)
        if content is not None:
            self._now[key] = content
        return content

    def add(self, key: str, contents: Iterable[bytes]) -> None:
        """Keep what was searched of a file; no text goes on from one content to the next."""
        if self._file:
            self._now[key] = b"\0".join(contents)

    def save(self) -> None:
        """Write down what was asked for or added, and forget the rest."""
        if not self._file or self._now == self._before:
            return
        make_own_folder(self._file.parent)
        put_plain(self._file, sealed(zlib.compress(msgspec.msgpack.encode(self._now), 1), self._name))


def _load(file: Path, name: str) -> _HeardFile:
    try:
        packed = unsealed(read_plain(file), name)
        return msgspec.msgpack.decode(zlib.decompress(packed), type=_HeardFile) if packed else {}
    except (OSError, zlib.error, msgspec.MsgspecError):
        return {}
