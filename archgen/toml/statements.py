"""Find where each statement of a TOML text stands, to the character, also in a text of which some lines are no TOML.

A statement is a header or a key with its value, with the whole of its lines. A line that cannot be read is a
statement too, without a path; below a header that cannot be read no key has one, since nobody knows whose it is.
"""

import re
import tomllib
from collections.abc import Iterator, Sequence
from typing import Any

from archgen.languages.house import say
from archgen.values.frozen import Value

Way = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_KEY_PART = re.compile(r"""[ \t]*(?:([A-Za-z0-9_-]+)|("(?:[^"\\\n]|\\.)*")|'([^'\n]*)')[ \t]*(\.?)""")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}(?!")|' + r"'''.*?'{3,5}(?!')|" + r""""(?!"")(?:[^"\\\n]|\\.)*"|'(?!'')[^'\n]*'""",
    re.DOTALL,
)
_BARE = re.compile(r"""[^\s,\[\]{}#"'=]+(?:[ ](?=\d\d:)[^\s,\[\]{}#"'=]+)?""")
_REST_OF_LINE = re.compile(r"[ \t]*(?:#[^\n]*)?\r?(?:\n|\Z)")
_HEADER = re.compile(r"\[\[?")
_ERROR_LINE = re.compile(r"\(at line (\d+), column \d+\)$")
_DEEPEST = 40


class Statement(Value, frozen=True):
    """One statement, from the start of its first line to behind the end of its last.

    Attributes:
        path: The whole way to the key or table, tables of an array numbered from 0; None: nobody can tell.
        value: From where to where the value stands; None for a header and for a line that cannot be read.
        is_header: Whether it opens a table.
        table: The way to the table it stands in; for a header its own.
    """

    start: int
    end: int
    path: Way | None
    value: tuple[int, int] | None
    is_header: bool
    table: Way | None


class Statements(Value, frozen=True):
    """The statements of a text in order, and what the readable ones say."""

    text: str
    found: tuple[Statement, ...]
    values: dict[str, Any]

    def unreadable(self) -> tuple[str, ...]:
        """Give the lines nobody can read, as they stand."""
        return tuple(self.text[one.start : one.end] for one in self.found if one.path is None)

    def line(self, statement: Statement) -> int:
        """Give the number of a statement's first line, from 1."""
        return self.text.count("\n", 0, statement.start) + 1


def read_statements(text: str) -> Statements:
    """Read every statement; what is no TOML, or stands there twice, is left without a path.

    Raises:
        ValueError: Nothing can be read, such as brackets in brackets without end.
    """
    broken: set[int] = set()
    while True:
        found = tuple(_scan(text, broken))
        try:
            return Statements(text, found, tomllib.loads(_without_unreadable(text, found)))
        except tomllib.TOMLDecodeError as error:
            where = _start_of_error(text, str(error), found)
            if where is None or where in broken:
                raise
            broken.add(where)
        except RecursionError as error:
            raise ValueError(say("nested too deeply")) from error


def key_path(text: str, start: int) -> tuple[tuple[str, ...], int]:
    """Read a key with its dots; gives its steps and where it ends, no steps when there is no key."""
    steps: list[str] = []
    position = start
    while match := _KEY_PART.match(text, position):
        bare, double, single, dot = match.groups()
        steps.append(bare or (single if double is None else tomllib.loads(f"k = {double}")["k"]))
        position = match.end()
        if not dot:
            return tuple(steps), position
    return (), start


def value_end(text: str, start: int, depth: int = 0) -> int | None:
    """Give where a value ends that begins at start; None when it is none."""
    if depth > _DEEPEST:
        return None
    opening = text[start : start + 1]
    if opening == "[":
        items = list_items(text, start, depth)
        return items[1] if items else None
    if opening == "{":
        pairs = table_pairs(text, start, depth)
        return pairs[1] if pairs else None
    match = (_STRING if opening in ("'", '"') else _BARE).match(text, start)
    return match.end() if match else None


def list_items(text: str, start: int, depth: int = 0) -> tuple[list[tuple[int, int]], int] | None:
    """Give where the values of a list stand, and where the list ends; None when it does not end."""
    items: list[tuple[int, int]] = []
    position = skip_blank(text, start + 1)
    while text[position : position + 1] != "]":
        end = value_end(text, position, depth + 1)
        if end is None:
            return None
        items.append((position, end))
        position = skip_blank(text, end)
        if text[position : position + 1] == ",":
            position = skip_blank(text, position + 1)
        elif text[position : position + 1] != "]":
            return None
    return items, position + 1


class InlinePair(Value, frozen=True):
    """A key and its value between the braces of a table in one line."""

    steps: tuple[str, ...]
    start: int
    value: tuple[int, int]


def table_pairs(text: str, start: int, depth: int = 0) -> tuple[list[InlinePair], int] | None:
    """Give what stands between braces, and where they close; None when they do not."""
    pairs: list[InlinePair] = []
    position = skip_blank(text, start + 1)
    while text[position : position + 1] != "}":
        steps, end = key_path(text, position)
        if not steps or text[end : end + 1] != "=":
            return None
        begin = skip_blank(text, end + 1)
        stop = value_end(text, begin, depth + 1)
        if stop is None:
            return None
        pairs.append(InlinePair(steps, position, (begin, stop)))
        position = skip_blank(text, stop)
        if text[position : position + 1] == ",":
            position = skip_blank(text, position + 1)
        elif text[position : position + 1] != "}":
            return None
    return pairs, position + 1


def skip_blank(text: str, start: int) -> int:
    """Step over white space, line ends and remarks."""
    match = _BLANK.match(text, start)
    return match.end() if match else start


def _scan(text: str, broken: set[int]) -> Iterator[Statement]:
    position = 0
    table: Way | None = ()
    counts: dict[Way, int] = {}
    while position < len(text):
        end = _line_end(text, position)
        line = text[position:end].strip()
        if not line or line.startswith("#"):
            position = end
            continue
        if line.startswith("["):
            statement = _header(text, position, counts, is_broken=position in broken)
            table = statement.table
        else:
            statement = _pair(text, position, table, is_broken=position in broken)
        yield statement
        position = statement.end


def _line_end(text: str, start: int) -> int:
    found = text.find("\n", start)
    return len(text) if found < 0 else found + 1


def _unreadable(text: str, start: int, table: Way | None, *, is_header: bool = False) -> Statement:
    return Statement(start, _line_end(text, start), None, None, is_header, table)


def _header(text: str, start: int, counts: dict[Way, int], *, is_broken: bool) -> Statement:
    first = start + len(text[start : _line_end(text, start)]) - len(text[start : _line_end(text, start)].lstrip())
    opening = _HEADER.match(text, first)
    brackets = len(opening[0]) if opening else 1
    steps, end = key_path(text, first + brackets)
    closes = text.startswith("]" * brackets, end)
    rest = _REST_OF_LINE.match(text, end + brackets)
    if is_broken or not steps or not closes or not rest:
        return _unreadable(text, start, None, is_header=True)
    path = _numbered(steps, counts, is_array=brackets == 2)
    return Statement(start, rest.end(), path, None, is_header=True, table=path)


def _numbered(steps: Sequence[str], counts: dict[Way, int], *, is_array: bool) -> Way:
    path: Way = ()
    for step in steps[:-1]:
        path = (*path, step)
        if path in counts:
            path = (*path, counts[path])
    path = (*path, steps[-1])
    if is_array:
        counts[path] = counts.get(path, -1) + 1
        path = (*path, counts[path])
        for inner in [one for one in counts if len(one) > len(path) and one[: len(path)] == path]:
            del counts[inner]
    return path


def _pair(text: str, start: int, table: Way | None, *, is_broken: bool) -> Statement:
    steps, end = key_path(text, start)
    if is_broken or table is None or not steps or text[end : end + 1] != "=":
        return _unreadable(text, start, table)
    begin = end + 1
    while text[begin : begin + 1] in (" ", "\t"):
        begin += 1
    stop = value_end(text, begin)
    rest = _REST_OF_LINE.match(text, stop) if stop is not None else None
    if stop is None or rest is None or not _is_value(text[begin:stop]):
        return _unreadable(text, start, table)
    return Statement(start, rest.end(), (*table, *steps), (begin, stop), is_header=False, table=table)


def _is_value(text: str) -> bool:
    try:
        tomllib.loads(f"k = {text}")
    except (ValueError, RecursionError):
        return False
    return True


def _without_unreadable(text: str, found: Sequence[Statement]) -> str:
    """Leave empty lines where nothing can be read, so that the numbers of the others stay."""
    pieces, position = [], 0
    for one in found:
        if one.path is None:
            pieces += [text[position : one.start], "\n" * text.count("\n", one.start, one.end)]
            position = one.end
    return "".join([*pieces, text[position:]])


def _start_of_error(text: str, message: str, found: Sequence[Statement]) -> int | None:
    match = _ERROR_LINE.search(message)
    line = int(match[1]) if match else text.count("\n") + 1
    for one in reversed(found):
        if one.path is not None and text.count("\n", 0, one.start) + 1 <= line:
            return one.start
    return None
