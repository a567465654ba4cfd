"""Change single keys of a TOML text and leave every other character as it is, also where some lines are no TOML.

The text before and after is read with the standard library: unless exactly what was wanted is new, and every line
that nobody can read stands as it stood, nothing is given back. Remarks are never lost: what is taken out leaves its
remarks behind. Knows TOML, not records.
"""

import copy
import datetime as dt
import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from archgen.errors import InputError
from archgen.languages.house import say
from archgen.toml.statements import Statements, Way, read_statements
from archgen.writing.inline import Splice
from archgen.writing.splices import added_table, key_removed, key_set

Value = str | bool | int | float | dt.date | list[Any] | Mapping[str, Any]

_BYTE_ORDER_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True, slots=True)
class SetKey:
    """Write a key, or give it another value; tables on the way to it are made."""

    way: Way
    value: Value


@dataclass(frozen=True, slots=True)
class RemoveKey:
    """Take out a key, a table with all that is in it, or one table of an array; nothing happens where it is not."""

    way: Way


@dataclass(frozen=True, slots=True)
class AddTable:
    """Add a table at the end of an array of tables; values of None are left out."""

    way: Way
    values: Mapping[str, Value | None]


Edit = SetKey | RemoveKey | AddTable


@dataclass(frozen=True, slots=True)
class WrittenLine:
    """A line that is new or changed, by its number from 1."""

    number: int
    text: str


@dataclass(frozen=True, slots=True)
class EditedText:
    """A file before and after, and which lines of it are new."""

    before: bytes
    after: bytes
    written: tuple[WrittenLine, ...]


def edit_bytes(content: bytes, edits: Sequence[Edit], name: str) -> EditedText:
    """Edit a file's bytes; a byte order mark and the kind of line ends stay.

    Raises:
        InputError: It is not UTF-8, or cannot be changed safely; `name` says which file in the message.
    """
    mark = _BYTE_ORDER_MARK if content.startswith(_BYTE_ORDER_MARK) else b""
    try:
        before = content[len(mark) :].decode("utf-8")
    except UnicodeDecodeError as error:
        raise InputError(
            say("{name} is not saved as UTF-8. Save it with the encoding UTF-8 in a text editor.", name=name)
        ) from error
    after = edit_text(before, edits, name)
    return EditedText(content, mark + after.encode(), written_lines(before, after))


def edit_text(text: str, edits: Sequence[Edit], name: str) -> str:
    """Carry out edits one after the other.

    Raises:
        InputError: One of them cannot be done without touching what else stands there.
    """
    for edit in edits:
        text = _edited(text, edit, name)
    return text


def written_lines(before: str, after: str) -> tuple[WrittenLine, ...]:
    """Give the lines of the text after that do not stand in the text before."""
    old, new = before.splitlines(), after.splitlines()
    steps = difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    return tuple(
        WrittenLine(number + 1, new[number])
        for kind, _, _, start, end in steps
        if kind in ("insert", "replace")
        for number in range(start, end)
        if new[number].strip()
    )


def _edited(text: str, edit: Edit, name: str) -> str:
    before = _read(text, name)
    wanted = copy.deepcopy(before.values)
    try:
        _apply(wanted, edit)
        splices = _splices(before, edit)
    except (LookupError, TypeError, AttributeError) as error:
        raise _refusal(before, edit, name) from error
    after_text = text
    for one in sorted(splices, key=lambda one: (one.start, one.end), reverse=True):
        after_text = after_text[: one.start] + one.text + after_text[one.end :]
    try:
        after = read_statements(after_text)
    except ValueError as error:
        raise _refusal(before, edit, name) from error
    untouched = [one for one in before.unreadable() if one.strip() not in {two.replaces for two in splices}]
    same = after.values == wanted or (isinstance(edit, RemoveKey) and _filled(after.values) == _filled(wanted))
    if not same or [one.strip() for one in after.unreadable()] != [one.strip() for one in untouched]:
        raise _refusal(before, edit, name)
    return after_text


def _read(text: str, name: str) -> Statements:
    try:
        return read_statements(text)
    except ValueError as error:
        raise InputError(
            say("{name} can't be read, so nothing was written into it. Look at it in a text editor.", name=name)
        ) from error


def _splices(before: Statements, edit: Edit) -> list[Splice]:
    if isinstance(edit, SetKey):
        return key_set(before, edit.way, edit.value)
    if isinstance(edit, RemoveKey):
        return key_removed(before, edit.way)
    return added_table(before, edit.way, {key: value for key, value in edit.values.items() if value is not None})


def _apply(values: Any, edit: Edit) -> None:
    """Do the same to the values as read, which says what the text must read as afterwards."""
    steps: tuple[Any, ...] = edit.way[:-1]
    last: Any = edit.way[-1]
    if isinstance(edit, RemoveKey):
        for step in steps:
            if isinstance(values, dict) and step not in values:
                return
            values = values[step]
        if not isinstance(values, dict) or last in values:
            del values[last]
        return
    for step in steps:
        if isinstance(values, dict) and step not in values:
            values[step] = {}
        values = values[step]
    if isinstance(edit, SetKey):
        values[last] = _plain(edit.value)
        return
    tables = values.setdefault(last, [])
    tables.append({key: _plain(value) for key, value in edit.values.items() if value is not None})


def _filled(value: Any) -> Any:
    """Leave out tables and lists that hold nothing: whether they stand there says nothing."""
    if isinstance(value, dict):
        return {key: inner for key, one in value.items() if (inner := _filled(one)) not in ({}, [])}
    return [_filled(one) for one in value] if isinstance(value, list) else value


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items() if one is not None}
    return [_plain(one) for one in value] if isinstance(value, list | tuple) else value


def _refusal(before: Statements, edit: Edit, name: str) -> InputError:
    way = ".".join(str(step + 1) if isinstance(step, int) else step for step in edit.way)
    broken = next((one for one in before.found if one.path is None), None)
    if broken is None:
        return InputError(
            say(
                "{name} is written in a way in which {way} must be changed by hand; nothing was written.",
                name=name,
                way=way,
            )
        )
    line = before.text[broken.start : broken.end].strip()[:60]
    return InputError(
        say(
            "{file}, line {number}, can't be read (“{line}”). Put it right first; until then {way} can't be written.",
            file=name,
            number=before.line(broken),
            line=line,
            way=way,
        )
    )
