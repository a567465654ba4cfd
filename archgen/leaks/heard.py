"""Remember which bytes stood next to each other in what was searched, to ask of all at once.

A text that is private since a moment ago is looked for in every file that is known. Where eight bytes of it in a row
were in none of them, it is in none of them: one look at a table instead of opening thousands of files. A changed note
then costs the changed pages alone. The table may say yes by chance, never no; between builds it lies in the cache.
"""

import zlib
from collections.abc import Iterable
from pathlib import Path

import numpy as np

from archgen.leaks.anchors import slots_of_windows
from archgen.storage.plain_files import make_own_folder, put_plain, read_plain, sealed, unsealed

# 16 MB; a page has some thousand windows of its own, and a text many of which each must be there.
_TABLE_BITS = 24


class Heard:
    """What was searched so far.

    Attributes:
        files: The keys of the files of which everything is in the table.
    """

    def __init__(self) -> None:
        self._table = np.zeros(1 << _TABLE_BITS, bool)
        self.files: set[str] = set()
        self._kept: set[str] = set()

    def add(self, content: bytes) -> None:
        """Take in bytes that are searched."""
        for slots in slots_of_windows(content, _TABLE_BITS):
            self._table[slots] = True

    def may_hold(self, strings: Iterable[bytes]) -> bool:
        """Say whether one of these may stand in what was heard; what has fewer than eight bytes always may."""
        return any(all(self._table[slots].all() for slots in slots_of_windows(one, _TABLE_BITS)) for one in strings)

    def recall(self, file: Path, around: str) -> None:
        """Take in what was kept in a file by programs that read alike; what is damaged or of others is passed over."""
        try:
            raw = unsealed(read_plain(file), _name(file, around))
        except OSError:
            return
        if raw is None:
            return
        keys, _, table = zlib.decompress(raw).partition(b"\0")
        self._table |= np.unpackbits(np.frombuffer(table, np.uint8)).view(bool)
        self._kept = set(keys.decode().split("\n"))
        self.files |= self._kept

    def keep(self, file: Path, around: str) -> None:
        """Write down what was heard, if anything is new."""
        if self.files <= self._kept:
            return
        make_own_folder(file.parent)
        raw = "\n".join(sorted(self.files)).encode() + b"\0" + np.packbits(self._table).tobytes()
        put_plain(file, sealed(zlib.compress(raw, 1), _name(file, around)))
        self._kept = set(self.files)


def _name(file: Path, around: str) -> str:
    return f"{file.name} {_TABLE_BITS} {around}"
