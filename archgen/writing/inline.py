"""Change what stands inside lists and inside tables in one line, comma by comma."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from archgen.toml.statements import Statement, Way, list_items, table_pairs
from archgen.writing.values import toml_key, toml_value

_REMARK = re.compile(r"#[^\n]*")


@dataclass(frozen=True, slots=True)
class Splice:
    """What to put in the place of the characters from start to end.

    Attributes:
        replaces: The line nobody can read that makes way; None for all others.
    """

    start: int
    end: int
    text: str
    replaces: str | None = None


def set_inline(text: str, span: tuple[int, int], way: Way, value: Any) -> list[Splice]:
    """Give a value to what lies at the end of a way inside a list or a table in one line.

    Raises:
        LookupError: A step on the way is not there.
    """
    found, rest = _descend(text, span, way)
    if not rest:
        return [Splice(*found, toml_value(value))]
    if isinstance(rest[0], int):
        raise LookupError(way)
    return [_pair_added(text, found, f"{'.'.join(toml_key(str(step)) for step in rest)} = {toml_value(value)}")]


def appended_inline(text: str, span: tuple[int, int], way: Way, values: Mapping[str, Any]) -> list[Splice]:
    """Add a table in one line at the end of the list at the end of a way; the list is made where there is none.

    Raises:
        LookupError: A step on the way is not there.
    """
    found, rest = _descend(text, span, way)
    if not rest:
        return [_item_added(text, found, [toml_value(values)])]
    if isinstance(rest[0], int):
        raise LookupError(way)
    return [_pair_added(text, found, f"{'.'.join(toml_key(str(step)) for step in rest)} = [{toml_value(values)}]")]


def removed_inline(text: str, span: tuple[int, int], way: Way) -> list[Splice]:
    """Take out what lies at the end of a way, with its comma; nothing where it is not there."""
    found, rest = _descend(text, span, way[:-1])
    if rest:
        return []
    last = way[-1]
    if isinstance(last, int):
        return [_item_removed(text, found, last)]
    pairs, _ = table_pairs(text, found[0]) or ([], 0)
    for number, pair in enumerate(pairs):
        if pair.steps == (last,):
            start = pairs[number - 1].value[1] if number else pair.start
            end = pair.value[1] if number or len(pairs) == 1 else pairs[1].start
            return [Splice(start, end, "")]
    return []


def list_grown(text: str, span: tuple[int, int], value: Any) -> list[Splice] | None:
    """Add to a list what is new behind its last value, so that its remarks stay; None where more than that is new."""
    if text[span[0]] != "[" or not isinstance(value, list):
        return None
    old = tomllib.loads(f"k = {text[span[0] : span[1]]}")["k"]
    if value[: len(old)] != old or len(value) == len(old):
        return None
    return [_item_added(text, span, [toml_value(one) for one in value[len(old) :]])]


def remarks_in(text: str, one: Statement) -> list[str]:
    """Give the remarks of a statement: between the values of its lists, and behind it."""
    if one.value is None:
        closing = text.find("]", one.start, one.end)
        while (follows := text.find("]", closing + 1, one.end)) >= 0 and "#" not in text[closing:follows]:
            closing = follows
        return [match[0].rstrip() for match in _REMARK.finditer(text, closing, one.end)]
    start, end = one.value
    return [*_remarks_in_list(text, start), *(match[0].rstrip() for match in _REMARK.finditer(text, end, one.end))]


def _remarks_in_list(text: str, start: int) -> list[str]:
    found = list_items(text, start) if text[start] == "[" else None
    if found is None:
        return []
    items, end = found
    remarks: list[str] = []
    position = start + 1
    for begin, stop in [*items, (end, end)]:
        remarks += [match[0].rstrip() for match in _REMARK.finditer(text, position, begin)]
        if begin < end:
            remarks += _remarks_in_list(text, begin)
        position = stop
    return remarks


def _descend(text: str, span: tuple[int, int], way: Way) -> tuple[tuple[int, int], Way]:
    """Follow a way as far as it is there; gives where one is, and the steps that are left."""
    while way:
        step = way[0]
        if text[span[0]] == "[":
            items, _ = list_items(text, span[0]) or ([], 0)
            if not isinstance(step, int) or step >= len(items):
                raise LookupError(way)
            span, way = items[step], way[1:]
        elif text[span[0]] == "{":
            pairs, _ = table_pairs(text, span[0]) or ([], 0)
            inner = next((pair for pair in pairs if way[: len(pair.steps)] == pair.steps), None)
            if inner is None:
                return span, way
            span, way = inner.value, way[len(inner.steps) :]
        else:
            raise LookupError(way)
    return span, way


def _pair_added(text: str, span: tuple[int, int], pair: str) -> Splice:
    if text[span[0]] != "{":
        raise LookupError(pair)
    pairs, _ = table_pairs(text, span[0]) or ([], 0)
    if pairs:
        return Splice(*(pairs[-1].value[1],) * 2, f", {pair}")
    return Splice(*span, f"{{ {pair} }}")


def _item_added(text: str, span: tuple[int, int], items: list[str]) -> Splice:
    found = list_items(text, span[0]) if text[span[0]] == "[" else None
    if found is None:
        raise LookupError(span)
    there, _ = found
    added = ", ".join(items)
    return Splice(*(there[-1][1],) * 2, f", {added}") if there else Splice(*(span[0] + 1,) * 2, added)


def _item_removed(text: str, span: tuple[int, int], number: int) -> Splice:
    items, _ = list_items(text, span[0]) or ([], 0)
    start, end = items[number]
    comma = re.compile(r"[ \t]*,[ \t]*").match(text, end)
    return Splice(start, comma.end() if comma else end, "")
