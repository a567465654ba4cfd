"""The archive's own script for finding, run outside a browser: one ranking for the pages and for the terminal.

The engine is QuickJS-NG through the package quickjs-ng (both MIT licence).
"""

import datetime as dt
import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import quickjs

from archgen.languages.house import house
from archgen.render.script_words import script_words
from archgen.values.frozen import Value

_CALL = """
var search = new ArchiveSearch(JSON.parse(INDEX), JSON.parse(PHRASES));
function ask(question, today, most) {
  var result = search.answer(question, today);
  if (!result) { return JSON.stringify({ said: "", corrections: [], failed: [], total: 0, answers: [] }); }
  return JSON.stringify({
    said: result.said, corrections: result.corrections, failed: result.failed, total: result.ranked.length,
    answers: search.best(result, most).map(function (one) {
      return {
        number: one[0], kind: search.kindOf(one[0]), name: search.nameOf(one[0]), href: search.hrefOf(one[0]),
        lines: search.linesShown(result, JSON.parse(linesOf(one[0])))
      };
    })
  });
}
"""


class FoundAnswer(Value, frozen=True):
    """One answer.

    Attributes:
        number: Its number in the index.
        kind, name, href: What it is, how it is called, its page.
        lines: Heading and the parts of the text, each with whether it matched.
    """

    number: int
    kind: str
    name: str
    href: str
    lines: tuple[tuple[str, tuple[tuple[str, bool], ...]], ...]


class FoundAnswers(Value, frozen=True):
    """The best answers to a question.

    Attributes:
        said: What was read otherwise than typed, or left out, and why; empty when nothing was.
        corrections: Pairs of what was typed and what it was read as.
        failed: Words that are in nothing that was found.
        total: How many answers there are.
    """

    said: str
    corrections: tuple[tuple[str, str], ...]
    failed: tuple[str, ...]
    total: int
    answers: tuple[FoundAnswer, ...]


class Searcher:
    """An index ready to be asked."""

    def __init__(
        self,
        script: str,
        index: Mapping[str, Any],
        phrases: Mapping[str, Sequence[str]],
        lines_of: Callable[[int], Sequence[Any]],
    ) -> None:
        """Load an index.

        Args:
            script: The text of ``search.js``.
            index: As `archgen.searching.index.index_value` makes it.
            phrases: As `archgen.searching.phrases.phrases` gives them.
            lines_of: Gives an answer's lines by its number, as `archgen.searching.index.line_values` writes them.
        """
        self._context = quickjs.Context()
        self._context.set("INDEX", json.dumps(index))
        self._context.set("PHRASES", json.dumps(phrases))
        self._context.add_callable("linesOf", lambda number: json.dumps(lines_of(int(number))))
        self._context.set("ARCHIVE_SAID", script_words([script], house()))
        self._context.eval(script)
        self._context.eval(_CALL)

    def ask(self, question: str, today: dt.date, most: int) -> FoundAnswers:
        """Find the best answers, at most so many; "last year" is reckoned from today."""
        whole = question.encode("utf-16", "surrogatepass").decode("utf-16", "replace")  # halves of characters are none
        told = json.loads(self._context.get("ask")(whole, int(f"{today:%Y%m%d}"), most))
        answers = (FoundAnswer(**{**one, "lines": _lines(one["lines"])}) for one in told["answers"])
        corrections = tuple((typed, read) for typed, read in told["corrections"])
        return FoundAnswers(told["said"], corrections, tuple(told["failed"]), told["total"], tuple(answers))


def _lines(told: Sequence[Any]) -> tuple[tuple[str, tuple[tuple[str, bool], ...]], ...]:
    return tuple((heading, tuple((text, matched) for text, matched in cut)) for heading, cut in told)
