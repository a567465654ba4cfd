"""Trade words of several or of one word, and what of an archive they mean: "inner bicep" is the inner upper arm."""

import sys
from collections.abc import Collection, Iterable, Iterator
from itertools import product
from pathlib import Path

from archgen.languages.kept import kept
from archgen.plain_text import words_of
from archgen.records.model import Side
from archgen.records.vocabulary import placements
from archgen.records.vocabulary.body import answers, english, languages
from archgen.records.vocabulary.body import phrases as body_phrases
from archgen.records.vocabulary.body.english import PLACE_WORDS, SIDE_WORDS
from archgen.records.vocabulary.needle_forms import words as needle_forms
from archgen.records.vocabulary.placements import PLACES, find_placement
from archgen.searching import needles
from archgen.searching.needles import needle_phrases
from archgen.storage.files import digest_bytes

# Where on a place, as people put it; "of" and "the" are passed over when a phrase is looked up.
_ASPECTS = ("inner", "inside", "outer", "outside", "front", "back", "top", "side", "upper", "lower")
# Places whose inner and outer side are told apart.
_WITH_ASPECTS = ("forearm", "upper-arm", "arm", "wrist", "thigh", "calf", "ankle", "leg")
# Two spellings of one word of the trade.
_PAIRS = (("grey", "gray"), ("greys", "grays"), ("colour", "color"), ("centre", "center"))
_SPELLINGS = {one: pair for pair in _PAIRS for one in pair}
_STATES = {
    "touch up wanted": ("@touch-up-wanted",),
    "nachstechen gewünscht": ("@touch-up-wanted",),
    "no healed photo": ("@no-healed-photo",),
    "kein abgeheiltes foto": ("@no-healed-photo",),
}


@kept(2)  # takes a second, and is the same for every archive
def phrases() -> dict[str, tuple[str, ...]]:
    """Give for each phrase the words of an index it means, whether the archive has one of them or not."""
    states = {words_of(words).strip(): found for words, found in _STATES.items()}
    return {**_place_phrases(), **_sides(), **needle_phrases(), **states, **_SPELLINGS}


def phrases_key() -> str:
    """Give a digest of all that the phrases are made of, in a fraction of the time they take."""
    made_of = (english, languages, answers, body_phrases, placements, needles, needle_forms, sys.modules[__name__])
    return digest_bytes("phrases", *(Path(str(module.__file__)).read_bytes() for module in made_of))


def _place_phrases() -> dict[str, tuple[str, ...]]:
    """Give every phrase that is read as one place or as a choice of places."""
    found = {}
    for phrase in sorted(_candidates()):
        reading = find_placement(phrase)
        places = (reading.place,) if reading.place else reading.choices
        if places:
            found[words_of(phrase).strip()] = tuple(f"@{place.id}" for place in places)
    return found


def _sides() -> dict[str, tuple[str, ...]]:
    notions = [entry for text in (SIDE_WORDS, *_foreign()) for entry in _entries(text)]
    return {
        words_of(word).strip(): (f"@{notion}",)
        for notion, words in notions
        if notion in {side.value for side in Side}
        for word in words
    }


def _candidates() -> Iterator[str]:
    for place in PLACES.values():
        yield from (place.words, *place.synonyms, place.id.replace("-", " "))
    for _, words in _entries(PLACE_WORDS):
        yield from words
        yield from _both_ways(words[:1], _ASPECTS)
    for foreign in _foreign():
        entries = dict(_entries(foreign))
        yield from (word for words in entries.values() for word in words)
        aspects = [word for notion in ("inner", "outer", "front", "behind") for word in entries.get(notion, ())]
        for notion in _WITH_ASPECTS:
            yield from _both_ways(entries.get(notion, [])[:1], aspects)


def _both_ways(places: Iterable[str], aspects: Collection[str]) -> Iterator[str]:
    for place, aspect in product(places, aspects):
        yield f"{aspect} {place}"
        yield f"{place} {aspect}"


def _foreign() -> tuple[str, ...]:
    german, latin = (languages.GERMAN, languages.SWEDISH), (languages.FRENCH, languages.SPANISH, languages.ITALIAN)
    return (*german, *latin, languages.PORTUGUESE)


def _entries(text: str) -> Iterator[tuple[str, list[str]]]:
    """Read the lists of a vocabulary: a notion and its words."""
    for row in text.strip().replace("\n ", " ").splitlines():
        notion, _, words = row.partition(":")
        yield notion, [word.strip() for word in words.split(",") if word.strip()]
