"""Add tables at the end of one of the archive's registers: everything above stays as it is, to the last comment."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import tomlkit
from tomlkit.exceptions import TOMLKitError

from archgen.errors import ConfigError, InputError, OutputError
from archgen.storage.files import digest_bytes, is_inside, write_atomically
from archgen.storage.staging import output_folder

# Where the build folder keeps the version before.
KEPT = "kept"


@dataclass(frozen=True, slots=True)
class Addition:
    """Lines to be added to a file of the archive, numbered from 1, and the whole text with them.

    Attributes:
        before: What the file held; None when there was none.
    """

    path: Path
    before: bytes | None
    first_line: int
    last_line: int
    content: bytes

    @property
    def place(self) -> str:
        """Say where the lines stand."""
        return f"{self.path}, lines {self.first_line} to {self.last_line}"

    def keep_before(self, out: Path, root: Path) -> Path | None:
        """Put the version before into the build folder and say where; None when there was none.

        Raises:
            OutputError: The build folder cannot be written.
        """
        if self.before is None:
            return None
        kept = out / KEPT / f"{self.path.stem}-{digest_bytes(self.before)[:12]}{self.path.suffix}"
        with output_folder(out, root):
            write_atomically(kept, self.before)
        return kept

    def write(self) -> None:
        """Write the file in one step.

        Raises:
            OutputError: It cannot be written, or was changed since it was read.
        """
        try:
            if _read(self.path) != self.before:
                raise OutputError(f"{self.path} was changed by somebody else just now. Run the command again.")
            write_atomically(self.path.resolve(), self.content)
        except OSError as error:
            raise OutputError(f"{self.path} cannot be written ({error.strerror}). Nothing was changed.") from error


def addition(root: Path, file: str, tables: Sequence[str]) -> Addition:
    """Work out what a register is with tables added to its end; nothing is written yet.

    Raises:
        ConfigError: What is there is no file or no TOML, so nothing can be added to it.
        InputError: It cannot be read.
    """
    path = root / file
    if not is_inside(path, root):
        raise ConfigError(f"{path} is a link out of the archive folder. Put the file itself there.")
    if path.exists() and not path.is_file():  # reading from a pipe would wait for ever
        raise ConfigError(f"{path} isn't an ordinary file. Take it away; it is written anew.")
    try:
        content = _read(path)
        before = (content or b"").decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"{path} cannot be read as text. Save it with the encoding UTF-8.") from error
    newline = "\r\n" if "\r\n" in before else "\n"
    added = "\n\n".join(tables) + "\n"
    kept = before.rstrip() + newline * 2 if before.strip() else before
    after = kept + added.replace("\n", newline)
    _check(path, before.removeprefix("\ufeff"), after.removeprefix("\ufeff"))
    return Addition(path, content, kept.count("\n") + 1, after.count("\n"), after.encode())


def _read(path: Path) -> bytes | None:
    return path.read_bytes() if path.exists() else None


def _check(path: Path, before: str, after: str) -> None:
    """Make sure that the file can be read, before and after."""
    for text, remedy in ((before, "Fix it first"), (after, "Write its tables in double brackets")):
        try:
            tomlkit.parse(text)
        except TOMLKitError as error:
            raise ConfigError(f"{path}: {error}. {remedy}; nothing was changed.") from error
