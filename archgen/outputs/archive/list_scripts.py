"""What a long list keeps in scripts: pages opened from disk cannot fetch data, but they can load a script.

A page shows the first rows; the others lie in parts, one for each page of the list, and are loaded as one scrolls or
searches. So the page of a list weighs the same however long the list is, and a changed row makes one part new.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Generic, TypeVar

from archgen.outputs.archive.body import Figure
from archgen.outputs.archive.lists import CARDS_PER_PAGE, CHOICES_AT_ONCE, ROWS_PER_PAGE, CardList, Subject
from archgen.outputs.artifact import Artifact
from archgen.outputs.site_pages import in_pages
from archgen.render.html import Theme, script_value
from archgen.storage.files import digest_bytes
from archgen.values.frozen import Value

PART = "ARCHIVE_PART"
_CHANGING = re.compile(r"(-[0-9a-f]{10})?\.js$")

Row = TypeVar("Row")


class ScriptedList(Value, Generic[Subject], frozen=True):
    """All cards of a list page and its scripts, the first of which knows the others."""

    cards: CardList[Subject]
    scripts: tuple[Artifact, ...]


class ScriptedRows(Value, Generic[Row], frozen=True):
    """All rows of an index and its parts."""

    rows: tuple[Row, ...]
    parts: tuple[Artifact, ...]

    @property
    def part_paths(self) -> tuple[str, ...]:
        """Give the paths of the parts, in order."""
        return tuple(part.path for part in self.parts)


def by_name(scripts: Iterable[Artifact]) -> Mapping[str, Artifact]:
    """Give scripts by the part of their names that stays when their content changes."""
    return {lasting_name(script.path.removeprefix("data/")): script for script in scripts}


def lasting_name(name: str) -> str:
    """Give the part of a script's name that stays when its content changes."""
    return _CHANGING.sub("", name)


def scripted(theme: Theme, kind: str, cards: CardList[Subject], figure: Figure) -> ScriptedList[Subject]:
    """Plan the scripts of a list of cards: the one that knows the others, and its parts.

    Places are touched in the body figure as far as it has them.
    """
    parts = _parts(theme, kind, ("cards.html", "card"), cards.cards, CARDS_PER_PAGE)
    value = {
        "choices": cards.chosen_by,
        "ranks": {order.key: ranks for order, ranks in zip(cards.orders, cards.ranks, strict=True)},
        "perPage": CARDS_PER_PAGE,
        "atOnce": CHOICES_AT_ONCE,
        "parts": [part.path for part in parts],
        "sizes": [round(longest, 1) if longest else None for longest in cards.longest_mm],
        "months": cards.months,
        "box": figure.view_box,
        "places": {
            choice.key: figure.touched[choice.words]
            for group in cards.groups
            if group.key == "placement"
            for choice in (*group.choices, *group.more)
            if choice.words in figure.touched
        },
        "kind": kind.removesuffix("s"),
        "sought": {
            group.key: [(choice.number, choice.key, choice.words) for choice in group.more]
            for group in cards.groups
            if group.is_sought
        },
    }
    main = script(kind, repr(value), lambda: script_value("ARCHIVE", value))
    return ScriptedList(cards, (main, *parts))


def scripted_rows(theme: Theme, name: str, macro: str, rows: tuple[Row, ...]) -> ScriptedRows[Row]:
    """Plan the parts of an index; the macro of ``rows.html`` makes a row."""
    return ScriptedRows(rows, _parts(theme, name, ("rows.html", macro), rows, ROWS_PER_PAGE))


def _parts(theme: Theme, name: str, macro: tuple[str, str], rows: Sequence[object], most: int) -> tuple[Artifact, ...]:
    """Plan a script for each page of a list, with its rows as HTML; none where one page holds them all."""
    if len(rows) <= most:
        return ()

    def part(shown: Sequence[object], number: int) -> Artifact:
        def make() -> str:
            return script_value(PART, [theme.render_part(*macro, row, "", False) for row in shown])

        return script(f"{name}-{number}", repr((theme.digest, macro, shown)), make)

    return tuple(part(shown, turns.number) for shown, turns in in_pages(rows, most, "", ""))


def script(name: str, told: str, make: Callable[[], str]) -> Artifact:
    """Plan a script; what it is told in decides its name and whether it is made again."""
    key = digest_bytes("list script", name, told)
    return Artifact(f"data/{name}-{key[:10]}.js", make=lambda: make().encode(), key=key)
