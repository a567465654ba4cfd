"""Find answers about publication that are there and say nothing: blanks, or characters that cannot be seen.

Elsewhere a blank counts as not recorded, since people copy a record and leave out what they do not know. Where a word
decides whether a piece may be shown, a blank may be a "no" that was lost on the way: it is a question, like a word that
is not understood. Knows which keys decide, not what follows from them.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from archgen.languages.house import say
from archgen.records.model import AsWritten
from archgen.toml.kinds import named
from archgen.toml.problem import Problem, says_something, shown
from archgen.toml.text import line_of

# An override's reason is not among them: without one there is no decision. Names, notes and addresses say no yes.
_DECISIVE = {
    "": ("publish", "release", "reference"),
    "photo": ("publish",),
    "release": ("status", "scope", "date", "withdrawn", "expires"),
    "reference": (
        "license", "allows", "likeness", "used", "made_from", "digital_source", "obtained", "expires",
    ),
    "rights_override": ("date",),
}  # fmt: skip
_LISTS = frozenset({"scope", "allows", "made_from"})


def blank_answers(raw: Mapping[str, Any], lines: Mapping[str, int]) -> list[tuple[Problem, AsWritten]]:
    """Give the answers of a record that say nothing, each as a problem and as it was written."""
    return [(_problem(key, lines), AsWritten(key=key, text=shown(value))) for key, value in _blanks(raw)]


def _problem(key: str, lines: Mapping[str, int]) -> Problem:
    text = say("{key} is there, but there is nothing in it.", key=named(key))
    text = f"{text[:1].upper()}{text[1:]}"
    return Problem("says-nothing", key, line_of(key, lines), text, say("Write the answer, or take the line out."))


def _blanks(raw: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    for name, keys in _DECISIVE.items():
        for way, table in _tables(raw, name):
            for key in keys:
                if key in table and _is_blank(key, table[key]):
                    yield f"{way}{key}", table[key]


def _tables(raw: Mapping[str, Any], name: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Give the tables of a name, each with the way to its keys."""
    value = raw.get(name) if name else raw
    if isinstance(value, list):
        yield from ((f"{name}.{n}.", table) for n, table in enumerate(value) if isinstance(table, dict))
    elif isinstance(value, Mapping):
        yield f"{name}." if name else "", value


def _is_blank(key: str, value: Any) -> bool:
    """Say whether a text, or one of a list of texts, says nothing; an empty list says "none"."""
    texts = value if key in _LISTS and isinstance(value, list) else [value]
    return any(isinstance(text, str) and not says_something(text) for text in texts)
