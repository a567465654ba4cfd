"""Add tables at the end of one of the archive's registers: everything above stays as it is, to the last comment."""

from collections.abc import Sequence
from pathlib import Path

import tomlkit
from tomlkit.exceptions import TOMLKitError

from archgen.errors import ConfigError, InputError
from archgen.languages.house import say
from archgen.writing.change import EditedFile, read_before
from archgen.writing.record_text import WrittenLine


def addition(root: Path, file: str, tables: Sequence[str]) -> EditedFile:
    """Work out what a register is with tables added to its end; nothing is written yet.

    Raises:
        ConfigError: What is there is no file or no TOML, so nothing can be added to it.
        InputError: It cannot be read.
    """
    content = read_before(root, file)
    try:
        before = (content or b"").decode("utf-8")
    except UnicodeDecodeError as error:
        raise InputError(
            say("{file} cannot be read as text. Save it with the encoding UTF-8.", file=root / file)
        ) from error
    newline = "\r\n" if "\r\n" in before else "\n"
    added = "\n\n".join(tables) + "\n"
    kept = before.rstrip() + newline * 2 if before.strip() else before
    after = kept + added.replace("\n", newline)
    _check(root / file, before.removeprefix("\ufeff"), after.removeprefix("\ufeff"))
    first = kept.count("\n") + 1
    written = tuple(WrittenLine(number, line) for number, line in enumerate(added.splitlines(), first) if line)
    return EditedFile(file, content, after.encode(), written)


def _check(path: Path, before: str, after: str) -> None:
    """Make sure that the file can be read, before and after."""
    remedies = (say("Fix it first"), say("Write its tables in double brackets"))
    for text, remedy in zip((before, after), remedies, strict=True):
        try:
            tomlkit.parse(text)
        except TOMLKitError as error:
            raise ConfigError(
                say("{file}: {error}. {remedy}; nothing was changed.", file=path, error=error, remedy=remedy)
            ) from error
