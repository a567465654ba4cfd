"""What is to be done in an archive, all of it or nothing: new files, new versions of files, and files that go."""

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from archgen.errors import ConfigError, InputError, disk_reason
from archgen.languages.house import say
from archgen.storage.files import digest_file, is_inside
from archgen.writing.record_text import Edit, WrittenLine, edit_bytes


@dataclass(frozen=True, slots=True)
class NewFile:
    """A file that is not there yet.

    Attributes:
        path: Its place below the archive folder, with slashes.
        digest: SHA-256 of its bytes; what was copied is compared with it.
        content: Its bytes; None when they are copied from `source`, which stays where it is.
    """

    path: str
    digest: str
    content: bytes | None = None
    source: Path | None = None


@dataclass(frozen=True, slots=True)
class EditedFile:
    """A file that gets another text.

    Attributes:
        before: What it held when it was read; None when there was none. Where it holds anything else by the time of
            writing, nothing is written.
        written: The lines that are new, for showing them.
    """

    path: str
    before: bytes | None
    after: bytes
    written: tuple[WrittenLine, ...] = ()

    def place(self, root: Path) -> str:
        """Say where the new lines stand."""
        first, last = self.written[0].number, self.written[-1].number
        if first == last:
            return say("{file}, line {line}", file=root / self.path, line=first)
        return say("{file}, lines {first} to {last}", file=root / self.path, first=first, last=last)


@dataclass(frozen=True, slots=True)
class GoneFile:
    """A file that leaves the archive for the folder of the change, where it is kept until that is thrown away.

    Attributes:
        digest: SHA-256 of what it holds; where it holds anything else by then, nothing is done.
    """

    path: str
    digest: str


@dataclass(frozen=True, slots=True)
class Change:
    """One thing the artist did, such as filing a piece; it is carried out and taken back as one.

    Attributes:
        words: What was done, as a person says it: "Night moth filed, 7 pictures".
        new_folder: A folder that is not there yet and appears in one step with all new files below it.
    """

    words: str
    new: tuple[NewFile, ...] = ()
    edited: tuple[EditedFile, ...] = ()
    new_folder: str | None = None
    gone: tuple[GoneFile, ...] = ()

    @property
    def files(self) -> tuple[NewFile | EditedFile | GoneFile, ...]:
        """Give all files, new ones first, those that go last."""
        return (*self.new, *self.edited, *self.gone)


def gone_file(root: Path, path: str) -> GoneFile:
    """Give a file that is to leave the archive.

    Raises:
        InputError: It is no ordinary file of the archive folder, or cannot be read.
    """
    whole = root / path
    if whole.is_symlink() or not is_inside(whole, root) or not whole.is_file():
        raise InputError(say("{file} isn't an ordinary file of the archive. Take it away by hand.", file=whole))
    try:
        return GoneFile(path, digest_file(whole))
    except OSError as error:
        raise InputError(say("{file} can't be read ({reason}).", file=whole, reason=disk_reason(error))) from error


def new_text(path: str, text: str) -> NewFile:
    """Give a new file with this text."""
    content = text.encode()
    return NewFile(path, sha256(content).hexdigest(), content=content)


def new_copy(path: str, source: Path) -> NewFile:
    """Give a new file with the bytes of another.

    Raises:
        InputError: The other cannot be read.
    """
    try:
        return NewFile(path, digest_file(source), source=source)
    except OSError as error:
        raise InputError(say("{file} can't be read ({reason}).", file=source, reason=disk_reason(error))) from error


def edited_file(root: Path, path: str, edits: Sequence[Edit]) -> EditedFile:
    """Work out what a record or register is after edits; where there is none, it is made.

    Raises:
        ConfigError: Something else has its name, or it is a link out of the archive folder.
        InputError: It cannot be read, or cannot be changed safely.
    """
    before = read_before(root, path)
    edited = edit_bytes(before or b"", edits, path)
    return EditedFile(path, before, edited.after, edited.written)


def read_before(root: Path, path: str) -> bytes | None:
    """Read a file that is to be changed; None when there is none.

    Raises:
        ConfigError: Something else has its name, or it is a link out of the archive folder.
        InputError: It cannot be read.
    """
    whole = root / path
    if not is_inside(whole, root):
        raise ConfigError(say("{file} is a link out of the archive folder. Put the file itself there.", file=whole))
    if whole.exists() and not whole.is_file():  # reading from a pipe would wait for ever
        raise ConfigError(say("{file} isn't an ordinary file. Take it away; archgen writes a new one.", file=whole))
    try:
        return whole.read_bytes() if whole.exists() else None
    except OSError as error:
        raise InputError(say("{file} can't be read ({reason}).", file=whole, reason=disk_reason(error))) from error
