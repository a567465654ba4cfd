"""Compare the pictures of any folder, with what is below it; nothing is written there."""

import os
import stat
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from archgen.doubles.stored import DESCRIBE, item
from archgen.errors import InputError, disk_reason
from archgen.images import decode
from archgen.languages.house import say
from archgen.picture_facts.quick_facts import describe_picture
from archgen.picture_facts.stage import quiet
from archgen.progress import ProgressReporter
from archgen.storage.files import digest_bytes, digest_file
from archgen.storage.jobs import Budget, run
from archgen.twins.description.prepare import MAX_ASPECT
from archgen.twins.description.prepared import Prepared
from archgen.twins.engine import find_pairs
from archgen.twins.model import ComparedPicture, Pair
from archgen.values.frozen import Value


class Note(Value, frozen=True):
    """A file that could not be compared, by its path below the folder, and why."""

    file: str
    problem: str


class FolderDoubles(Value, frozen=True):
    """What was found in a folder; paths are relative to it, with forward slashes.

    Attributes:
        read: How many files were read.
        pictures: How many pictures of them were compared.
        pairs: What was found.
        notes: The files that could not be compared.
        links: How many links were passed over.
        looked_at: How many pairs were laid over each other.
        read_s: Seconds that reading took.
        compared_s: Seconds that comparing took.
    """

    read: int
    pictures: int
    pairs: tuple[Pair, ...]
    notes: tuple[Note, ...]
    links: int
    looked_at: int
    read_s: float
    compared_s: float


def compare_folder(folder: Path, workers: int, progress: ProgressReporter) -> FolderDoubles:
    """Compare all pictures in a folder.

    Raises:
        InputError: There is no such folder, or it cannot be opened.
    """
    start = perf_counter()
    inside = _listed(folder)
    with TemporaryDirectory(prefix="archgen-") as shelf, quiet():
        look = partial(_look, folder=folder, shelf=Path(shelf), memory=Budget(decode.MEMORY_BYTES))
        same = _equal_files(folder, inside.pictures, progress)
        seen = list(progress.track(run(look, list(same), workers), len(same), say("Reading pictures")))
        found = [(file, one) for first, one in zip(same, seen, strict=True) for file in same[first]]
        items = [replace(one, key=_written(file)) for file, one in found if isinstance(one, ComparedPicture)]
        read = perf_counter()
        with progress.counter(say("Comparing pictures")) as count:
            watch = _Watch(count)
            pairs = find_pairs(items, progress=watch)
    notes = inside.notes + [Note(_written(file), one) for file, one in found if isinstance(one, str)]
    return FolderDoubles(
        read=len(inside.pictures),
        pictures=len(items),
        pairs=tuple(pairs),
        notes=tuple(sorted(notes, key=lambda note: note.file)),
        links=inside.links,
        looked_at=watch.total,
        read_s=read - start,
        compared_s=perf_counter() - read,
    )


class _Watch:
    """Passes progress on, and keeps of how much there was."""

    def __init__(self, count: Callable[[int, int], None]) -> None:
        self._count = count
        self.total = 0

    def __call__(self, done: int, total: int) -> None:
        self.total = total
        self._count(done, total)


@dataclass(slots=True)
class _Listed:
    """What lies in a folder and below it."""

    pictures: list[str] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    links: int = 0


def _listed(folder: Path) -> _Listed:
    """List the pictures in a folder and below it; hidden ones and links are left alone."""
    if not folder.is_dir():
        if folder.exists():
            raise InputError(
                say(
                    "{folder} is a file. Name the folder that holds it: --images {parent}",
                    folder=folder,
                    parent=folder.parent,
                )
            )
        raise InputError(say("There is no folder {folder}. Name one that holds pictures.", folder=folder))
    inside = _Listed()

    def unopened(error: OSError) -> None:
        reason = disk_reason(error)
        if Path(error.filename) == folder:
            raise InputError(
                say("The folder {folder} cannot be opened ({reason}).", folder=folder, reason=reason)
            ) from error
        name = Path(error.filename).relative_to(folder).as_posix()
        inside.notes.append(Note(_written(f"{name}/"), say("The folder cannot be opened ({reason}).", reason=reason)))

    for here, folders, names in os.walk(folder, onerror=unopened):
        folders[:] = [name for name in folders if not name.startswith(".")]
        inside.links += sum(Path(here, name).is_symlink() for name in folders)
        for name in names:
            path = Path(here, name)
            if not name.startswith(".") and path.suffix.lower() in decode.SUFFIXES:
                _sort_in(path, path.relative_to(folder).as_posix(), inside)
    inside.pictures.sort()
    return inside


def _sort_in(path: Path, name: str, inside: _Listed) -> None:
    try:
        mode = path.lstat().st_mode
    except OSError:  # told when it is looked at
        mode = stat.S_IFREG
    if stat.S_ISLNK(mode):
        inside.links += 1
    elif stat.S_ISREG(mode):
        inside.pictures.append(name)
    else:  # reading from a pipe or a device would wait for ever
        inside.notes.append(Note(_written(name), say("This isn't an ordinary file, so it was not opened.")))


def _equal_files(folder: Path, files: Sequence[str], progress: ProgressReporter) -> dict[str, list[str]]:
    """Sort files with the same bytes together, under the first of them: each is decoded once."""
    by_size: dict[int, list[str]] = defaultdict(list)
    for file in files:
        by_size[_size(folder / file)].append(file)
    alike = [file for same in by_size.values() if len(same) > 1 for file in same]
    digests = {file: _digest(folder / file) for file in progress.track(alike, len(alike), say("Looking for copies"))}
    by_content: dict[str, list[str]] = defaultdict(list)
    for file in files:
        by_content[digests.get(file, file)].append(file)
    return {same[0]: same for same in by_content.values()}


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except OSError:  # told when it is looked at
        return -1


def _digest(path: Path) -> str:
    try:
        return digest_file(path)
    except OSError:  # told when it is looked at
        return os.fspath(path)


def _look(file: str, folder: Path, shelf: Path, memory: Budget) -> ComparedPicture | str:
    """Describe a picture, or say why it cannot be compared."""
    try:
        description, taken = describe_picture(folder / file, DESCRIBE, memory)
        kept = shelf / digest_bytes(os.fsencode(file))
        kept.write_bytes(description)
        made = item(file, kept, taken)
    except decode.UnusableError as trouble:
        return trouble.problem
    except OSError as error:
        return say("The file cannot be read ({reason}).", reason=disk_reason(error))
    return made if made.prepared.views else _why_empty(made.prepared)


def _why_empty(prepared: Prepared) -> str:
    """Say why there is nothing to compare in a picture."""
    short, long = sorted((prepared.width, prepared.height))
    if long > MAX_ASPECT * short:
        return say(
            "The picture is a strip, more than {most:g} times as long as it is wide; it cannot be compared.",
            most=MAX_ASPECT,
        )
    return say("The picture is blank or of one colour, so there is nothing in it to compare.")


def _written(file: str) -> str:
    """Write a name that the disk holds in another encoding so that it can be printed."""
    return file.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
