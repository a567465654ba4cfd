"""What was changed, kept in the build folder: the words, the digests, and every version before.

Each change has a folder of its own, whose name says how far it came; a name changes in one step and needs no space.
"""

import os
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

import msgspec

from archgen.storage.files import copy_durably, write_durably

CHANGES = "changes"
ENTRY = "change.json"
_GONE = ".gone"


class Reached(Enum):
    """How far a change came; the value ends the name of its folder."""

    BEGUN = ".begun"
    DONE = ""
    TAKING = ".taking"
    TAKEN_BACK = ".taken-back"


class JournalFile(msgspec.Struct, frozen=True):
    """A file of a change.

    Attributes:
        before: SHA-256 of what it held; None when it is new.
        after: SHA-256 of what it holds; None when it went.
        kept: The name of the version before, in the folder of the change.
    """

    path: str
    before: str | None
    after: str | None
    kept: str | None = None


class JournalEntry(msgspec.Struct, frozen=True):
    """A change as it was carried out.

    Attributes:
        at: Day and time, as the computer's clock says.
        token: What stands in the names of files on their way into place.
        made: Folders that were made for it, outer ones first.
    """

    words: str
    at: str
    token: str
    files: tuple[JournalFile, ...]
    new_folder: str | None = None
    made: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PastChange:
    """A change with its number, counted from 1."""

    number: int
    reached: Reached
    entry: JournalEntry
    folder: Path

    def begun_as(self, reached: Reached) -> "PastChange":
        """Say in one step that it came so far."""
        folder = self.folder.with_name(_name(self.number, reached))
        self.folder.rename(folder)
        return PastChange(self.number, reached, self.entry, folder)

    @property
    def is_removal(self) -> bool:
        """Say whether files left the archive with it."""
        return any(file.after is None for file in self.entry.files)

    @property
    def size_bytes(self) -> int:
        """Give how much room what is kept of it takes."""
        return sum(path.stat().st_size for path in self.folder.rglob("*") if path.is_file())

    def forget(self) -> None:
        """Throw it away, kept versions too."""
        gone = self.folder.with_name(f"{self.folder.name}{_GONE}")
        self.folder.rename(gone)
        shutil.rmtree(gone, ignore_errors=True)


def begin(
    kept: Path, entry: JournalEntry, versions: Mapping[str, bytes], going: Mapping[str, Path] | None = None
) -> PastChange:
    """Write an entry down with the versions before, by their names, before anything of the archive is touched.

    Of files that are `going` the folder gets a second name, on another disk a copy.
    """
    folder = kept / CHANGES
    folder.mkdir(parents=True, exist_ok=True)
    number = max((one.number for one in read_journal(kept)), default=0) + 1
    place = folder / _name(number, Reached.BEGUN)
    making = place.with_name(f"{place.name}{_GONE}")
    making.mkdir()
    try:
        for name, content in versions.items():
            write_durably(making / name, content)
        for name, path in (going or {}).items():
            name_or_copy(path, making / name)
        write_durably(making / ENTRY, msgspec.json.encode(entry))
        making.rename(place)
    except BaseException:
        shutil.rmtree(making, ignore_errors=True)
        raise
    return PastChange(number, Reached.BEGUN, entry, place)


def name_or_copy(path: Path, target: Path) -> None:
    """Give a file a second name where none is; on another disk a whole copy."""
    try:
        os.link(path, target)
    except FileExistsError:
        raise
    except OSError:  # another disk, or one without such links
        copy_durably(path, target)


def read_journal(kept: Path) -> tuple[PastChange, ...]:
    """Give all changes, the first first; what cannot be read is left out."""
    return tuple(sorted(_read(kept / CHANGES), key=lambda one: one.number))


def sweep(kept: Path) -> None:
    """Clear away what was thrown away or never begun."""
    for path in (kept / CHANGES).glob(f"*{_GONE}"):
        shutil.rmtree(path, ignore_errors=True)


def _read(folder: Path) -> Iterator[PastChange]:
    try:
        places = list(folder.iterdir())
    except OSError:
        return
    for place in places:
        number, dot, rest = place.name.partition(".")
        reached = next((one for one in Reached if one.value == dot + rest), None)
        if not number.isdecimal() or reached is None:
            continue
        try:
            entry = msgspec.json.decode((place / ENTRY).read_bytes(), type=JournalEntry)
        except (OSError, msgspec.DecodeError):
            continue
        yield PastChange(int(number), reached, entry, place)


def _name(number: int, reached: Reached) -> str:
    return f"{number:06}{reached.value}"
