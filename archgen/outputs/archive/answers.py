"""Ask an archive in words outside its pages: by their own index, as it was built or made for the moment."""

import datetime as dt
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

from archgen.outputs.archive.cards import piece_list
from archgen.outputs.archive.context import Context
from archgen.outputs.archive.search import ANSWERS_PER_PART, INDEX, PHRASES, all_answers
from archgen.outputs.archive.stencils import stencil_list
from archgen.outputs.known_keys import KnownKeys
from archgen.pieces.survey import SurveyedCatalogue
from archgen.render.html import PROGRAM_THEMES
from archgen.searching.engine import FoundAnswer, Searcher
from archgen.searching.index import AnswerKind, index_value
from archgen.searching.phrases import phrases
from archgen.values.frozen import Value


class Found(Value, frozen=True):
    """One answer.

    Attributes:
        id: The piece's, or the client's or batch's number; of a stencil its version, else its file.
        piece: The id of the piece of a piece or stencil.
        facts: A line of the main facts.
        lines: The lines that show why it was found: heading, and the parts of the text with whether each matched.
        href: The page, from the folder of the archive's pages.
        to_print: The print that is asked for most, from there too; empty when there is none.
    """

    kind: AnswerKind
    id: str
    piece: str
    name: str
    facts: str
    lines: tuple[tuple[str, tuple[tuple[str, bool], ...]], ...]
    href: str
    to_print: str


class SearchResult(Value, frozen=True):
    """What was found, the best first.

    Attributes:
        said: What was read otherwise than typed, or left out, and why.
        corrections: Pairs of what was typed and what it was read as.
        failed: Words that are in nothing that was found.
        total: How many there are in all.
    """

    said: str
    corrections: tuple[tuple[str, str], ...]
    failed: tuple[str, ...]
    total: int
    found: tuple[Found, ...]


@dataclass(frozen=True)
class Index:
    """The index of an archive's pages, and what they show of each answer, by its number."""

    value: dict[str, Any]
    phrases: Mapping[str, Sequence[str]]
    shown: Callable[[int], dict[str, Any]]

    def ask(self, question: str, today: dt.date, most: int) -> SearchResult:
        """Find the best answers, at most so many; "last year" is reckoned from today."""
        told = self._searcher.ask(question, today, most)
        return SearchResult(
            told.said, told.corrections, told.failed, told.total, tuple(self._found(one) for one in told.answers)
        )

    @cached_property
    def _searcher(self) -> Searcher:
        script = (PROGRAM_THEMES / "archive" / "search.js").read_text(encoding="utf-8")
        return Searcher(script, self.value, self.phrases, lambda number: self.shown(number)["lines"])

    def _found(self, told: FoundAnswer) -> Found:
        shown = self.shown(told.number)
        return Found(
            kind=AnswerKind(told.kind),
            id=shown["id"],
            piece=shown.get("piece", ""),
            name=told.name,
            facts=shown["facts"],
            lines=told.lines,
            href=told.href,
            to_print=shown.get("print", ("",))[0],
        )


def built_index(archive: Path) -> Index | None:
    """Read the index of a folder of built pages; None where there is none that can be read."""
    try:
        value, known = _read(archive / INDEX), _read(archive / PHRASES)
    except (OSError, ValueError):
        return None
    part_of = lru_cache(maxsize=None)(lambda part: _read(archive / value["parts"][part]))
    return Index(value, known, lambda number: part_of(number // ANSWERS_PER_PART)[number % ANSWERS_PER_PART])


def _read(script: Path) -> Any:
    return json.loads(script.read_text(encoding="utf-8").partition("=")[2].rstrip().removesuffix(";"))


def make_index(catalogue: SurveyedCatalogue) -> Index:
    """Make the index of an archive that isn't built, or has changed since."""
    context = Context(catalogue, "")
    answers = all_answers(context, piece_list(context).subjects, stencil_list(context).subjects)
    kept = [(one.answer, one.kept(KnownKeys())) for one in answers]
    index = index_value([(answer, one.said) for answer, one in kept])
    return Index(dict(index), phrases(), lambda number: json.loads(kept[number][1].text))
