"""Unpack the pictures of a zip with limits; no name in it decides where anything is written."""

import zipfile
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from archgen.errors import InputError, disk_reason
from archgen.languages.house import say, to_say

# A camera roll of some years; a picture of 250 million pixels as TIFF has 750 MB.
MOST_MEMBERS = 20_000
LARGEST_MEMBER = 2_000_000_000
LARGEST_TOTAL = 40_000_000_000
# Pictures are packed already: what shrinks more than this, and is large, was made to fill a disk.
_MOST_SHRUNK, _SMALL = 200, 20_000_000
_CHUNK = 1 << 20
_LOCKED = 0x1


@dataclass(frozen=True, slots=True)
class ZipMember:
    """One file of a zip: its name there, where it was unpacked to, or why it was not."""

    name: str
    unpacked: Path | None = None
    why_not: str | None = None


def is_zip(path: Path) -> bool:
    """Say whether a file is meant to be a zip."""
    return path.suffix.lower() == ".zip"


def unpack(path: Path, folder: Path, why_not_by_name: Callable[[str], str | None]) -> Iterator[ZipMember]:
    """Unpack the pictures of a zip into a folder, under numbers with their suffix.

    Raises:
        InputError: The zip is damaged, holds far too much, or cannot be read.
    """
    try:
        with zipfile.ZipFile(path) as opened:
            members = [
                member
                for member in opened.infolist()
                if member.filename and not member.is_dir() and not _is_system(member.filename)
            ]
            if len(members) > MOST_MEMBERS:
                raise InputError(
                    say(
                        "{name} holds more than {most} files. Unpack it, and take in a folder at a time.",
                        name=path.name,
                        most=MOST_MEMBERS,
                    )
                )
            left = LARGEST_TOTAL
            for number, member in enumerate(members):
                made = _unpack_one(opened, member, folder / str(number), left, why_not_by_name)
                left -= made.unpacked.stat().st_size if made.unpacked else 0
                yield made
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError) as error:
        raise InputError(say("{name} is damaged, or not a zip. Copy or export it again.", name=path.name)) from error
    except OSError as error:
        raise InputError(
            say("{name} cannot be unpacked ({reason}).", name=path.name, reason=disk_reason(error))
        ) from error


def _unpack_one(
    opened: zipfile.ZipFile,
    member: zipfile.ZipInfo,
    target: Path,
    left: int,
    why_not_by_name: Callable[[str], str | None],
) -> ZipMember:
    name = member.filename
    why = _why_not(member, left) or why_not_by_name(name)
    if why:
        return ZipMember(name, why_not=why)
    target = target.with_suffix(PurePosixPath(name).suffix.lower()[:8])
    try:
        written = _copy(opened, member, target, min(left, LARGEST_MEMBER))
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError):
        target.unlink(missing_ok=True)
        return ZipMember(name, why_not=say("This file is damaged inside the zip."))
    if not written:
        target.unlink(missing_ok=True)
        return ZipMember(name, why_not=say(_TOO_LARGE))
    return ZipMember(name, target)


_TOO_LARGE = to_say("This file is far larger unpacked than a picture can be, so it was not unpacked.")


def _why_not(member: zipfile.ZipInfo, left: int) -> str | None:
    path = PurePosixPath(member.filename.replace("\\", "/"))
    if path.is_absolute() or ".." in path.parts or ":" in path.parts[0]:
        return say("Its name leads out of the zip, so it was not unpacked.")
    if member.flag_bits & _LOCKED:
        return say("It is locked with a password. Unpack the zip yourself, and take in the folder.")
    is_shrunk = member.file_size > _SMALL and member.file_size > _MOST_SHRUNK * max(member.compress_size, 1)
    return _TOO_LARGE if is_shrunk or member.file_size > min(left, LARGEST_MEMBER) else None


def _copy(opened: zipfile.ZipFile, member: zipfile.ZipInfo, target: Path, most: int) -> bool:
    """Unpack one file, and stop where it grows beyond what its head says."""
    written = 0
    with opened.open(member) as source, target.open("wb") as out:
        while chunk := source.read(_CHUNK):
            written += len(chunk)
            if written > min(most, member.file_size):
                return False
            out.write(chunk)
    return True


def _is_system(name: str) -> bool:
    parts = PurePosixPath(name.replace("\\", "/")).parts
    return any(part.startswith((".", "__MACOSX")) and part not in {".", ".."} for part in parts) or (
        bool(parts) and parts[-1].casefold() in {"thumbs.db", "desktop.ini"}
    )
