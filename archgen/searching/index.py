"""The index of an archive: every word with the answers it stands in, as a value for the script ``search.js``.

Answers are numbered: pieces, then stencils, clients, batches, each in the order of its list. A word's places are
written as the letter of a field and the numbers of the answers behind it, each as the step from the one before:
``t0,5s2`` is the title of 0 and 5 and the subject of 2.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from enum import Enum
from itertools import pairwise
from typing import Any

from archgen.languages.house import say, to_say
from archgen.searching.lines import SearchField, SearchLine
from archgen.values.frozen import Value


class AnswerKind(Enum):
    """What an answer is, in the order of their numbers."""

    PIECE = to_say("piece")
    STENCIL = to_say("stencil")
    CLIENT = to_say("client")
    BATCH = to_say("batch")


class Findable(Value, frozen=True):
    """One thing that can be found.

    Attributes:
        id: Of the piece, or the client's or batch's number.
        name: As it is called; of a stencil only what its piece's title leaves out.
        href: The page; of a stencil its place on the page of its piece.
        parent: The id of a stencil's piece.
    """

    kind: AnswerKind
    id: str
    name: str
    href: str
    parent: str | None = None


# The words that lead to an answer, a line each, by the letter of the field they stand in.
Said = Mapping[str, str]


def said_in(lines: Iterable[SearchLine]) -> Said:
    """Give the words that lead to what is told in these lines."""
    said: defaultdict[str, set[str]] = defaultdict(set)
    for line in lines:
        said[line.field.letter] |= line.words
    return {letter: "\n".join(sorted(words)) for letter, words in said.items() if words}


def index_value(answers: Iterable[tuple[Findable, Said]]) -> Mapping[str, Any]:
    """Make the index of answers that are in order."""
    places: defaultdict[str, defaultdict[str, list[int]]] = defaultdict(lambda: defaultdict(list))
    named: list[Findable] = []
    for number, (answer, said) in enumerate(answers):
        named.append(answer)
        for letter, words_said in said.items():
            found = places[letter]
            for word in words_said.split("\n"):
                found[word].append(number)
    numbers = {answer.id: number for number, answer in enumerate(named) if answer.kind is AnswerKind.PIECE}
    posts: defaultdict[str, str] = defaultdict(str)
    for letter in sorted(places):
        for word, numbered in places[letter].items():
            posts[word] += letter + ",".join(map(str, _steps(numbered)))
    # As scripts sort texts.
    words = sorted(posts, key=lambda word: word.encode("utf-16-be"))
    return {
        "fields": [(field.letter, say(field.heading), field.weight, int(field.is_inherited)) for field in SearchField],
        "counts": [sum(answer.kind is kind for answer in named) for kind in AnswerKind],
        "names": [answer.name for answer in named],
        "hrefs": [answer.href for answer in named],
        "parents": [numbers[answer.parent] for answer in named if answer.parent is not None],
        "words": "\n".join(words),
        "posts": "\n".join(posts[word] for word in words),
        "years": sorted({int(word[1:5]) for word in posts if word.startswith(":")}),
    }


def _steps(numbers: Sequence[int]) -> Iterable[int]:
    return (later - before for before, later in pairwise((0, *numbers)))


def line_values(lines: Iterable[SearchLine]) -> list[list[Any]]:
    """Write lines for the script that shows them: letter, text, words beside it, heading."""
    found: list[list[Any]] = []
    for line in lines:
        value: list[Any] = [line.field.letter, line.text, list(line.also), line.heading]
        while value and not value[-1]:
            value.pop()
        found.append(value)
    return found
