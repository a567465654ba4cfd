"""Whether every file of an archive is still what it was: a list of digests, and what differs from it.

The list is that of `sha256sum` (GNU coreutils), so it can be checked without this program: `sha256sum --check`.
"""

import os
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from archgen.errors import InputError, disk_reason
from archgen.languages.house import say
from archgen.progress import ProgressReporter
from archgen.storage.build_folder import MARKER
from archgen.storage.files import digest_file
from archgen.storage.jobs import run
from archgen.values.frozen import Value

_DIGITS = frozenset("0123456789abcdef")


class Seal(Value, frozen=True):
    """The digest of every file, by its path with slashes; `unread` are those that could not be read."""

    files: dict[str, str]
    unread: tuple[str, ...] = ()


class SealDifference(Value, frozen=True):
    """What is not as it was sealed, in the order of paths.

    Attributes:
        moved: Files that stand elsewhere now: from where, to where.
        unread: Files that cannot be read now.
        same: How many files are as they were.
    """

    changed: tuple[str, ...]
    missing: tuple[str, ...]
    new: tuple[str, ...]
    moved: tuple[tuple[str, str], ...]
    unread: tuple[str, ...]
    same: int

    @property
    def is_whole(self) -> bool:
        """Say whether every sealed file is there and as it was; new ones do no harm."""
        return not (self.changed or self.missing or self.moved or self.unread)


def files_below(root: Path) -> Iterator[str]:
    """Give every file of an archive but hidden ones and what archgen built; what links lead to is not looked at."""
    for folder, _, files in _folders_of(root):
        for name in files:
            path = folder / name
            if not name.startswith(".") and path.is_file() and not path.is_symlink():
                yield path.relative_to(root).as_posix()


def hidden_below(root: Path) -> Iterator[str]:
    """Give what is hidden in an archive, files and whole folders: they are not sealed."""
    for folder, folders, files in _folders_of(root):
        for name in (*folders, *files):
            if name.startswith("."):
                yield (folder / name).relative_to(root).as_posix()


def _folders_of(root: Path) -> Iterator[tuple[Path, list[str], list[str]]]:
    """Give every folder that is neither hidden nor built, with the names in it.

    Raises:
        InputError: One cannot be read; without what is in it no list would be whole.
    """

    def stop(error: OSError) -> None:
        said = say("{file} cannot be read ({reason}).", file=error.filename, reason=disk_reason(error))
        raise InputError(said) from error

    for folder, folders, files in os.walk(root, onerror=stop):
        if MARKER in files and Path(folder) != root:
            folders.clear()
            continue
        yield Path(folder), sorted(folders), sorted(files)
        folders[:] = sorted(name for name in folders if not name.startswith(".") and name != "__pycache__")


def make_seal(root: Path, workers: int, progress: ProgressReporter) -> Seal:
    """Read every file of an archive."""
    return digests_of(root, list(files_below(root)), workers, progress)


def digests_of(root: Path, paths: Sequence[str], workers: int, progress: ProgressReporter) -> Seal:
    """Read files, by their paths from a folder."""

    def digest(path: str) -> str | None:
        try:
            return digest_file(root / path)
        except OSError:
            return None

    found = dict(zip(paths, progress.track(run(digest, paths, workers), len(paths), "Reading files"), strict=True))
    files = {path: one for path, one in found.items() if one is not None}
    return Seal(files, tuple(path for path, one in found.items() if one is None))


def compare(sealed: Mapping[str, str], now: Seal) -> SealDifference:
    """Say what differs; a missing file whose digest stands at a new place moved there."""
    new = sorted(now.files.keys() - sealed.keys())
    missing = sorted(sealed.keys() - now.files.keys() - set(now.unread))
    by_digest: dict[str, list[str]] = {}
    for path in reversed(new):
        by_digest.setdefault(now.files[path], []).append(path)
    moved = tuple((path, by_digest[sealed[path]].pop()) for path in missing if by_digest.get(sealed[path]))
    gone, come = {one for one, _ in moved}, {one for _, one in moved}
    both = sealed.keys() & now.files.keys()
    changed = tuple(sorted(path for path in both if sealed[path] != now.files[path]))
    return SealDifference(
        changed=changed,
        missing=tuple(path for path in missing if path not in gone),
        new=tuple(path for path in new if path not in come),
        moved=moved,
        unread=tuple(sorted(set(now.unread) & sealed.keys())),
        same=len(both) - len(changed),
    )


def seal_text(seal: Seal) -> bytes:
    """Write the list; names with a backslash or a line break are written as coreutils does."""
    lines = []
    for path, digest in sorted(seal.files.items()):
        plain = path.replace("\\", "\\\\").replace("\n", "\\n").replace("\r", "\\r")
        lines.append(f"{'' if plain == path else chr(92)}{digest}  {plain}\n")
    return "".join(lines).encode("utf-8", "surrogateescape")


def read_seal(content: bytes) -> dict[str, str]:
    """Read a list that `seal_text` wrote.

    Raises:
        InputError: It is none.
    """
    files = {}
    for line in content.decode("utf-8", "surrogateescape").removesuffix("\n").split("\n"):
        is_escaped = line.startswith("\\")
        digest, between, path = line[is_escaped : is_escaped + 64], line[is_escaped + 64 : is_escaped + 66], ""
        path = line[is_escaped + 66 :]
        if len(digest) != 64 or not _DIGITS.issuperset(digest) or between != "  " or not path:
            raise InputError(say("This isn't a list of digests that `archgen seal` wrote, or it is damaged."))
        files[_unescaped(path) if is_escaped else path] = digest
    return files


def _unescaped(path: str) -> str:
    parts = (part.replace("\\n", "\n").replace("\\r", "\r") for part in path.split("\\\\"))
    return "\\".join(parts)
