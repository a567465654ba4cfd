"""Read what stands in the field for a batch number: one number, several, a doubt, or words that name none.

How numbers are compared stands in records.vocabulary.batch_numbers. What people write instead of a number is common
practice, no source. When in doubt a field is not certain: then nobody can rule a batch out by it.
"""

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from archgen.records.vocabulary.batch_numbers import without_label
from archgen.values.frozen import Value

# Characters of a field, and letters and digits of a number; more is another text that got here by mistake.
LONGEST_FIELD = 500
LONGEST_NUMBER = 40
# A number that stands beside another has so many letters and digits, or one with nothing between; shorter ones may be
# two halves of one number.
SHORTEST_WHOLE = 4
SHORTEST_UNBROKEN = 6
# Letters before a number, as in "bk 1042", belong to it; longer words say what it is of.
LONGEST_PREFIX = 3


class BatchField(Value, frozen=True):
    """What a field says.

    Attributes:
        numbers: Each as written, without the words in front of it.
        is_certain: Whether the numbers are all that can be meant.
    """

    numbers: tuple[str, ...]
    is_certain: bool


_BETWEEN = re.compile(
    r"[,;+&|•\n\t]|\s[(\[]|\s(?:and|or|then|und|oder|et|ou|plus)\s|\s(?=(?:lot|batch|charge|ch\.)[\s.:#-])",
    re.IGNORECASE,
)
_SPACED_STROKE = re.compile(r"\s+/\s+")
_SPACED_HYPHEN = re.compile(r"\s+[-\u2010-\u2013]\s+")
_OTHER_DATE = re.compile(r"\b(?:exp(?:iry|ires)?|use by|best before|mhd|opened|bought)\b\W*\d[\d./-]*", re.IGNORECASE)
_DOUBT_MARK = re.compile(r"[?*…]|\.\.|__|(?<=[\d-])x{2,}\b", re.IGNORECASE)


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# Said instead of a number, or beside one that is not sure.
_DOUBT_WORDS = _words(
    "unknown unkn unk na none nil not tbd tba tbc todo missing lost gone forgot forgotten illegible unreadable "
    "unclear smudged torn faded see look label photo photos picture pic image ask check later maybe perhaps probably "
    "possibly think guess approx about unsure sure same ditto dito above various mixed several any old new "
    "unbekannt unleserlich fehlt siehe keine inconnu illisible voir desconocido sconosciuto"
)
_LABELS = _words("no nr lot lots batch charge code number")
_SMALL_WORDS = _words("the on in of is it at by for to was had my we der die das von mit le la les du des")


@lru_cache(maxsize=1 << 16)
def read_batch_field(text: str) -> BatchField:
    """Read a field that is not empty."""
    if len(text) > LONGEST_FIELD:
        return BatchField((), is_certain=False)
    parts = list(_parts(text))
    found = tuple(dict.fromkeys(number for part in parts for number in _numbers(part)))
    # Zeros alone fill a form that wants a number.
    numbers = tuple(number for number in found if len(_plain(number)) <= LONGEST_NUMBER and _plain(number).strip("0"))
    is_certain = (
        bool(numbers)
        and numbers == found
        and all(map(_has_digit, numbers))
        and _DOUBT_MARK.search(text) is None
        and not any(map(_has_doubt, parts))
    )
    return BatchField(numbers, is_certain)


def _parts(text: str) -> Iterator[str]:
    for part in _BETWEEN.split(_OTHER_DATE.sub(";", text)):
        texts = _SPACED_STROKE.split(part)
        # A date, or halves of one number: 12 / 24.
        is_one = all(_plain(text).isdigit() and len(_plain(text)) <= SHORTEST_WHOLE for text in texts)
        yield from (text for text in (["/".join(texts)] if is_one else texts) if _plain(text))


def _without_gaps(part: str) -> str:
    """Join a number typed with spaces around its hyphens, as in "PC4 - 1412"; whole numbers beside each other stay."""
    texts = _SPACED_HYPHEN.split(part)
    is_one = all(len(text.split()) == 1 and (_has_digit(text) or len(_plain(text)) <= LONGEST_PREFIX) for text in texts)
    is_broken = any(len(_plain(text)) < SHORTEST_WHOLE for text in texts)
    return "-".join(texts) if len(texts) > 1 and is_one and is_broken else part


def _numbers(part: str) -> Iterator[str]:
    tokens = _without_gaps(without_label(part)).split()
    shortest = SHORTEST_WHOLE if any(_plain(token) in _DOUBT_WORDS for token in tokens) else 1
    for stretch in _stretches(tokens):
        if len(_plain("".join(stretch))) >= shortest:
            yield from _told_apart(stretch)


def _has_doubt(part: str) -> bool:
    """Say whether a part holds a word of doubt, or words and something too short to be surely the number."""
    tokens = without_label(part).split()
    stretches = list(_stretches(tokens))
    has_words = sum(map(len, stretches)) < len(tokens)
    return any(_plain(token) in _DOUBT_WORDS for token in tokens) or (
        has_words and any(len(_plain("".join(stretch))) < SHORTEST_WHOLE for stretch in stretches)
    )


def _stretches(tokens: Sequence[str]) -> Iterator[list[str]]:
    """Give the tokens that make up numbers, those beside each other together."""
    stretch: list[str] = []
    for at, token in enumerate(tokens):
        if _belongs_to_a_number(tokens, at):
            stretch.append(token)
        elif stretch:
            yield stretch
            stretch = []
    if stretch:
        yield stretch


def _belongs_to_a_number(tokens: Sequence[str], at: int) -> bool:
    token = tokens[at]
    plain = _plain(token)
    if not plain or plain in _DOUBT_WORDS:
        return False
    if _has_digit(token):
        return True
    if len(tokens) == 1:
        return token.isupper() and plain not in _LABELS
    if at and _has_digit(tokens[at - 1]) and (token.isupper() or len(plain) == 1):
        return len(plain) <= LONGEST_PREFIX
    is_before = at + 1 < len(tokens) and _has_digit(tokens[at + 1])
    is_short = len(plain) <= LONGEST_PREFIX and plain not in _SMALL_WORDS
    return is_before and (is_short or token.isupper())


def _told_apart(stretch: Sequence[str]) -> Iterator[str]:
    """Give numbers that stand beside each other one by one, and a number that is only written with gaps whole."""
    for texts in (stretch, " ".join(stretch).split("/")):
        numbers = [without_label(text) for text in texts]
        if len(numbers) > 1 and _are_whole(numbers):
            yield from numbers
            return
    yield " ".join(stretch)


def _are_whole(numbers: Sequence[str]) -> bool:
    plains = [_plain(number) for number in numbers]
    if any(len(plain) < SHORTEST_WHOLE or not _has_digit(plain) for plain in plains):
        return False
    if all(re.search(r"\w[^\w\s]\w", number) for number in numbers):
        return True
    shapes = {re.sub(r"[^\W\d_]", "a", re.sub(r"\d", "9", number)) for number in plains}
    return len(shapes) == 1 and (not plains[0].isdigit() or len(plains[0]) >= SHORTEST_UNBROKEN)


def _has_digit(text: str) -> bool:
    return any(character.isdigit() for character in text)


def _plain(text: str) -> str:
    return re.sub(r"[\W_]+", "", text).casefold()
