"""Gather the files an intake looks at: a folder with what is below it, single files, zips; says what is left out.

Nothing is followed out of the folders that were named: links are told and passed over. What a zip holds is unpacked
under numbers into a folder for the moment, so that no name in it can lead anywhere.
"""

import os
import stat
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

from archgen.errors import InputError, UsageError, disk_reason
from archgen.images import decode
from archgen.intake.plan import NotTaken
from archgen.intake.zips import is_zip, unpack
from archgen.languages.house import say, to_say
from archgen.storage.build_folder import MARKER

MOST_FILES = 20_000
# What computers and telephones put beside pictures by themselves.
_SYSTEM_FILES = frozenset({"thumbs.db", "desktop.ini", ".ds_store"})
_SYSTEM_FOLDERS = frozenset({"__macosx", "@eadir", "$recycle.bin", "system volume information"})
_OTHERS = {
    to_say("This is a video. archgen files pictures, so it stays where it is."): (
        ".mov .mp4 .m4v .avi .mkv .webm .3gp .mts .m2ts .wmv .mpg .mpeg .hevc"
    ),
    to_say("This is a raw file of a camera. Save it as JPEG to file it."): (
        ".cr2 .cr3 .nef .arw .dng .orf .rw2 .raf .pef .srw .x3f"
    ),
    to_say("This is a working file of a drawing program. Export the drawing as PNG to file it."): (
        ".psd .psb .xcf .kra .clip .procreate .ora .sai .afphoto .afdesign .ai .cdr"
    ),
    to_say("GIF pictures are not filed. Save it as PNG."): ".gif",
    to_say("These are a telephone's notes about an edited photo; the photo is enough."): ".aae .xmp .thm .lrv",
}
_WHY_NOT = {suffix: sentence for sentence, suffixes in _OTHERS.items() for suffix in suffixes.split()}
VECTOR_SUFFIXES = frozenset({".svg", ".pdf"})


@dataclass(frozen=True, slots=True)
class SourceFile:
    """One file: where it lies, and what the artist calls it."""

    path: Path
    name: str


@dataclass(slots=True)
class Gathered:
    """What was found: the files to look at, and those left out.

    Attributes:
        words: What was named, for people.
        looked_at: How many files there were, without those of the system.
    """

    words: str
    files: list[SourceFile] = field(default_factory=list)
    not_taken: list[NotTaken] = field(default_factory=list)
    looked_at: int = 0


@contextmanager
def gather(named: Sequence[Path], root: Path) -> Iterator[Gathered]:
    """List the files of folders, files and zips, and keep what was unpacked while the block runs.

    Raises:
        UsageError: One of them is the archive itself, or there are far too many files.
        InputError: One of them is not there or cannot be opened.
    """
    found = Gathered(", ".join(seen_name(os.fspath(path)) for path in named))
    with ExitStack() as stack:
        for path in named:
            _check_named(path, root)
            if path.is_dir():
                _walk(path, root, found)
            elif is_zip(path):
                folder = Path(stack.enter_context(TemporaryDirectory(prefix="archgen-")))
                _open_zip(path, folder, found)
            else:
                _take(path, path.name, found)
        found.files.sort(key=lambda file: file.name)
        yield found


def seen_name(name: str) -> str:
    """Write a name that the disk holds in another encoding, or with control characters, so that it can be shown."""
    text = name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    return "".join(one if one.isprintable() else "\N{REPLACEMENT CHARACTER}" for one in text)


def _check_named(path: Path, root: Path) -> None:
    try:
        target, archive = path.resolve(strict=True), root.resolve()
    except FileNotFoundError as error:
        raise InputError(say("There is no {file}. Check the name.", file=seen_name(os.fspath(path)))) from error
    except (OSError, RuntimeError) as error:  # RuntimeError: Python before 3.13, for links in a circle
        raise InputError(say("{file} cannot be opened.", file=seen_name(os.fspath(path)))) from error
    if target == archive or target.is_relative_to(archive / "pieces"):
        raise UsageError(say("{file} is the archive itself. Name the folder that holds the new pictures.", file=path))


def _walk(folder: Path, root: Path, found: Gathered) -> None:
    archive = root.resolve()

    def unopened(error: OSError) -> None:
        reason = disk_reason(error)
        if Path(error.filename) == folder:
            raise InputError(
                say("The folder {folder} cannot be opened ({reason}).", folder=folder, reason=reason)
            ) from error
        name = seen_name(Path(error.filename).relative_to(folder).as_posix())
        found.not_taken.append(NotTaken(name, say("The folder cannot be opened ({reason}).", reason=reason)))

    for here, folders, names in os.walk(folder, onerror=unopened):
        base = Path(here)
        for name in sorted(folders):
            why = _why_not_inside(base / name, archive)
            if why is not None:
                folders.remove(name)
                if why:
                    found.not_taken.append(NotTaken(seen_name((base / name).relative_to(folder).as_posix()), why))
        for name in names:
            path = base / name
            _take(path, path.relative_to(folder).as_posix(), found)


def _why_not_inside(folder: Path, archive: Path) -> str | None:
    """Say why a folder is passed over; an empty text where that needs no word, None where it is looked into."""
    if folder.name.startswith(".") or folder.name.casefold() in _SYSTEM_FOLDERS:
        return ""
    if folder.is_symlink():
        return say("This is a link to another folder and was not followed.")
    if folder.resolve() == archive or folder.resolve() == archive / "pieces":
        return say("This is the archive itself and was not looked into.")
    if (folder / MARKER).is_file():
        return say("archgen wrote this folder itself, so it was not looked into.")
    return None


def _take(path: Path, name: str, found: Gathered) -> None:
    """Sort one file in by its name; what is in it shows when it is read."""
    if path.name.startswith(".") or path.name.casefold() in _SYSTEM_FILES:
        return
    found.looked_at += 1
    if found.looked_at > MOST_FILES:
        raise UsageError(
            say("There are more than {most} files. Take them in several times, a folder each.", most=MOST_FILES)
        )
    why = _why_not(path)
    if why:
        found.not_taken.append(NotTaken(seen_name(name), why))
    else:
        found.files.append(SourceFile(path, seen_name(name)))


def _why_not(path: Path) -> str | None:
    try:
        mode = path.lstat().st_mode
    except OSError as error:
        return say("The file cannot be read ({reason}).", reason=disk_reason(error))
    if stat.S_ISLNK(mode):
        return say("This is a link and was not followed. Put the file itself there.")
    if not stat.S_ISREG(mode):
        return say("This isn't an ordinary file, so it was not opened.")
    return why_not_by_name(path.name)


def why_not_by_name(name: str) -> str | None:
    """Say why a file of such a name is not looked at; None when it is."""
    suffix = Path(name).suffix.lower()
    if suffix in _WHY_NOT:
        return say(_WHY_NOT[suffix])
    if suffix == ".zip":
        return say("A zip inside a folder or a zip is not opened. Name it by itself.")
    if suffix in decode.SUFFIXES or suffix in VECTOR_SUFFIXES:
        return None
    return say("This is not a kind of picture that can be filed.")


def _open_zip(path: Path, folder: Path, found: Gathered) -> None:
    for member in unpack(path, folder, why_not_by_name):
        found.looked_at += 1
        if member.why_not:
            found.not_taken.append(NotTaken(seen_name(member.name), member.why_not))
        elif member.unpacked:
            found.files.append(SourceFile(member.unpacked, seen_name(member.name)))
