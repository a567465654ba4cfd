"""Take a phrase for a place apart: which parts of the body it names, where on them, on which side, and what is left.

Knows words, not places: what they mean together stands in `answers`.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import replace
from difflib import get_close_matches

from archgen.records.vocabulary.body import languages
from archgen.records.vocabulary.body.english import (
    ASPECT_WORDS,
    CLOSER_WORDS,
    DENIALS,
    FILLERS,
    PIECE,
    PLACE_WORDS,
    SIDE_WORDS,
)
from archgen.values.frozen import Value

SIDES = frozenset({"left", "right", "centre", "both"})
ASPECTS = frozenset(line.partition(":")[0] for line in ASPECT_WORDS.strip().splitlines())
# "l'avant-bras", "dell'avambraccio": the article, not the left side.
_ARTICLE = re.compile(r"\b(?:[dlns]|dell|sull|all|nell)['’](?=\w)", re.IGNORECASE)
_DIGRAPHS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa"})
# A word must be longer and more alike than this to be taken for a slip of the pen.
_LEAST_LETTERS, _LEAST_LIKENESS = 4, 0.8


class BodyWord(Value, frozen=True):
    """A notion of the lists and how it was written; is_less when it is less than its place ("chin" of the face)."""

    notion: str
    written: str
    is_less: bool = False


class BodyPhrase(Value, frozen=True):
    """What a phrase says.

    Attributes:
        parts: Parts of the body, in the order they were named.
        aspects: Where on them: "inner", "upper".
        sides: "left", "right", "centre", "both".
        closer: Words that narrow a part further than the list of places does.
        unknown: Words that mean nothing here.
        slips: Words that were taken for others, nearly spelled like them.
        is_denied: It says "not".
    """

    parts: tuple[BodyWord, ...]
    aspects: tuple[BodyWord, ...]
    sides: frozenset[str]
    closer: tuple[str, ...]
    unknown: tuple[str, ...]
    slips: tuple[str, ...]
    is_denied: bool


def plain(text: str) -> str:
    """Take capitals and accents away: "Außen" is "aussen"."""
    letters = unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", text).casefold())
    return "".join(letter for letter in letters if not unicodedata.combining(letter))


def take_apart(text: str) -> BodyPhrase:
    """Take a phrase apart, the longest names first; what is nearly spelled like a name is taken for it."""
    words = [word for word in re.findall(r"[^\W_]+", _ARTICLE.sub(" ", text)) if plain(word) not in _FILLERS]
    slips = {word: near for word in words if (near := _slip(words, word))}
    phrase = _taken([slips.get(word, word) for word in words])
    doubt = ("?",) if "?" in text or "¿" in text else ()
    return replace(phrase, slips=tuple(slips), unknown=(*phrase.unknown, *doubt))


def _slip(words: list[str], word: str) -> str | None:
    """Give the name that a word nearly spells, when it means nothing as it is."""
    return (
        None if any(_means(words, place) for place, one in enumerate(words) if one == word) else _nearest(plain(word))
    )


def _means(words: list[str], place: int) -> bool:
    """Say whether a word is a name, or stands in one of several words."""
    if not _taken([words[place]]).unknown:
        return True
    plains = [plain(word) for word in words]
    found = ((start, *_longest(plains, start)) for start in range(place + 1))
    return any(notion is not None and start + length > place for start, length, notion in found)


def _taken(written: list[str]) -> BodyPhrase:
    meant = [plain(word) for word in written]
    found: list[BodyWord] = []
    unknown, closer = [], []
    place, is_denied = 0, False
    while place < len(meant):
        length, notion = _longest(meant, place)
        text = " ".join(written[place : place + length])
        word = meant[place]
        place += length
        if notion:
            found.append(_word(notion, text))
        elif word in _DENIALS:
            is_denied = True
        elif word in _CLOSER:
            closer.append(text)
        elif compound := _compound(word):
            found += [_word(part, text) for part in compound]
        elif word != PIECE:
            unknown.append(text)
    return BodyPhrase(
        parts=tuple(word for word in found if word.notion not in ASPECTS | SIDES),
        aspects=tuple(word for word in found if word.notion in ASPECTS),
        sides=frozenset(word.notion for word in found if word.notion in SIDES),
        closer=tuple(closer),
        unknown=tuple(unknown),
        slips=(),
        is_denied=is_denied,
    )


def _word(notion: str, written: str) -> BodyWord:
    return BodyWord(notion.rstrip("~"), written, is_less=notion.endswith("~"))


def _lexicon(*lists: str) -> dict[str, str]:
    return {name: notion for text in lists for notion, names in _lines(text) for name in names}


def _lines(text: str) -> Iterator[tuple[str, list[str]]]:
    for line in text.strip().replace(",\n", ",").splitlines():
        notion, _, names = line.partition(":")
        yield notion, [name for spelled in names.split(",") for name in _spellings(spelled.strip())]


def _spellings(name: str) -> Iterable[str]:
    """Give a name without accents, and German ones with "ue" for "ü" too."""
    return {plain(name), plain(name.translate(_DIGRAPHS))}


def _set(text: str) -> frozenset[str]:
    return frozenset(plain(word) for word in re.split(r"[,\s]+", text))


_DENIALS, _CLOSER = _set(DENIALS), _set(CLOSER_WORDS)
_FILLERS = _set(FILLERS) | _set(languages.FILLERS)
_ENDED = _lexicon(languages.GERMAN, languages.SWEDISH)
_LEXICON = {
    **_lexicon(languages.PORTUGUESE, languages.ITALIAN, languages.SPANISH, languages.FRENCH),
    **_ENDED,
    **_lexicon(PLACE_WORDS, ASPECT_WORDS, SIDE_WORDS),
}
_MOST_WORDS = max(len(name.split()) for name in _LEXICON)
_LONG = sorted(name for name in _LEXICON if len(name) >= _LEAST_LETTERS)


def _longest(words: list[str], start: int) -> tuple[int, str | None]:
    """Find the longest name that begins here; one word that means nothing when there is none.

    Of a name that ends the phrase the length may reach past the end.
    """
    for length in range(_MOST_WORDS, 0, -1):
        notion = _notion(" ".join(words[start : start + length]))
        if notion:
            return length, notion
    return 1, None


def _notion(name: str) -> str | None:
    if name in _LEXICON:
        return _LEXICON[name]
    for ending in languages.ENDINGS:
        stem = name.removesuffix(ending)
        known = _LEXICON if ending == "s" else _ENDED
        if len(stem) >= _LEAST_LETTERS and stem in known:
            return known[stem]
    return None


def _compound(word: str) -> tuple[str, ...]:
    """Read a German or Swedish word made of two: "Unterarminnenseite"."""
    for cut in range(3, len(word) - 2):
        first, second = word[:cut], word[cut:]
        if first in _ENDED and second in _ENDED:
            return _ENDED[first], _ENDED[second]
    return ()


def _nearest(word: str) -> str | None:
    """Give the name a word nearly spells, of those that begin with the same letter: "chin" is no "shin"."""
    if len(word) < _LEAST_LETTERS:
        return None
    alike = [name for name in _LONG if name[0] == word[0]]
    close = get_close_matches(word, alike, cutoff=_LEAST_LIKENESS)
    return close[0] if close else None
