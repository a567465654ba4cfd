"""Put finished folders into place: all of a build whole and old, or all whole and new, never a mixture.

What is new of a folder is made beside its place, in ``.staging``. Together they are swapped in by renames that a
journal lists before the first of them; a stop between two is put right at the next start by going on. Of a folder in
which few files changed these alone are renamed; another is made whole, with links to what did not change, and renamed
itself. A folder in which nothing changed is left alone. Only folders that archgen made are ever replaced: a marker file
says so. Nothing is written through a link.
"""

import errno
import os
import shutil
import stat
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from filelock import FileLock, Timeout

from archgen.errors import OutputError, disk_reason
from archgen.languages.house import say
from archgen.storage.build_folder import DESK_LOCK, MARKER
from archgen.storage.files import digest_file, link_or_copy
from archgen.storage.plain_files import (
    is_own_folder,
    is_plain_or_absent,
    make_own_folder,
    put_plain,
    read_plain,
    remove_any,
)
from archgen.storage.swapping import STAGING, Journal, finish_swap, is_half_done, repair, sync_all, write_journal

LOCK = ".lock"
MARKER_TEXT = (
    "This folder is written by archgen. Every build may replace what is in it; keep nothing of your own here.\n"
)


class FoundFile(NamedTuple):
    """What is told of a file in a folder by looking at it; less than the system tells, for there are thousands."""

    device: int
    number: int
    size: int


@dataclass(slots=True, eq=False)
class StagedFolder:
    """One output folder in the making.

    Attributes:
        current: The ordinary files of the folder as it stands, by path.
        is_odd: Whether anything else is in it, such as a link.
        digest: Gives the digest of a file.
        new: The paths of files that are staged.
        kept: The paths of files that lie in place as they are to be.
        sources: Where a file is linked from, by its path, for those that are.
    """

    place: Path
    staging: Path
    current: dict[str, FoundFile]
    is_odd: bool
    digest: Callable[[Path], str]
    new: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    sources: dict[str, str] = field(default_factory=dict)
    _paths: set[str] = field(default_factory=set)
    _folders: set[str] = field(default_factory=set)

    def add(self, path: str, content: bytes) -> None:
        """Add a file with these bytes."""
        self._claim(path)
        before = self.current.get(path)
        if before and before.size == len(content) and self._reads(path, content):
            self.kept.append(path)
        else:
            Path(self._target(path)).write_bytes(content)
            self.new.append(path)

    def add_copy(self, path: str, source: str) -> None:
        """Add a file with the bytes of source, which never change under that name."""
        self._claim(path)
        self.sources[path] = source
        before = self.current.get(path)
        if before and self._is_copy(path, before, source):
            self.kept.append(path)
        else:
            link_or_copy(source, self._target(path))
            self.new.append(path)

    def _reads(self, path: str, content: bytes) -> bool:
        try:
            return read_plain(f"{os.fspath(self.place)}/{path}") == content
        except OSError:
            return False

    def _is_copy(self, path: str, before: FoundFile, source: str) -> bool:
        facts = os.stat(source)  # noqa: PTH116  thousands of them
        if (before.device, before.number) == (facts.st_dev, facts.st_ino) and facts.st_ino:
            return True
        # Where files cannot be linked: read anew only when something about one of them changed.
        return before.size == facts.st_size and self.digest(self.place / path) == self.digest(Path(source))

    @property
    def is_new(self) -> bool:
        """Say whether anything in it differs from the folder as it stands."""
        return bool(self.new) or self.is_odd or not is_own_folder(self.place) or self._paths != self.current.keys()

    @property
    def dropped(self) -> list[str]:
        """Give the paths of files in place that are no more."""
        return sorted(self.current.keys() - self._paths)

    @property
    def is_little(self) -> bool:
        """Say whether it takes less to put what is new than to make the folder whole beside its place."""
        is_in_the_way = any(self.current.keys() & set(_parents(path)) for path in self.new)
        few = len(self.new) + len(self.dropped) < len(self.kept)
        return few and not (self.is_odd or is_in_the_way) and is_own_folder(self.place)

    def files(self) -> Iterator[tuple[str, Path]]:
        """Give the path of each of its files, and the place where its bytes lie now."""
        yield from ((path, self.place / path) for path in self.kept)
        yield from ((path, self.staging / path) for path in self.new)

    def make_whole(self) -> None:
        """Stage what did not change, too."""
        for path in self.kept:
            link_or_copy(f"{os.fspath(self.place)}/{path}", self._target(path))
        self.new += self.kept
        self.kept.clear()

    def discard(self) -> None:
        """Throw the new folder away and leave the old one."""
        shutil.rmtree(self.staging, ignore_errors=True)

    def _claim(self, path: str) -> None:
        parts = path.split("/")
        if path in self._paths or ".." in parts or path.startswith("/") or not parts[-1]:
            raise ValueError(f"not a free place in an output folder: {path}")
        self._paths.add(path)

    def _target(self, path: str) -> str:
        """Give the place of a staged file; paths are plain texts here, of which there may be thousands."""
        target = f"{os.fspath(self.staging)}/{path}"
        folder = target[: target.rindex("/")]
        if folder not in self._folders:
            Path(folder).mkdir(parents=True, exist_ok=True)
            self._folders.add(folder)
        return target


def _parents(path: str) -> Iterator[str]:
    """Give the folders that a path lies in."""
    at = path.find("/")
    while at >= 0:
        yield path[:at]
        at = path.find("/", at + 1)


def swap_all(out: Path, staged: Sequence[StagedFolder], files: Mapping[str, bytes] | None = None) -> list[str]:
    """Put folders into place, all or none of them after a stop at any moment; give the names of those that changed.

    Args:
        out: The build folder.
        staged: The folders.
        files: Files beside the folders that belong to the same state, by name.
    """
    new = [folder for folder in staged if folder.is_new]
    little = [folder for folder in new if folder.is_little]
    whole = [folder for folder in new if folder not in little]
    for folder in whole:
        folder.make_whole()
        folder.staging.mkdir(parents=True, exist_ok=True)
    for name, content in (files or {}).items():
        put_plain(out / STAGING / name, content)
    if new or files:
        sync_all([f"{os.fspath(folder.staging)}/{path}" for folder in new for path in folder.new], out / STAGING)
        write_journal(
            out,
            Journal(
                whole=(*(folder.place.name for folder in whole), *(files or {})),
                put=tuple(f"{folder.place.name}/{path}" for folder in little for path in folder.new),
                drop=tuple(f"{folder.place.name}/{path}" for folder in little for path in folder.dropped),
            ),
        )
        finish_swap(out)
    for folder in staged:
        if folder not in whole:
            folder.discard()
    return [folder.place.name for folder in new]


@contextmanager
def output_folder(out: Path, source: Path) -> Iterator[Path]:
    """Make the build folder ready and keep other builds out of it.

    Raises:
        OutputError: The folder is the archive itself, holds somebody's own files, cannot be written or is in use.
    """
    try:
        with output_errors(out):
            claim_folder(out, source)
            if not is_plain_or_absent(out / LOCK):
                remove_any(out / LOCK)
            with FileLock(out / LOCK, timeout=0):
                _take_away_links(out)
                repair(out)
                try:
                    yield out
                finally:
                    repair(out)
    except Timeout as error:
        raise OutputError(
            say("{out}: another build is writing here. Wait until it has finished, then try again.", out=out)
        ) from error


def _take_away_links(out: Path) -> None:
    """Take away links among our folders, not what they lead to: nothing is read or written through them."""
    with os.scandir(out) as entries:
        links = [entry.path for entry in entries if entry.is_symlink()]
    for link in links:
        remove_any(Path(link))


def finish_stopped_swap(out: Path) -> None:
    """Go on with a swap that was stopped, if there is one and nobody else is at it."""
    if (out / MARKER).is_file() and is_half_done(out):
        with suppress(Timeout, OSError), FileLock(out / LOCK, timeout=0):
            repair(out)


def claim_folder(out: Path, source: Path) -> None:
    """Make the build folder where there is none, and put our mark into it.

    Raises:
        OutputError: The folder is the archive itself, or holds somebody's own files.
        OSError: It cannot be written.
    """
    _refuse_the_archive(out, source)
    marker = out / MARKER
    # In this order, and without the mark's own beginnings: another window may be claiming the same folder right now.
    holds_something = out.is_dir() and any(not one.name.startswith(f".{MARKER}.") for one in out.iterdir())
    if holds_something and not os.path.lexists(marker):
        raise OutputError(
            say(
                "{out}: the folder is not empty and was not made by archgen, so nothing in it is "
                "touched. Choose an empty or new folder with --out.",
                out=out,
            )
        )
    out.mkdir(parents=True, exist_ok=True)
    if not _says(marker, MARKER_TEXT):
        put_plain(marker, MARKER_TEXT.encode())


def _says(path: Path, text: str) -> bool:
    try:
        return read_plain(path) == text.encode()
    except OSError:
        return False


def is_desk_open(out: Path) -> bool:
    """Say whether a desk works with this build folder now."""
    place = out / DESK_LOCK
    if place.is_symlink() or not place.is_file():
        return False
    try:
        with FileLock(place, timeout=0):
            return False
    except Timeout:
        return True


@contextmanager
def output_errors(out: Path) -> Iterator[None]:
    """Say in the artist's words why the build folder cannot be written.

    Raises:
        OutputError: In the place of every error of the disk.
    """
    try:
        yield
    except Timeout:  # an OSError too, and not about the disk
        raise
    except PermissionError as error:
        raise OutputError(
            say("{file}: not allowed to write here. Choose another folder with --out.", file=error.filename or out)
        ) from error
    except OSError as error:
        said = say("{file}: cannot be written ({reason}).", file=error.filename or out, reason=disk_reason(error))
        full = say("Free some space, or choose another folder with --out.")
        other = say("Choose another folder with --out.")
        raise OutputError(f"{said} {full if error.errno == errno.ENOSPC else other}") from error


def stage(out: Path, folder: str, digest: Callable[[Path], str] = digest_file) -> StagedFolder:
    """Begin a new version of one output folder."""
    staging = out / STAGING / folder
    make_own_folder(out / STAGING)
    remove_any(staging)
    staging.mkdir()
    current, is_odd = files_below(out / folder)
    return StagedFolder(out / folder, staging, current, is_odd, digest)


def _refuse_the_archive(out: Path, source: Path) -> None:
    try:
        target, archive = out.resolve(), source.resolve()
    except (OSError, RuntimeError) as error:  # RuntimeError: Python before 3.13, for links in a circle
        raise OutputError(
            say("{out}: this is a link in a circle. Choose another folder with --out.", out=out)
        ) from error
    if archive.is_relative_to(target) or target.is_relative_to(archive / "pieces"):
        raise OutputError(
            say(
                "{out}: this is the archive folder itself or a part of it. Choose a folder of its own "
                "with --out, such as build.",
                out=out,
            )
        )


def files_below(folder: Path) -> tuple[dict[str, FoundFile], bool]:
    """List the ordinary files below a folder by their path, and say whether anything else is there; no link counts."""
    found: dict[str, FoundFile] = {}
    is_odd = False
    waiting = [("", os.fspath(folder))] if is_own_folder(folder) else []
    while waiting:
        prefix, path = waiting.pop()
        with os.scandir(path) as entries:
            for entry in entries:
                facts = entry.stat(follow_symlinks=False)
                if stat.S_ISREG(facts.st_mode):
                    found[f"{prefix}{entry.name}"] = FoundFile(facts.st_dev, facts.st_ino, facts.st_size)
                elif is_own_folder(entry.path):
                    waiting.append((f"{prefix}{entry.name}/", entry.path))
                else:
                    is_odd = True
    return found, is_odd
