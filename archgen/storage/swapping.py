"""Swap folders and files of a build folder into place by a journal; a swap that was stopped goes on at the next start.

Whatever moment it was stopped at, a name of the journal is in one of three states: new in ``.staging`` and old in
place; new in ``.staging`` and old set aside; new in place. Each leads to the next, so that going on from any of them,
as often as it takes, ends with all of them new. Without a journal nothing was begun, and what is staged is waste.
Of a folder in which few files changed only these are put, each in one step, and those taken away that are no more.
"""

import ctypes
import os
import shutil
from collections.abc import Iterable, Sequence
from contextlib import suppress
from pathlib import Path, PurePosixPath

import msgspec

from archgen.storage.build_folder import JOURNAL
from archgen.storage.plain_files import put_sealed, read_plain, remove_any, unsealed

STAGING = ".staging"
# More files than this are brought to the disk together: one by one took 6 ms each.
_MOST_SINGLY = 8


class Journal(msgspec.Struct, frozen=True):
    """What is about to be swapped.

    Attributes:
        whole: Folders, and files beside them, by name.
        put: Single files of other folders, as ``archive/index.html``.
        drop: Files of those that are no more.
    """

    whole: tuple[str, ...] = ()
    put: tuple[str, ...] = ()
    drop: tuple[str, ...] = ()


def write_journal(out: Path, journal: Journal) -> None:
    """Say what is about to be swapped; from then on it will be."""
    put_sealed(out / JOURNAL, msgspec.json.encode(journal))
    _sync(out / JOURNAL)
    _sync(out)


def finish_swap(out: Path) -> None:
    """Swap what the journal lists, from wherever it was stopped; nothing where there is none.

    Raises:
        OSError: Something cannot be moved, because another program has it open; the next start goes on.
    """
    journal = _journal(out)
    if journal is None:
        return
    for name in journal.whole:
        new, place, old = out / STAGING / name, out / name, _set_aside(out, name)
        if not os.path.lexists(new):
            continue
        if os.path.lexists(place):
            remove_any(old)
            place.rename(old)
        new.rename(place)
    for path in journal.put:
        _put(out / STAGING / path, out / path)
    for path in journal.drop:
        _drop(out, path)
    for folder in {PurePosixPath(path).parent for path in (*journal.put, *journal.drop)}:
        if (out / folder).is_dir():
            _sync(out / folder)
    _sync(out)
    remove_any(out / JOURNAL)
    for name in journal.whole:
        remove_any(_set_aside(out, name))


def _put(new: Path, place: Path) -> None:
    if not os.path.lexists(new):
        return
    place.parent.mkdir(parents=True, exist_ok=True)
    if place.is_dir() and not place.is_symlink():  # which a file cannot replace
        remove_any(place)
    new.replace(place)


def _drop(out: Path, path: str) -> None:
    """Take a file away, and the folders in which nothing is left."""
    with suppress(NotADirectoryError):  # a file has the name of its folder now
        remove_any(out / path)
    with suppress(OSError):  # something is in it
        for folder in PurePosixPath(path).parents[:-2]:
            (out / folder).rmdir()


def repair(out: Path) -> None:
    """Go on with a swap that was stopped, and clear away what no swap began to use.

    Raises:
        OSError: Something cannot be moved or removed.
    """
    finish_swap(out)
    remove_any(out / JOURNAL)
    shutil.rmtree(out / STAGING, ignore_errors=True)
    if os.path.lexists(out / STAGING):
        remove_any(out / STAGING)
    for part in out.glob(".*.part"):
        remove_any(part)
    for old in out.glob(".*.old"):
        place = out / old.name[1 : -len(".old")]
        if os.path.lexists(place):
            remove_any(old)
        else:
            old.rename(place)


def is_half_done(out: Path) -> bool:
    """Say whether a swap was stopped."""
    return _journal(out) is not None


def sync_all(files: Sequence[str], folder: Path) -> None:
    """Bring files and the folders they lie in down to the disk, before anything is swapped."""
    if len(files) > _MOST_SINGLY and _sync_disk(folder):
        return
    paths = [Path(file) for file in files]
    for path in paths:
        _sync(path)
    for parent in _folders_of(paths, folder):
        _sync(parent)


def _folders_of(files: Iterable[Path], top: Path) -> list[Path]:
    """List the folders of files up to the top, the deepest first."""
    found = {top}
    for path in files:
        for parent in path.parents:
            if parent in found:
                break
            found.add(parent)
    return sorted(found, key=lambda folder: len(folder.parts), reverse=True)


def _sync(path: Path) -> None:
    """Bring a file or folder down to the disk; folders where that is possible (not on Windows)."""
    if path.is_dir() and os.name == "nt":
        return
    handle = os.open(path, os.O_RDWR if os.name == "nt" else os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _sync_disk(folder: Path) -> bool:
    """Bring all that waits for the disk a folder lies on down to it; say whether that is possible (on Linux)."""
    try:
        syncfs = ctypes.CDLL(None).syncfs
    except (OSError, AttributeError, TypeError):  # not glibc
        return False
    handle = os.open(folder, os.O_RDONLY)
    try:
        return bool(syncfs(handle) == 0)
    finally:
        os.close(handle)


def _journal(out: Path) -> Journal | None:
    try:
        raw = unsealed(read_plain(out / JOURNAL), JOURNAL)
    except OSError:
        return None
    # The last version listed whole names alone.
    found = msgspec.json.decode(raw, type=Journal | list[str]) if raw else None
    return Journal(tuple(found)) if isinstance(found, list) else found


def _set_aside(out: Path, name: str) -> Path:
    return out / f".{name}.old"
