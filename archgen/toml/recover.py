"""Read a text that is not TOML as far as it can be read: each line that cannot costs itself, a heading its table.

Goes through the text statement by statement, so it is slow, and is asked only when the standard library's reader has
refused the whole. What was read with a repair and what was lost are told with their lines. Knows TOML and the shape
of the file, not pieces.
"""

import re
import tomllib
from collections.abc import Iterator
from typing import Any

from archgen.findings import Severity
from archgen.languages.house import say
from archgen.toml.kinds import Many, Table, field_words
from archgen.toml.problem import Problem, as_text
from archgen.toml.repair import has_value, repair_statement
from archgen.toml.text import DEEPEST, TomlFile, UnreadableTextError, is_deeper, parse_toml, remedy_of_line
from archgen.values.frozen import Value

# A list or a text over more lines than this has lost its end.
_LONGEST_STATEMENT = 60
# A record's deepest table is a landmark of a stencil.
_DEEPEST_HEADING = 6
_HEADING = re.compile(
    r"""^\s*(\[{1,3})\s*([\w.\-\s"'“”‘’]{1,80}?)\s*(\]{0,3})\s*(?:#.*)?$|^\s*()([\w.-]{1,80})\s*(\]{1,3})\s*(?:#.*)?$"""
)
# What else begins with a bracket is a heading nobody can read, unless it is a row of a list.
_LOST_HEADING = re.compile(r"""^\s*\[(?!\s*["'\d\[{\]-])[^,]*$""")
_KEY = re.compile(r"""^\s*(?:[\w-]+(?:[.][\w-]+|[ \t]+[\w-]+){0,3}|"[^"\n]*"|'[^'\n]*')\s*[=:]""")
_OPENS_TEXT = re.compile(r'=\s*("""|' + r"''')")
_OPENS_LIST = re.compile(r"=\s*[\[{]")


class Recovered(Value, frozen=True):
    """What could be read of a text.

    Attributes:
        lines: Of each dotted key.
        problems: What was lost ("broken"), read with a repair ("read-as") or stood twice ("twice"), by line.
    """

    raw: dict[str, Any]
    lines: dict[str, int]
    problems: tuple[Problem, ...]


def parse_forgivingly(text: str, shape: Table) -> tuple[TomlFile, tuple[Problem, ...]]:
    """Read a TOML text, or what can be read of it with what is wrong."""
    try:
        return parse_toml(text), ()
    except UnreadableTextError:
        found = recover(text, shape)
        return TomlFile(found.raw, found.lines), found.problems


def recover(text: str, shape: Table) -> Recovered:
    """Read what can be read; `shape` says which tables may come several times."""
    return _Recovery(shape).read(re.sub(r"\r\n?", "\n", text).split("\n"))


class _Statement(Value, frozen=True):
    """Some lines that belong together; line counts from 1."""

    text: str
    line: int
    heading: str = ""
    is_array: bool = False
    is_whole: bool = True


class _Recovery:
    """One text on its way to tables."""

    def __init__(self, shape: Table) -> None:
        self._shape = shape
        self._raw: dict[str, Any] = {}
        self._lines: dict[str, int] = {}
        self._problems: list[Problem] = []
        # None while below a heading that cannot be read.
        self._table: dict[str, Any] | None = self._raw
        self._path = ""

    def read(self, rows: list[str]) -> Recovered:
        """Take one statement after the other."""
        for statement in _statements(rows):
            if statement.heading:
                self._open(statement)
            elif _LOST_HEADING.match(statement.text):
                self._lose_table(statement)
            else:
                self._add(statement)
        return Recovered(self._raw, self._lines, tuple(self._problems))

    # ------------------------------------------------------------ headings

    def _open(self, statement: _Statement) -> None:
        steps = [re.sub(r"\s+", "_", step.strip().strip("\"'“”‘’")) for step in statement.heading.split(".")]
        if len(steps) > _DEEPEST_HEADING or not all(steps):
            self._lose_table(statement)
            return
        table, path = self._raw, ""
        for step in steps[:-1]:
            path = _joined(path, step)
            inner = table.setdefault(step, {})
            if isinstance(inner, list) and inner and isinstance(inner[-1], dict):
                path, inner = f"{path}.{len(inner) - 1}", inner[-1]
            if not isinstance(inner, dict):
                self._lose_table(statement)
                return
            table = inner
        name, path = steps[-1], _joined(path, steps[-1])
        there = table.get(name)
        if there is not None and not _is_tables(there):
            self._lose_table(statement)
            return
        self._lines.setdefault(path, statement.line)
        kind = self._kind(path)
        is_array = isinstance(kind, Many) or (statement.is_array and not isinstance(kind, Table))
        if is_array or isinstance(there, list):
            entries = there if isinstance(there, list) else [*([there] if there else [])]
            table[name] = entries
            entries.append({})
            path = f"{path}.{len(entries) - 1}"
            self._lines.setdefault(path, statement.line)
            self._table = entries[-1]
        else:
            self._table = table.setdefault(name, {})
        self._path = path
        if not statement.is_whole:
            problem = say("“{row}” is read as the heading {name}.", row=_row(statement), name=name)
            remedy = say("Close the brackets: [size] or [[photo]].")
            self._tell("read-as", path, statement, problem, remedy, Severity.NOTE)

    def _lose_table(self, statement: _Statement) -> None:
        self._table, self._path = None, ""
        self._tell(
            "broken",
            "",
            statement,
            say("“{row}” can't be read, and what stands below it neither.", row=_row(statement)),
            say("Write it as [size] or [[photo]]."),
            Severity.ERROR,
        )

    def _kind(self, path: str) -> object:
        kind: object = self._shape
        for step in path.split("."):
            kind = kind.item if isinstance(kind, Many) else kind
            if not step.isdecimal():
                kind = kind.fields.get(step) if isinstance(kind, Table) else None
        return kind

    # ------------------------------------------------------------ lines

    def _add(self, statement: _Statement) -> None:
        if self._table is None:
            return
        found, is_repaired = _loads(statement.text), False
        if found is None:
            found, is_repaired = repair_statement(statement.text), True
        if found is None or is_deeper(found, DEEPEST - self._path.count(".")):
            self._lose(statement)
            return
        for name, value in found.items():
            key = _joined(self._path, name)
            self._lines.setdefault(key, statement.line)
            for inner in _keys_of(value, key):
                self._lines.setdefault(inner, statement.line)
            if self._set(name, value, key, statement) and is_repaired:
                problem = say(
                    "“{row}” is read as {name}: {value}.",
                    row=_row(statement),
                    name=field_words(name),
                    value=as_text(_written(value)),
                )
                remedy = remedy_of_line(statement.text.strip())
                self._tell("read-as", key, statement, problem, remedy, Severity.NOTE)

    def _set(self, name: str, value: Any, key: str, statement: _Statement) -> bool:
        """Set a key; what stood there first stays, and whether it is this one is given."""
        assert self._table is not None  # noqa: S101 (asked by the caller)
        there = self._table.get(name)
        if name not in self._table:
            self._table[name] = value
            return True
        if isinstance(there, dict) and isinstance(value, dict) and not there.keys() & value.keys():
            there |= value
            return True
        if there == value:
            self._tell(
                "twice",
                key,
                statement,
                say("“{row}” says {name} again.", row=_row(statement), name=field_words(name)),
                say("Delete one of the two."),
                Severity.NOTE,
            )
        else:
            problem = say("“{row}” says {name} again; the first counts.", row=_row(statement), name=field_words(name))
            self._tell("twice", key, statement, problem, say("Which of the two is right? Keep that one."))
        return False

    def _lose(self, statement: _Statement) -> None:
        key = ""
        if match := re.match(r"\s*([\w-]+)", statement.text):
            key = _joined(self._path, match[1])
        if _KEY.match(statement.text) and not has_value(statement.text):
            remedy = say("Write one behind the =, or delete the line.")
            self._tell(
                "no-value", key, statement, say("“{row}” has no value.", row=_row(statement)), remedy, Severity.NOTE
            )
            return
        remedy = remedy_of_line(statement.text.strip())
        self._tell(
            "broken",
            key or self._path,
            statement,
            say("“{row}” can't be read.", row=_row(statement)),
            remedy,
            Severity.ERROR,
        )

    def _tell(  # noqa: PLR0913, PLR0917 (what a problem is made of)
        self,
        code: str,
        key: str,
        statement: _Statement,
        problem: str,
        remedy: str,
        severity: Severity = Severity.WARNING,
    ) -> None:
        self._problems.append(Problem(code, key, statement.line, problem, remedy, severity))


def _row(statement: _Statement) -> str:
    return as_text(" ".join(statement.text.split())) or say("an empty line")


def _statements(rows: list[str]) -> Iterator[_Statement]:
    number = 0
    while number < len(rows):
        row, line = rows[number], number + 1
        number += 1
        if not row.strip() or row.lstrip().startswith("#"):
            continue
        if heading := _heading(row, line):
            yield heading
            continue
        length = _length(rows, line - 1)
        number = line - 1 + length
        yield _Statement("\n".join(rows[line - 1 : number]), line)


def _heading(row: str, line: int) -> _Statement | None:
    match = _HEADING.match(row.replace("\ufeff", ""))
    if match is None:
        return None
    opening, name, closing = (match[1], match[2], match[3]) if match[1] else ("", match[5], match[6])
    if re.search(r"""["'].*,|,""", name):
        return None  # a line of a list
    is_whole = opening == "[" * len(closing) and len(closing) in (1, 2)
    return _Statement(row, line, name, is_array="[[" in opening or "]]" in closing, is_whole=is_whole)


def _length(rows: list[str], start: int) -> int:
    """Count the lines of the statement that starts in a row: more than one in texts and lists that stay open."""
    row = rows[start]
    most = min(len(rows) - start, _LONGEST_STATEMENT)
    if not (_KEY.match(row) and (_OPENS_TEXT.search(row) or _OPENS_LIST.search(row))):
        return 1
    for length in range(1, most + 1):
        if _loads("\n".join(rows[start : start + length])) is not None:
            return length
    # It never ends: up to what begins something else.
    for length in range(1, most):
        following = rows[start + length]
        if not following.strip() or _KEY.match(following) or _heading(following, 0):
            return length
    return most


def _loads(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError):
        return None


def _is_tables(value: object) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and all(isinstance(item, dict) for item in value))


def _keys_of(value: Any, path: str) -> Iterator[str]:
    if isinstance(value, dict):
        for name, inner in value.items():
            yield _joined(path, name)
            yield from _keys_of(inner, _joined(path, name))


def _written(value: Any) -> str:
    if isinstance(value, str):
        return f'"{value}"'
    return str(value).lower() if isinstance(value, bool) else str(value)


def _joined(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name
