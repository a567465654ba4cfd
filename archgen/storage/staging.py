"""Put finished folders into place: whole old ones or whole new ones, never a mixture.

Each folder is made beside its place, in ``.staging``, and swapped in by two renames; a stop between the two is put
right at the next start. Files that did not change are linked from the old folder, and a folder in which nothing
changed is left alone. Only folders that archgen made are ever replaced: a marker file says so.
"""

import errno
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from filelock import FileLock, Timeout

from archgen.errors import OutputError
from archgen.storage.build_folder import DESK_LOCK, MARKER
from archgen.storage.files import link_or_copy

MARKER_TEXT = (
    "This folder is written by archgen. Every build may replace what is in it; keep nothing of your own here.\n"
)


@dataclass(slots=True)
class StagedFolder:
    """One output folder in the making."""

    place: Path
    staging: Path
    changed: int = 0
    _paths: set[str] = field(default_factory=set)

    def add(self, path: str, content: bytes) -> None:
        """Add a file with these bytes."""
        target, current = self._claim(path)
        try:
            unchanged = current.stat().st_size == len(content) and current.read_bytes() == content
        except OSError:
            unchanged = False
        if unchanged:
            link_or_copy(current, target)
            return
        self.changed += 1
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)

    def add_copy(self, path: str, source: Path) -> None:
        """Add a file with the bytes of source, which never change under that name."""
        target, current = self._claim(path)
        try:
            unchanged = current.samefile(source) or current.stat().st_size == source.stat().st_size
        except OSError:
            unchanged = False
        self.changed += not unchanged
        link_or_copy(source, target)

    def swap(self) -> bool:
        """Put the new folder into place and say whether anything changed."""
        if not self.changed and self.place.is_dir() and _files_below(self.place) == self._paths:
            shutil.rmtree(self.staging, ignore_errors=True)
            return False
        old = _old_name(self.place)
        shutil.rmtree(old, ignore_errors=True)
        self.staging.mkdir(parents=True, exist_ok=True)
        if self.place.exists():
            self.place.rename(old)
        self.staging.rename(self.place)
        shutil.rmtree(old, ignore_errors=True)
        return True

    def discard(self) -> None:
        """Throw the new folder away and leave the old one."""
        shutil.rmtree(self.staging, ignore_errors=True)

    def _claim(self, path: str) -> tuple[Path, Path]:
        parts = PurePosixPath(path).parts
        if path in self._paths or not parts or ".." in parts or path.startswith("/"):
            raise ValueError(f"not a free place in an output folder: {path}")
        self._paths.add(path)
        return self.staging.joinpath(*parts), self.place.joinpath(*parts)


@contextmanager
def output_folder(out: Path, source: Path) -> Iterator[Path]:
    """Make the build folder ready and keep other builds out of it.

    Raises:
        OutputError: The folder is the archive itself, holds somebody's own files, cannot be written or is in use.
    """
    try:
        with output_errors(out):
            claim_folder(out, source)
            with FileLock(out / ".lock", timeout=0):
                _repair(out)
                try:
                    yield out
                finally:
                    _repair(out)
    except Timeout as error:
        raise OutputError(
            f"{out}: another build is writing here. Wait until it has finished, then try again."
        ) from error


def claim_folder(out: Path, source: Path) -> None:
    """Make the build folder where there is none, and put our mark into it.

    Raises:
        OutputError: The folder is the archive itself, or holds somebody's own files.
        OSError: It cannot be written.
    """
    _refuse_the_archive(out, source)
    marker = out / MARKER
    if out.is_dir() and not marker.exists() and any(out.iterdir()):
        raise OutputError(
            f"{out}: the folder is not empty and was not made by archgen, so nothing in it is touched. "
            "Choose an empty or new folder with --out."
        )
    out.mkdir(parents=True, exist_ok=True)
    if not marker.exists():
        marker.write_text(MARKER_TEXT, encoding="utf-8")


def is_desk_open(out: Path) -> bool:
    """Say whether a desk works with this build folder now."""
    place = out / DESK_LOCK
    if not place.exists():
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
            f"{error.filename or out}: not allowed to write here. Choose another folder with --out."
        ) from error
    except OSError as error:
        remedy = "Free some space, or choose" if error.errno == errno.ENOSPC else "Choose"
        raise OutputError(
            f"{error.filename or out}: cannot be written ({error.strerror}). {remedy} another folder with --out."
        ) from error


def stage(out: Path, folder: str) -> StagedFolder:
    """Begin a new version of one output folder."""
    staging = out / ".staging" / folder
    shutil.rmtree(staging, ignore_errors=True)
    staging.mkdir(parents=True)
    return StagedFolder(out / folder, staging)


def _refuse_the_archive(out: Path, source: Path) -> None:
    try:
        target, archive = out.resolve(), source.resolve()
    except (OSError, RuntimeError) as error:  # RuntimeError: Python before 3.13, for links in a circle
        raise OutputError(f"{out}: this is a link in a circle. Choose another folder with --out.") from error
    if archive.is_relative_to(target) or target.is_relative_to(archive / "pieces"):
        raise OutputError(
            f"{out}: this is the archive folder itself or a part of it. "
            "Choose a folder of its own with --out, such as build."
        )


def _repair(out: Path) -> None:
    shutil.rmtree(out / ".staging", ignore_errors=True)
    for old in out.glob(".*.old"):
        place = out / old.name[1 : -len(".old")]
        if place.exists():
            shutil.rmtree(old, ignore_errors=True)
        else:
            old.rename(place)


def _old_name(place: Path) -> Path:
    return place.with_name(f".{place.name}.old")


def _files_below(folder: Path) -> set[str]:
    found: set[str] = set()
    for parent, _, names in os.walk(folder):
        base = Path(parent).relative_to(folder)
        found.update((base / name).as_posix() for name in names)
    return found
