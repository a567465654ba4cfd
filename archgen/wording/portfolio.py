"""Sentences and labels of the portfolio, from plain values."""

import re
from collections.abc import Sequence
from itertools import takewhile
from urllib.parse import quote

from archgen.publication.public_catalogue import PublicPhoto, PublicPiece
from archgen.records.model import Stage
from archgen.records.vocabulary.placements import placement_words
from archgen.wording.pieces import STAGE_WORDS

_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
# Under the artist's words about care, whatever they are.
CARE_CAUTIONS = (
    "This is what your artist advises, not medical advice. Redness that spreads, heat, swelling, pus, fever or a rash: "
    "see a doctor, and say that you have a new tattoo.",
    "Ask a doctor first about an illness, an allergy, medicines, or a pregnancy.",
)
# Weeks read well up to two months, months up to two years.
_DAYS_IN_WEEKS, _DAYS_IN_MONTHS, _DAYS_OF_MONTH = 60, 730, 30.44


def number_words(number: int) -> str:
    """Write a number up to twelve as a word."""
    return _NUMBERS[number] if 0 <= number < len(_NUMBERS) else str(number)


def capital(text: str) -> str:
    """Write the first letter large and leave the others."""
    return text[:1].upper() + text[1:]


def month_words(piece: PublicPiece) -> str | None:
    """Write when a piece was made; None when that is not recorded."""
    return f"{_MONTHS[piece.month - 1]} {piece.year}" if piece.month and piece.year else None


def photo_words(photo: PublicPhoto) -> str:
    """Write the stage of a photo and how long after the work it was taken."""
    stage = STAGE_WORDS[photo.stage] if photo.stage else ""
    if not stage or photo.days_after is None or photo.stage is Stage.IN_PROGRESS:
        return stage
    return f"{stage}, {_after(photo.days_after)}"


def _after(days: int) -> str:
    if days == 0:
        return "the same day"
    for unit, length, limit in (
        ("day", 1, 14),
        ("week", 7, _DAYS_IN_WEEKS),
        ("month", _DAYS_OF_MONTH, _DAYS_IN_MONTHS),
        ("year", 365.25, float("inf")),
    ):
        if days < limit:
            count = max(1, round(days / length))
            return f"{number_words(count)} {unit}{'' if count == 1 else 's'} later"
    raise AssertionError(days)


def place_words(piece: PublicPiece) -> str:
    """Write the place on the body, side last; empty when it is not recorded."""
    return placement_words(piece.region, piece.side) or ""


def here_words(town: str | None, open_from: str | None, currency: str | None) -> tuple[str, ...]:
    """Write where the artist works, from when there is room and in what one pays; what is not said is left out."""
    said = (town or "", open_from and f"Books open from {open_from}", currency and f"Prices in {currency}")
    return tuple(part for part in said if part)


def heading_and_rest(markdown: str, default: str) -> tuple[str, str]:
    """Part a text from the heading it starts with; without one the default stands above it."""
    match = re.match(r"\s*#\s+(.+?)\s*#*\s*(?:\n|\Z)", markdown)
    return (match[1], markdown[match.end() :]) if match else (default, markdown)


def mail_address(markdown: str) -> str | None:
    """Give the first mail address a text links to; None when there is none."""
    match = re.search(r"[(<](?:mailto:)?([\w.+-]+@[\w-]+(?:\.[\w-]+)+)[)>]", markdown)
    return match[1] if match else None


def questions_in(markdown: str, most: int = 8) -> tuple[str, ...]:
    """Give what a text asks for: the first list below the first mail address, as plain words."""
    mail = mail_address(markdown)
    if mail is None:
        return ()
    lines = markdown[markdown.index(mail) :].splitlines()[1:]
    rows = list(takewhile(lambda line: re.match(_ROW, line) or not line.strip() or line[:1] in " \t", lines))
    joined = re.split(_ROW, "\n".join(rows), flags=re.MULTILINE)[1:]
    return tuple(_plain(row) for row in joined if row.strip())[:most]


# A row of a list in Markdown.
_ROW = r"^\s{0,3}(?:[-*+]|\d+[.)])\s+"


def letter_address(mail: str, title: str | None, page: str | None, questions: Sequence[str]) -> str:
    """Write the address of a letter (RFC 6068) about a piece, with room for an answer to each question."""
    about = f"“{title}”" if title else "A tattoo"
    seen = f"I saw {about}{f' ({page})' if page else ''} and would like to ask for a piece." if title else ""
    asked = "\n".join(f"– {capital(question).rstrip('.:;,')}:\n" for question in questions)
    body = "\n\n".join(part for part in ("Hello,", seen, asked) if part) + "\n"
    # Some mail programs take no address longer than 2000 characters (from memory).
    fields = {"subject": about, "body": body.replace("\n", "\r\n") if len(quote(body)) < _LONGEST else ""}
    said = "&".join(f"{name}={quote(text, safe='')}" for name, text in fields.items() if text)
    return f"mailto:{quote(mail, safe='@')}?{said}"


_LONGEST = 1800


def first_sentence(markdown: str, longest: int = 60) -> str:
    """Give the first short sentence of the running text; empty when there is none so short."""
    _, rest = heading_and_rest(markdown, "")
    for block in re.split(r"\n\s*\n", rest.strip()):
        if re.match(r"\s*([#>*+\-|`<]|\d+[.)])", block):
            continue
        words = _plain(block)
        sentence = re.split(r"(?<=[.!?])\s", words, maxsplit=1)[0]
        return sentence if len(sentence) <= longest else ""
    return ""


def _plain(markdown: str) -> str:
    """Take links and marks out of a piece of running text."""
    return re.sub(r"\[([^]]*)\]\([^)]*\)|[*_`\\]", r"\1", " ".join(markdown.split()))
