"""Remember what was found in which file, so that a file that did not change is not read again.

What was found is kept under the digest of the file and its name. When some private texts are new, known files are
searched for these alone; pictures count only while they are copies of what is public. A damaged memory is empty.
"""

from collections.abc import Sequence
from pathlib import Path

import msgspec
import pikepdf
import PIL

from archgen.doubles.stored import DESCRIBE
from archgen.leaks.leak import Leak, LeakKind
from archgen.leaks.search import doublings
from archgen.leaks.values.exact import PrivateValue
from archgen.storage.files import digest_bytes
from archgen.storage.plain_files import make_own_folder, put_sealed, read_plain, unsealed
from archgen.twins import engine

# Raise it when files are read or searched in another way.
VERSION = 5
# With what files were read, and pictures compared.
READING = digest_bytes(str(VERSION), pikepdf.__version__, PIL.__version__, str(engine.VERSION), DESCRIBE.name)


class Searched(msgspec.Struct, frozen=True):
    """What was found in a file.

    Attributes:
        copies: The digests of the pixels of the pictures in it that are public copies.
        others: The digests of all other pictures in it, each of which could be compared.
        digest: The SHA-256 of the file; empty where it has no bytes.
    """

    leaks: tuple[Leak, ...]
    copies: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    digest: str = ""


class Compared(msgspec.Struct):
    """What a comparison of pictures with the archive's gave.

    Attributes:
        pictures: By their digests: the descriptions of those of the archive they look like, and how much (0 is most).
        archive: The descriptions of all that they were compared with.
    """

    pictures: dict[str, dict[str, int]] = {}
    archive: set[str] = set()


class _Kept(msgspec.Struct):
    reading: str
    around: str
    sought: list[str]
    searched: dict[str, Searched]
    pixels: dict[str, str]
    compared: Compared


class LeakMemory:
    """What was found when these values were looked for, kept in one file; without one nothing is.

    Attributes:
        fresh: The values that the known files were not searched for yet.
        pixels: The digests of the pixels of copies, by the name of their blob.
        compared: Pictures that were compared with the archive's.
    """

    def __init__(self, file: Path | None, values: Sequence[PrivateValue]) -> None:
        self._file = file
        kept = _load(file) if file else _nothing()
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
        self.compared = kept.compared if kept.reading == READING else Compared()

    def recall(self, key: str) -> Searched | None:
        """Give what was found in a file; None when it was not searched yet.

        The fresh values were not looked for in it.
        """
        found = self._searched.get(key)
        if found and self._are_others and any(leak.kind is LeakKind.TEXT for leak in found.leaks):
            return None  # what was found may not be private any more
        return found

    def keep(self, key: str, found: Searched) -> None:
        """Remember what was found in a file."""
        if self._file:
            self._used[key] = found

    def save(self) -> None:
        """Write down what was recalled and kept, and forget the rest."""
        kept = _Kept(READING, self._around, self._sought, self._used, self.pixels, self.compared)
        if self._file and kept != self._before:
            make_own_folder(self._file.parent)
            put_sealed(self._file, msgspec.json.encode(kept))


def file_key(name: str, target: str | None, content: bytes) -> str:
    """Name a file by all that is searched of it: name, aim of a link, content."""
    return digest_bytes(name, target or "", content)


def made_key(name: str, blob: str) -> str:
    """Name a file that need not be read for it: by its name and that of a blob, which says what is in it."""
    return digest_bytes(name, "", "blob", blob)


def _load(file: Path) -> _Kept:
    try:
        return msgspec.json.decode(unsealed(read_plain(file), file.name) or b"", type=_Kept)
    except (OSError, msgspec.MsgspecError):
        return _nothing()


def _nothing() -> _Kept:
    return _Kept("", "", [], {}, {}, Compared())
