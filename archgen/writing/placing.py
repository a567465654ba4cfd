"""Move the files of a change into their places and out of them again; every step may be done twice."""

import errno
import os
import shutil
from collections.abc import Iterator
from hashlib import file_digest, sha256
from pathlib import Path, PurePosixPath

from archgen.languages.house import say
from archgen.storage.files import copy_durably, digest_file, write_durably
from archgen.storage.plain_files import remove_any
from archgen.writing.change import Change, EditedFile, GoneFile
from archgen.writing.journal import JournalEntry, JournalFile, PastChange

# In the folder of a change that was taken back: what went.
_TAKEN = "taken"


class StaleError(Exception):
    """A file is not what it was when it was read; the message says which."""


def holds(path: Path, content: bytes | None) -> bool:
    """Say whether a file holds exactly these bytes; None: that there is none."""
    try:
        return path.read_bytes() == content
    except FileNotFoundError:
        return content is None


def make_ready(root: Path, begun: PastChange, change: Change) -> None:
    """Make every file under a hidden name and compare it with what it must hold.

    Raises:
        StaleError: A picture changed while it was copied.
        OSError: The disk does not let it.
    """
    entry = begun.entry
    for folder in entry.made:
        (root / folder).mkdir(exist_ok=True)
    for one in change.files:
        if isinstance(one, GoneFile):
            continue
        ready = _ready(root, entry, one.path)
        ready.parent.mkdir(parents=entry.new_folder is not None, exist_ok=True)
        if isinstance(one, EditedFile):
            write_durably(ready, one.after)
            if one.before is not None:
                shutil.copymode(root / one.path, ready)
        elif one.content is not None:
            write_durably(ready, one.content)
        else:
            copy_durably(one.source or Path(one.path), ready)
            if digest_file(ready) != one.digest:
                raise StaleError(say("{file} changed while it was copied.", file=one.source))


def put_in_place(root: Path, begun: PastChange) -> None:
    """Give every file its name, new ones before edited ones; then what goes leaves.

    Raises:
        StaleError: A place was taken or a file changed since it was looked at.
        OSError: The disk does not let it.
    """
    entry = begun.entry
    if entry.new_folder is not None:
        if (root / entry.new_folder).exists():
            raise StaleError(say("{folder} was made by somebody else just now.", folder=entry.new_folder))
        ready = _ready_folder(root, entry)
        ready.rename(root / entry.new_folder)
        ready.touch()
    for file in entry.files:
        if not _is_of_new_folder(entry, file):
            _name(_ready(root, entry, file.path), (root / file.path).resolve(), file)
    clear_ready(root, begun)


def clear_ready(root: Path, begun: PastChange) -> None:
    """Take away the hidden names, which tell until then which files in place are those of the change.

    Raises:
        OSError: The disk does not let it.
    """
    entry = begun.entry
    if entry.new_folder is not None:
        remove_any(_ready_folder(root, entry))
    for file in entry.files:
        if not _is_of_new_folder(entry, file):
            _ready(root, entry, file.path).unlink(missing_ok=True)


def is_in_place(root: Path, begun: PastChange) -> bool:
    """Say whether every file of a change stands in its place."""
    return all(digest_of(root / file.path) == file.after for file in begun.entry.files)


def roll_back(root: Path, begun: PastChange) -> list[str]:
    """Take away what stands in its place already, and all that was made ready; says what had to stay.

    What somebody else put there stays, though it has the same bytes: it may be all there is of them.

    Raises:
        OSError: The disk does not let it.
    """
    stayed = list(_unmake(root, begun, None))
    clear_ready(root, begun)
    _remove_made(root, begun.entry)
    return stayed


def take_away(root: Path, taking: PastChange) -> None:
    """Put back every version before and move new files into the folder of the change.

    Raises:
        OSError: The disk does not let it.
    """
    list(_unmake(root, taking, taking.folder / _TAKEN))
    if taking.entry.new_folder is not None:
        shutil.rmtree(_ready_folder(root, taking.entry), ignore_errors=True)
    _remove_made(root, taking.entry)


def why_not_taken_back(root: Path, past: PastChange) -> str | None:
    """Say in a sentence why a change cannot be taken back: a file was changed, went or came since."""
    entry = past.entry
    for file in entry.files:
        digest = digest_of(root / file.path)
        if digest == file.after:
            continue
        if digest is None:
            return say("{file} is gone.", file=file.path)
        if file.after is None:
            return say("{file} is there again.", file=file.path)
        return say("{file} was changed since.", file=file.path)
    came = next(_strangers(root, entry), None)
    return say("{file} came since.", file=came) if came else None


def _unmake(root: Path, past: PastChange, into: Path | None) -> Iterator[str]:
    """Undo what stands in its place: edited files first; new ones are moved into a folder, without one thrown away."""
    entry = past.entry
    for file in reversed(entry.files):
        path = root / file.path
        if _is_of_new_folder(entry, file) or digest_of(path) != file.after or file.after == file.before:
            if not _is_of_new_folder(entry, file) and digest_of(path) not in (file.before, file.after):
                yield say("{file} was changed in between and stays as it is.", file=file.path)
        elif file.kept is not None:
            _put_back(past.folder / file.kept, path.resolve(), entry.token)
        elif into is None and _is_ours(path, _ready(root, entry, file.path)):
            path.unlink()
        elif into is None:
            yield say("{folder} was made by somebody else and stays as it is.", folder=file.path)
        else:
            _move(path, into / file.path, path.with_name(_hidden(path.name, entry.token)))
    folder = root / (entry.new_folder or "")
    if entry.new_folder is None or not folder.is_dir():
        return
    if into is not None:
        _move(folder, into / entry.new_folder, _ready_folder(root, entry))
    elif not _ready_folder(root, entry).is_file() or any(_strangers(root, entry)):
        yield say("{folder} was made by somebody else and stays as it is.", folder=entry.new_folder)
    else:
        _ready_folder(root, entry).unlink()
        folder.rename(_ready_folder(root, entry))


def _is_ours(path: Path, ready: Path) -> bool:
    """Say whether a file got its name from us: its hidden name leads to the same file, or is what `_name` left."""
    return ready.exists() and (path.samefile(ready) or not ready.stat().st_size)


def _strangers(root: Path, entry: JournalEntry) -> Iterator[str]:
    """Give the files of the new folder that are not those of the change."""
    if entry.new_folder is not None:
        ours = {file.path: file.after for file in entry.files}
        for path in sorted((root / entry.new_folder).rglob("*")):
            name = path.relative_to(root).as_posix()
            if not path.is_dir() and (name not in ours or digest_of(path) != ours[name]):
                yield name


def _put_back(kept: Path, path: Path, token: str) -> None:
    ready = path.with_name(_hidden(path.name, token))
    ready.unlink(missing_ok=True)
    if path.exists():
        write_durably(ready, kept.read_bytes())
        shutil.copymode(path, ready)
    else:  # it went
        path.parent.mkdir(parents=True, exist_ok=True)
        copy_durably(kept, ready)
        shutil.copymode(kept, ready)
    ready.replace(path)


def _name(ready: Path, path: Path, file: JournalFile) -> None:
    """Give a file its name, over what it replaces and over nothing else; of a new one the hidden name stays."""
    if digest_of(path) != file.before:
        raise StaleError(say("{file} was changed by somebody else just now.", file=file.path))
    if file.after is None:
        path.unlink()
        return
    if file.before is not None:
        ready.replace(path)
        return
    try:
        os.link(ready, path)  # unlike a rename, never takes the place of another file
    except FileExistsError as error:
        raise StaleError(say("{file} was made by somebody else just now.", file=file.path)) from error
    except OSError:  # a disk without such links
        ready.rename(path)
        ready.touch()


def _move(path: Path, target: Path, hidden: Path) -> None:
    """Move a file or folder, to another disk too; there it is copied whole before it leaves its place in one step."""
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        path.rename(target)
        return
    except OSError as error:
        if error.errno != errno.EXDEV:
            raise
    if path.is_dir():
        shutil.copytree(path, target, dirs_exist_ok=True)
        path.rename(hidden)
        shutil.rmtree(hidden)
    else:
        shutil.copy2(path, target)
        path.unlink()


def _remove_made(root: Path, entry: JournalEntry) -> None:
    for folder in reversed(entry.made):
        try:
            (root / folder).rmdir()
        except OSError:  # something else lies in it
            continue


def digest_of(path: Path) -> str | None:
    """Give the SHA-256 of a file; None when there is none, empty for anything else of that name."""
    try:
        with path.open("rb") as stream:
            return file_digest(stream, "sha256").hexdigest() if path.is_file() else ""
    except (FileNotFoundError, NotADirectoryError):
        return None
    except IsADirectoryError:
        return ""


def _is_of_new_folder(entry: JournalEntry, file: JournalFile) -> bool:
    return entry.new_folder is not None and file.path.startswith(f"{entry.new_folder}/")


def _hidden(name: str, token: str) -> str:
    return f".{sha256(name.encode()).hexdigest()[:12]}.{token}.part"


def _ready_folder(root: Path, entry: JournalEntry) -> Path:
    folder = PurePosixPath(entry.new_folder or "")
    return root / folder.with_name(_hidden(folder.name, entry.token))


def _ready(root: Path, entry: JournalEntry, path: str) -> Path:
    """Give the hidden name a file has on its way."""
    if entry.new_folder is not None and path.startswith(f"{entry.new_folder}/"):
        return _ready_folder(root, entry) / PurePosixPath(path).relative_to(entry.new_folder)
    place = (root / path).resolve()
    return place.with_name(_hidden(place.name, entry.token))
