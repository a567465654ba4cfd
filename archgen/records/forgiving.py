"""Read what can be read of a record whose words about release and rights are not all understood.

A value that is not understood is left out of the record and kept beside it as it was written; its problem stands, and
whoever publishes looks at it. Knows which tables are read so, not what follows from them.
"""

import re
from collections.abc import Iterable, Mapping
from typing import Any

from archgen.records.model import AsWritten
from archgen.toml.problem import Problem, says_something, shown

# Tables and keys whose values are left out one by one; elsewhere a value that is not understood refuses the record.
_FORGIVEN = frozenset({"publish", "release", "reference", "rights_override"})
_FORGIVEN_KEYS = re.compile(r"photo\.\d+\.(publish|stage)")
# Where a single text stands for a list of one.
_LISTS = {"release": ("scope",), "reference": ("allows", "made_from")}
# Words of closed sets that are read whatever their capitals and hyphens.
_WORDS = {"release": ("status",), "reference": ("likeness", "allows"), "photo": ("stage",)}
_LONGEST = 200


def tidy(raw: Mapping[str, Any]) -> dict[str, Any]:
    """Write single texts as lists and closed words plainly, where that can mean nothing else."""
    return {name: _tidy_table(name, value) for name, value in raw.items()}


def _tidy_table(name: str, value: Any) -> Any:
    if isinstance(value, list):
        return [_tidy_table(name, item) for item in value]
    if not isinstance(value, dict):
        return value
    table = dict(value)
    for key in _LISTS.get(name, ()):
        values = [table[key]] if isinstance(table.get(key), str) else table.get(key)
        if isinstance(values, list):
            table[key] = [one for one in values if not isinstance(one, str) or says_something(one)]
    for key in _WORDS.get(name, ()):
        if key in table:
            table[key] = _plain(table[key])
    return table


def _plain(value: Any) -> Any:
    if isinstance(value, list):
        return [_plain(item) for item in value]
    return re.sub(r"[\s_]+", "-", value.strip().casefold()) if isinstance(value, str) else value


def without_misread(
    raw: Mapping[str, Any], problems: Iterable[Problem]
) -> tuple[dict[str, Any], tuple[AsWritten, ...]] | None:
    """Leave out the values that problems stand against, and give them as written; None when one is not forgiven."""
    kept = dict(raw)
    written = []
    for problem in problems:
        is_unknown = problem.code == "unknown-key"
        if not (is_unknown or problem.key.split(".")[0] in _FORGIVEN or _FORGIVEN_KEYS.fullmatch(problem.key)):
            return None
        kept, value = _without(kept, _whole_list(problem.key.split(".")))
        if value is not None:
            written.append(AsWritten(key=problem.key, text=shown(value, _LONGEST)))
    return kept, tuple(written)


def _whole_list(way: list[str]) -> list[str]:
    """Cut a way short at a list of words: with one that is not understood nobody knows what the others mean."""
    words = {key for keys in _LISTS.values() for key in keys}
    return next((way[: number + 1] for number, step in enumerate(way) if step in words), way)


def _without(value: Any, way: list[str]) -> tuple[Any, Any]:
    """Give a value without what lies at the end of the way, and what lay there; entries of lists keep their number."""
    step, *rest = way
    if isinstance(value, list) and step.isdecimal():
        number = int(step)
        if not rest:
            return [*value[:number], {}, *value[number + 1 :]], value[number]
        inner, found = _without(value[number], rest)
        return [*value[:number], inner, *value[number + 1 :]], found
    if not isinstance(value, dict) or step not in value:
        return value, None
    if not rest or not isinstance(value[step], dict | list):
        return {name: item for name, item in value.items() if name != step}, value[step]
    inner, found = _without(value[step], rest)
    return {**value, step: inner}, found
