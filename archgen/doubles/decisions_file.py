"""Write down what the artist decided: lines at the end of decisions.toml, everything above stays as it is."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import tomlkit
from tomlkit.exceptions import TOMLKitError

from archgen.errors import ConfigError, InputError, OutputError
from archgen.storage.files import is_inside, write_atomically

FILE = "decisions.toml"
# Signs up to which a list stays on one line.
_LONGEST_LINE = 100


@dataclass(frozen=True, slots=True)
class Verdict:
    """One decision to be written: pictures with their digests, whether they are the same and which is kept."""

    images: tuple[str, ...]
    digests: tuple[str, ...]
    same: bool
    day: dt.date
    keep: str | None = None
    reason: str | None = None

    def lines(self) -> str:
        """Give the lines for the file."""
        table = tomlkit.table()
        table.add("images", _list(self.images))
        if self.same:
            table.add("keep", self.keep or self.images[0])
        if self.reason:
            table.add("reason", self.reason)
        table.add("date", self.day)
        if any(self.digests):
            table.add("digests", _list(self.digests))
        tables = tomlkit.aot()
        tables.append(table)
        document = tomlkit.document()
        document.add("same" if self.same else "different", tables)
        return tomlkit.dumps(document).strip()


def _list(texts: Sequence[str]) -> tomlkit.items.Array:
    array = tomlkit.array()
    array.extend(texts)
    return array.multiline(len(", ".join(texts)) > _LONGEST_LINE)


@dataclass(frozen=True, slots=True)
class Addition:
    """Lines to be added to the archive's file, numbered from 1, and the whole text with them."""

    path: Path
    first_line: int
    last_line: int
    content: bytes

    @property
    def place(self) -> str:
        """Say where the lines stand."""
        return f"{self.path}, lines {self.first_line} to {self.last_line}"

    def write(self) -> None:
        """Write the file in one step.

        Raises:
            OutputError: It cannot be written.
        """
        try:
            write_atomically(self.path.resolve(), self.content)
        except OSError as error:
            raise OutputError(f"{self.path} cannot be written ({error.strerror}). Nothing was changed.") from error


def addition(root: Path, verdicts: Sequence[Verdict]) -> Addition:
    """Work out what is added to the archive's file; nothing is written yet.

    Raises:
        ConfigError: What is there is no file or no TOML, so nothing can be added to it.
        InputError: It cannot be read.
    """
    path = root / FILE
    if not is_inside(path, root):
        raise ConfigError(f"{path} is a link out of the archive folder. Put the file itself there.")
    if path.exists() and not path.is_file():  # reading from a pipe would wait for ever
        raise ConfigError(f"{path} is no ordinary file. Take it away; it is written anew.")
    try:
        before = path.read_bytes().decode("utf-8") if path.exists() else ""
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"{path} cannot be read as text. Save it with the encoding UTF-8.") from error
    newline = "\r\n" if "\r\n" in before else "\n"
    added = "\n\n".join(verdict.lines() for verdict in verdicts) + "\n"
    kept = before.rstrip() + newline * 2 if before.strip() else before
    after = kept + added.replace("\n", newline)
    _check(path, before.removeprefix("\ufeff"), after.removeprefix("\ufeff"))
    return Addition(path, kept.count("\n") + 1, after.count("\n"), after.encode())


def _check(path: Path, before: str, after: str) -> None:
    """Make sure that the file can be read, before and after."""
    for text, remedy in ((before, "Mend it first"), (after, "Write same and different as [[same]] and [[different]]")):
        try:
            tomlkit.parse(text)
        except TOMLKitError as error:
            raise ConfigError(f"{path}: {error}. {remedy}; nothing was changed.") from error
