"""Compare the pictures of any folder, with what is below it; nothing is written there."""

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from archgen.doubles.shelf import DESCRIBE, item
from archgen.errors import InputError
from archgen.images import decode
from archgen.images.glance import glance
from archgen.images.stage import quiet
from archgen.progress import ProgressReporter
from archgen.storage.files import digest_bytes, digest_file
from archgen.storage.jobs import Budget, run
from archgen.twins.engine import find_pairs
from archgen.twins.model import Item, Pair


@dataclass(frozen=True, slots=True)
class Note:
    """A file that could not be compared, by its path below the folder, and why."""

    file: str
    problem: str


@dataclass(frozen=True, slots=True)
class FolderDoubles:
    """What was found in a folder; paths are relative to it, with forward slashes."""

    pictures: int
    pairs: tuple[Pair, ...]
    notes: tuple[Note, ...]


def compare_folder(folder: Path, workers: int, progress: ProgressReporter) -> FolderDoubles:
    """Compare all pictures in a folder.

    Raises:
        InputError: There is no such folder.
    """
    if not folder.is_dir():
        raise InputError(f"There is no folder {folder}. Name one that holds pictures.")
    files = sorted(_files(folder))
    with TemporaryDirectory(prefix="archgen-") as shelf, quiet():
        look = partial(_look, folder=folder, shelf=Path(shelf), memory=Budget(decode.MEMORY_BYTES))
        same = _equal_files(folder, files)
        seen = list(progress.track(run(look, list(same), workers), len(same), "Reading pictures"))
        found = [(file, one) for first, one in zip(same, seen, strict=True) for file in same[first]]
        items = [replace(one, key=_shown(file)) for file, one in found if isinstance(one, Item)]
        with progress.counter("Comparing pictures") as count:
            pairs = find_pairs(items, progress=count)
    notes = sorted((_shown(file), one) for file, one in found if isinstance(one, str))
    return FolderDoubles(len(items), tuple(pairs), tuple(Note(*note) for note in notes))


def _equal_files(folder: Path, files: Iterable[str]) -> dict[str, list[str]]:
    """Sort files with the same bytes together, under the first of them: each is decoded once."""
    by_digest: dict[str, list[str]] = {}
    for file in files:
        try:
            digest = digest_file(folder / file)
        except OSError:  # told when it is looked at
            digest = file
        by_digest.setdefault(digest, []).append(file)
    return {same[0]: same for same in by_digest.values()}


def _files(folder: Path) -> Iterator[str]:
    """List the pictures below a folder; hidden ones and links are left alone."""
    for here, folders, names in os.walk(folder):
        folders[:] = [name for name in folders if not name.startswith(".")]
        for name in names:
            path = Path(here, name)
            if not name.startswith(".") and path.suffix.lower() in decode.SUFFIXES and not path.is_symlink():
                yield path.relative_to(folder).as_posix()


def _look(file: str, folder: Path, shelf: Path, memory: Budget) -> Item | str:
    """Describe a picture, or say why it cannot be compared."""
    try:
        description, taken = glance(folder / file, DESCRIBE, memory)
        kept = shelf / digest_bytes(os.fsencode(file))
        kept.write_bytes(description)
        return item(file, kept, taken)
    except decode.UnusableError as trouble:
        return trouble.problem
    except OSError as error:
        return f"The file cannot be read ({error.strerror or 'the disk reports an error'})."


def _shown(file: str) -> str:
    """Write a name that the disk holds in another encoding so that it can be printed."""
    return file.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
