"""A parsed record while it is put right: its values by dotted key, their lines, what is asked and what was left out.

Keys move when a slip is read as the right key, or an entry goes: lines, questions and what is kept as written move
along.
"""

import copy
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from archgen.findings import Severity
from archgen.records.model import AsWritten
from archgen.toml.problem import Problem, says_something, shown

_LONGEST = 200
# Stands where an entry of a list was, until the gaps are closed.
GONE = object()


class RawRecord:
    """The values of a file as parsed, and what was found out about them."""

    def __init__(self, values: Mapping[str, Any], lines: Mapping[str, int]) -> None:
        self.kept: dict[str, Any] = copy.deepcopy(dict(values))
        self.lines = dict(lines)
        self.told: list[Problem] = []
        self.written: list[AsWritten] = []

    def tell(self, problem: Problem, *, severity: Severity | None = None) -> None:
        """Ask or tell something, with the line it belongs to."""
        line = problem.line if problem.line is not None else self._line(problem.key)
        self.told.append(replace(problem, line=line, severity=severity or problem.severity))

    def _line(self, key: str) -> int | None:
        while key and key not in self.lines:
            key = key.rpartition(".")[0]
        return self.lines.get(key)

    def at(self, key: str) -> Any:
        """Give the value at a dotted key, GONE where there is none."""
        value: Any = self.kept
        for step in key.split(".") if key else ():
            if isinstance(value, dict) and step in value:
                value = value[step]
            elif isinstance(value, list) and step.isdecimal() and int(step) < len(value):
                value = value[int(step)]
            else:
                return GONE
        return value

    def put(self, key: str, value: Any) -> None:
        """Set the value at a dotted key whose table is there."""
        parent, _, name = key.rpartition(".")
        table = self.at(parent)
        if isinstance(table, dict):
            table[name] = value
        elif isinstance(table, list):
            table[int(name)] = value

    def leave_out(self, key: str) -> None:
        """Keep a value as written and take it away; a reference keeps its number, other entries go."""
        self.keep(key, self.at(key))
        parent, _, name = key.rpartition(".")
        table = self.at(parent)
        if isinstance(table, dict):
            del table[name]
        elif isinstance(table, list):
            table[int(name)] = {} if parent == "reference" else GONE

    def keep(self, key: str, value: Any) -> None:
        """Keep a value as it was written, where it says anything."""
        if text := _as_written(_without_gone(value)):
            self.written.append(AsWritten(key=key, text=text))

    def rename(self, parent: str, name: str, right: str) -> None:
        """Give a key of a table its right name, in its place."""
        table = self.at(parent)
        # In its place, so that what stands first is read first.
        items = [(right if key == name else key, value) for key, value in table.items()]
        table.clear()
        table.update(items)
        before, after = joined(parent, name), joined(parent, right)
        self._rekey({before: after})

    def _rekey(self, changes: Mapping[str, str]) -> None:
        """Move the lines, the questions and what was kept as written to the keys of what they stand for now."""

        def moved(key: str) -> str:
            for before, after in changes.items():
                if key == before or key.startswith(f"{before}."):
                    return after + key[len(before) :]
            return key

        lines: dict[str, int] = {}
        for key, line in self.lines.items():
            lines.setdefault(moved(key), line)
        self.lines = lines
        self.told = [replace(problem, key=moved(problem.key)) for problem in self.told]
        self.written = [AsWritten(key=moved(one.key), text=one.text) for one in self.written]

    def sweep(self) -> None:
        """Close the gaps that entries have left in lists; what was asked about them belongs to the list then."""
        for path in list(_lists_in(self.kept)):
            entries = self.at(path)
            if GONE not in entries:
                continue
            changes, number = {}, 0
            for before, entry in enumerate(entries):
                changes[f"{path}.{before}"] = path if entry is GONE else f"{path}.{number}"
                number += entry is not GONE
            self.put(path, [entry for entry in entries if entry is not GONE])
            self._rekey(changes)


def _without_gone(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_gone(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_without_gone(item) for item in value if item is not GONE]
    return value


def _lists_in(value: Any, path: str = "") -> Iterable[str]:
    """Give the ways to all lists, the inner ones first."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, item in items:
        yield from _lists_in(item, joined(path, str(name)))
    if isinstance(value, list):
        yield path


def _as_written(value: Any) -> str:
    if isinstance(value, dict):
        text = ", ".join(f"{key} = {shown(item, _LONGEST)}" for key, item in value.items())
        return f"{text[: _LONGEST - 1]}…" if len(text) > _LONGEST else text
    if value is GONE or (isinstance(value, str) and not says_something(value)):
        return ""
    return shown(value, _LONGEST)


def joined(parent: str, name: str) -> str:
    """Give the dotted key of a name in a table; the file itself has none."""
    return f"{parent}.{name}" if parent else name
