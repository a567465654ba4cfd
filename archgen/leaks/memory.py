"""Remember what was found in which file, so that a file that did not change is not read again.

What was found is kept under the digest of the file and its name. When some private texts are new, known files are
searched for these alone; pictures count only while they are copies of what is public. A damaged memory is empty.
"""

from collections.abc import Sequence
from pathlib import Path

import msgspec
import pikepdf
import PIL

from archgen.leaks.leak import Leak, LeakKind
from archgen.leaks.search import doublings
from archgen.leaks.values.exact import PrivateValue
from archgen.storage.files import digest_bytes
from archgen.storage.plain_files import make_own_folder, put_plain, read_plain, sealed, unsealed

# Raise it when files are read or searched in another way.
VERSION = 3
# With what files were read.
READING = digest_bytes(str(VERSION), pikepdf.__version__, PIL.__version__)


class Searched(msgspec.Struct, frozen=True):
    """What was found in a file, and the digests of the pixels of the pictures in it, all of them public copies."""

    leaks: tuple[Leak, ...]
    copies: tuple[str, ...] = ()


class _Kept(msgspec.Struct):
    around: str
    sought: list[str]
    searched: dict[str, Searched]
    pixels: dict[str, str]


class LeakMemory:
    """What was found when these values were looked for, kept in one file; without one nothing is.

    Attributes:
        fresh: The values that the known files were not searched for yet.
        pixels: The digests of the pixels of copies, by the name of their blob.
    """

    def __init__(self, file: Path | None, values: Sequence[PrivateValue]) -> None:
        self._file = file
        kept = _load(file) if file else _Kept("", [], {}, {})
        sought = {digest_bytes(repr(value))[:32]: value for value in values} if file else {}
        self._sought = list(sought)
        # How sure a find in bytes must be depends on how many values there are.
        self._around = digest_bytes(READING, str(doublings(len(values))))
        before = set(kept.sought)
        self.fresh = tuple(value for digest, value in sought.items() if digest not in before)
        self._are_others = before != sought.keys()
        self._before = kept
        self._searched = kept.searched if kept.around == self._around else {}
        self._used = {} if self._are_others else dict(self._searched)
        self.pixels = dict(kept.pixels)

    def recall(self, name: str, target: str | None, content: bytes) -> Searched | None:
        """Give what was found in a file of this name and content; None when it was not searched yet.

        The fresh values were not looked for in it.
        """
        found = self._searched.get(file_key(name, target, content)) if self._searched else None
        if found and self._are_others and any(leak.kind is LeakKind.TEXT for leak in found.leaks):
            return None  # what was found may not be private any more
        return found

    def keep(self, name: str, target: str | None, content: bytes, found: Searched) -> None:
        """Remember what was found in a file."""
        if self._file:
            self._used[file_key(name, target, content)] = found

    def save(self) -> None:
        """Write down what was recalled and kept, and forget the rest."""
        kept = _Kept(self._around, self._sought, self._used, self.pixels)
        if self._file and kept != self._before:
            make_own_folder(self._file.parent)
            put_plain(self._file, sealed(msgspec.json.encode(kept), self._file.name))


def file_key(name: str, target: str | None, content: bytes) -> str:
    """Name a file by all that is searched of it: name, aim of a link, content."""
    return digest_bytes(name, target or "", content)


def _load(file: Path) -> _Kept:
    try:
        return msgspec.json.decode(unsealed(read_plain(file), file.name) or b"", type=_Kept)
    except (OSError, msgspec.MsgspecError):
        return _Kept("", [], {}, {})
