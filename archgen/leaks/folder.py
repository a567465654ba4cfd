"""List everything in a folder, or in a zip that stands for one, and read one file after the other."""

import os
import stat
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from archgen.errors import InputError
from archgen.languages.house import say
from archgen.values.frozen import Value

# Larger files are said to be too large instead of being taken into memory.
LARGEST_FILE = 64 << 20
TOO_LARGE = f"larger than {LARGEST_FILE >> 20} MB"


class Entry(Value, frozen=True):
    """One thing in a folder.

    Attributes:
        name: Its path below the folder, with forward slashes.
        content: Its bytes; None for folders and what cannot be read.
        target: Where it leads when it is a link.
        trouble: Why it could not be read.
    """

    name: str
    content: bytes | None = None
    target: str | None = None
    trouble: str | None = None


class MadeFile(NamedTuple):
    """A file of a folder that is being made.

    Attributes:
        name: As of an entry.
        where: Where its bytes lie.
        blob: The name of the blob it is linked from; None where its bytes have no name of their own.
    """

    name: str
    where: Path
    blob: str | None

    def read(self) -> Entry:
        """Read it."""
        return _file(self.where, self.name)


def folders_of(files: Iterable[MadeFile]) -> Iterator[Entry]:
    """Give the folders that such files lie in, whose names are read too."""
    found = {parent for file in files for parent in PurePosixPath(file.name).parents[:-1]}
    yield from (Entry(f"{folder}/") for folder in sorted(found))


def check_place(place: Path) -> None:
    """Refuse a place that is not there.

    Raises:
        InputError: There is nothing of that name.
    """
    if not place.exists():
        raise InputError(
            say("There is no folder {place}. Build first, or name the folder to look through.", place=place)
        )


def entries_of(place: Path) -> Iterator[Entry]:
    """Give everything below a folder, in a zip, or a single file itself; links to folders are not followed."""
    if place.is_dir():
        yield from _in_folder(place)
    elif zipfile.is_zipfile(place):
        yield from _in_zip(place)
    else:
        yield _file(place, place.name)


def _in_folder(place: Path) -> Iterator[Entry]:
    troubles: list[Entry] = []

    def note(error: OSError) -> None:
        name = Path(str(error.filename)).relative_to(place).as_posix()
        troubles.append(Entry(_written(name), trouble=f"it cannot be opened ({error.strerror or 'unknown reason'})"))

    for parent, folders, files in os.walk(place, onerror=note):
        folders.sort()
        base = Path(parent).relative_to(place)
        for name in folders:
            path = base / name
            yield Entry(f"{_written(path.as_posix())}/", target=_target(place / path))
        for name in sorted(files):
            yield _file(place / base / name, (base / name).as_posix())
    yield from troubles


def _file(path: Path, name: str) -> Entry:
    written, target = _written(name), _target(path)
    try:
        facts = path.stat()
        if not stat.S_ISREG(facts.st_mode):
            return Entry(written, None, target, None if target and path.is_dir() else "it isn't an ordinary file")
        if facts.st_size > LARGEST_FILE:
            return Entry(written, None, target, TOO_LARGE)
        return Entry(written, path.read_bytes(), target)
    except OSError as error:
        # A link that leads nowhere has nothing in it; its target was read.
        return Entry(written, None, target, None if target else f"it cannot be read ({error.strerror})")


def _target(path: Path) -> str | None:
    return _written(os.readlink(path)) if path.is_symlink() else None  # noqa: PTH115  as written, not resolved


def _in_zip(place: Path) -> Iterator[Entry]:
    with zipfile.ZipFile(place) as archive:
        yield Entry(place.name, archive.comment)
        for member in sorted(archive.infolist(), key=lambda member: member.filename):
            yield Entry(member.filename, *_member(archive, member))


def _member(archive: zipfile.ZipFile, member: zipfile.ZipInfo) -> tuple[bytes | None, None, str | None]:
    if member.filename.endswith("/"):  # is_dir fails on a member without a name
        return None, None, None
    if member.flag_bits & 1:
        return None, None, "it opens only with a password"
    try:
        with archive.open(member) as packed:
            content = packed.read(LARGEST_FILE + 1)
    except (zipfile.BadZipFile, zlib.error, OSError, RuntimeError, NotImplementedError, EOFError):
        return None, None, "it is packed and damaged"
    return (content, None, None) if len(content) <= LARGEST_FILE else (None, None, TOO_LARGE)


def _written(name: str) -> str:
    """Write a name that the disk holds in another encoding so that it can be searched and printed."""
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
