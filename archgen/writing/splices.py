"""Say which characters of a TOML text to replace so that one key or table changes and nothing else does."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from archgen.toml.statements import Statement, Statements, Way
from archgen.writing.inline import Splice, appended_inline, list_grown, remarks_in, removed_inline, set_inline
from archgen.writing.values import toml_key, toml_value

_REMARKS_THEN_BLANK = re.compile(r"((?:[ \t]*#[^\n]*(?:\n|\Z))+)(?=[ \t\r]*(?:\n|\Z))")
_REMARKS_ABOVE = re.compile(r"(?:^[ \t]*#[^\n]*\n)+\Z", re.MULTILINE)
_INDENT = re.compile(r"[ \t]*")


@dataclass(frozen=True, slots=True)
class _Column:
    """How the lines of a table are written: what stands before each, and where the equals signs stand (0: anywhere)."""

    indent: str
    width: int

    def line(self, key: str, value: Any, newline: str) -> str:
        return f"{self.indent}{key:<{self.width}} = {toml_value(value, newline)}{newline}"


def key_set(before: Statements, way: Way, value: Any) -> list[Splice]:
    """Give a key a value: in the place of its old one, else below the others of its table, else in a new table.

    Raises:
        LookupError: A table on the way is not there, or stands under a line that cannot be read.
    """
    for one in before.found:
        if one.path == way and one.value:
            return _new_value(before, one, value)
    outer = _round(before, way)
    if outer:
        return set_inline(before.text, outer[0], outer[1], value)
    table, key = way[:-1], str(way[-1])
    header = next((one for one in before.found if one.is_header and one.path == table), None)
    if header or not table:
        return _in_table(before, header, table, key, value)
    beside = [
        one
        for one in before.found
        if one.path and one.value and _within(one.path, table) and one.table is not None and len(one.table) < len(table)
    ]
    newline = _newline(before.text)
    if beside:
        last = beside[-1]
        name = ".".join(toml_key(str(step)) for step in way[len(last.table or ()) :])
        return [_below(before.text, last, _column(before.text, beside).line(name, value, newline))]
    if isinstance(table[-1], int):
        raise LookupError(table)
    return [_new_block(before, f"[{_name(table)}]", {key: value}, after=_owner(before, table))]


def added_table(before: Statements, way: Way, values: Mapping[str, Any]) -> list[Splice]:
    """Add a table at the end of an array of tables, in the manner in which the others are written.

    Raises:
        LookupError: The table it belongs to is not there.
    """
    for one in before.found:
        if one.path == way and one.value:
            return appended_inline(before.text, one.value, (), values)
    outer = _round(before, way)
    if outer:
        return appended_inline(before.text, outer[0], outer[1], values)
    others = [one for one in before.found if one.is_header and one.path and one.path[:-1] == way]
    after = others[-1].path if others and isinstance((others[-1].path or ("",))[-1], int) else _owner(before, way)
    return [_new_block(before, f"[[{_name(way)}]]", values, after=after, like=others[-1] if others else None)]


def key_removed(before: Statements, way: Way) -> list[Splice]:
    """Take a key or table out, and leave the remarks in it where they stood.

    Raises:
        LookupError: A line that cannot be read stands in the table, and nobody knows what it says.
    """
    text, newline = before.text, _newline(before.text)
    splices = []
    for one in before.found:
        if one.path is None and one.table is not None and _within(one.table, way):
            raise LookupError(way)
        if one.path is None or not _within(one.path, way):
            continue
        indent = _indent(text, one)
        left = "".join(f"{indent}{remark}{newline}" for remark in remarks_in(text, one))
        start = one.start
        if one.is_header and not left and text[:start].endswith(newline * 2):
            start -= len(newline)
        splices.append(Splice(start, one.end, left))
    outer = None if splices else _round(before, way)
    return removed_inline(text, outer[0], outer[1]) if outer else splices


def _new_value(before: Statements, one: Statement, value: Any) -> list[Splice]:
    start, end = one.value or (0, 0)
    text, newline = before.text, _newline(before.text)
    grown = list_grown(text, (start, end), value)
    if grown is not None:
        return grown
    inner = [remark for remark in remarks_in(text, one) if text.find(remark, start, end) >= 0]
    moved = "".join(f"{_indent(text, one)}{remark}{newline}" for remark in inner)
    above = [Splice(one.start, one.start, moved)] if moved else []
    return [*above, Splice(start, end, toml_value(value, newline))]


def _in_table(before: Statements, header: Statement | None, table: Way, key: str, value: Any) -> list[Splice]:
    """Write a key into a table that is there, in the place of a line of that key that nobody can read."""
    text, newline = before.text, _newline(before.text)
    pairs = [one for one in before.found if one.table == table and not one.is_header]
    readable = [one for one in pairs if one.path is not None]
    column = _column(text, readable) if readable else _Column(_indent(text, header) if header else "", 0)
    line = column.line(toml_key(key), value, newline)
    for one in pairs:
        written = text[one.start : one.end]
        if one.path is None and re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*[=:]", written):
            return [Splice(one.start, one.end, f"{column.indent}# {written.strip()}{newline}{line}", written.strip())]
    if readable:
        return [_below(text, readable[-1], line)]
    if header:
        return [_below(text, header, line)]
    first = next((one.start for one in before.found if one.is_header), None)
    if first is None:
        return [_at_end(text, line)]
    above = _REMARKS_ABOVE.search(text[:first])
    return [Splice(*(above.start() if above else first,) * 2, line + newline)]


def _new_block(
    before: Statements,
    header: str,
    values: Mapping[str, Any],
    *,
    after: Way | None,
    like: Statement | None = None,
) -> Splice:
    text, newline = before.text, _newline(before.text)
    pairs = [one for one in before.found if like and one.table == like.path and one.path and not one.is_header]
    indent = _indent(text, like) if like else "" if after is None else "  "
    column = _Column(indent, _column(text, pairs).width if pairs else 0)
    body = f"{indent}{header}{newline}" + "".join(
        column.line(toml_key(key), value, newline) for key, value in values.items()
    )
    if after is None:
        gap = newline if text.strip() and not text.endswith(newline * 2) else ""
        return _at_end(text, gap + body)
    end = max(one.end for one in before.found if one.table is not None and _within(one.table, after))
    remarks = _REMARKS_THEN_BLANK.match(text, end)
    end = remarks.end() if remarks else end
    first = "" if text[:end].endswith("\n") else newline
    follows = text[end : end + 1].strip()
    return Splice(end, end, f"{first}{newline}{body}{newline if follows else ''}")


def _owner(before: Statements, way: Way) -> Way | None:
    """Give the table of an array below whose lines a new table must stand; None: it may stand at the end.

    Raises:
        LookupError: There is no such table.
    """
    number = max((place for place, step in enumerate(way) if isinstance(step, int)), default=None)
    if number is None:
        return None
    owner = way[: number + 1]
    if not any(one.is_header and one.path == owner for one in before.found):
        raise LookupError(owner)
    return owner


def _round(before: Statements, way: Way) -> tuple[tuple[int, int], Way] | None:
    """Give the value that holds what lies at the end of a way, and the way inside it."""
    for one in before.found:
        if one.path and one.value and len(one.path) < len(way) and _within(way, one.path):
            return one.value, way[len(one.path) :]
    return None


def _within(way: Way, outer: Way) -> bool:
    return way[: len(outer)] == outer


def _name(way: Way) -> str:
    return ".".join(toml_key(step) for step in way if isinstance(step, str))


def _newline(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _indent(text: str, one: Statement) -> str:
    match = _INDENT.match(text, one.start)
    return match[0] if match else ""


def _below(text: str, one: Statement, line: str) -> Splice:
    first = "" if text[: one.end].endswith("\n") else _newline(text)
    return Splice(one.end, one.end, first + line)


def _at_end(text: str, added: str) -> Splice:
    first = "" if not text or text.endswith("\n") else _newline(text)
    return Splice(len(text), len(text), first + added)


def _column(text: str, pairs: Sequence[Statement]) -> _Column:
    """Read off how the pairs of a table are written."""
    indent = _indent(text, pairs[-1])
    columns = {text.find("=", one.start, one.value[0]) - one.start - len(indent) for one in pairs if one.value}
    same = len(columns) == 1 and len(pairs) > 1
    return _Column(indent, columns.pop() - 1 if same else 0)
