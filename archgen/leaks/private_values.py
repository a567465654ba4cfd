"""List what must never leave the studio, as values that can be looked for; knows records, not files or pages.

Not everything private can be looked for. Left out, because they would be found everywhere or by chance:
codes and lots of fewer than four signs or of fewer than five digits alone, file names of fewer than six, ink
names of fewer than twelve or of one word, sentences of fewer than four words or twenty signs, serial numbers
of cameras with fewer than four digits or one digit over and over (cameras that know none write zeros). A first or last
name by itself is looked for when it has five letters and is no word of the studio's own public texts; since it
may still be a word, finding one is a question, not a certainty. All these limits are common practice, no source.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.plain_text import words_of
from archgen.privacy import MarkedText, Public, Sought, marked_texts, privacy_marks
from archgen.records.model import Piece
from archgen.records.vocabulary.licences import license_url

CODE_SIGNS, CODE_DIGITS, FILE_SIGNS, THING_SIGNS, NAME_LETTERS, SERIAL_DIGITS = 4, 5, 6, 12, 5, 4
SENTENCE_SIGNS, SENTENCE_WORDS = 20, 4


@dataclass(frozen=True, slots=True)
class PrivateValue:
    """One value to look for: what it is, in plain words, and whether finding it is a certainty."""

    what: str
    value: str
    piece: str | None = None
    sure: bool = True


def private_values(
    catalogue: Catalogue, serials: Mapping[str, Iterable[str]] | None = None
) -> tuple[PrivateValue, ...]:
    """List every private value of an archive that can be looked for, each once.

    `serials` are those of cameras and lenses by the path of a picture; None takes them from the catalogue's facts.
    """
    public = _public_words(catalogue)
    if serials is None:
        serials = {path: facts.serials for path, facts in catalogue.facts.items()}
    found: dict[str, PrivateValue] = {}
    for value in (*_all(catalogue, public), *_serials(serials)):
        found.setdefault(words_of(value.value), value)
    return tuple(found.values())


def _all(catalogue: Catalogue, public: set[str]) -> Iterator[PrivateValue]:
    registers = (
        *catalogue.clients.values(), *catalogue.inks.values(), *catalogue.supplies, *catalogue.boxes, *catalogue.told,
        *catalogue.decisions.same, *catalogue.decisions.different, catalogue.config,
    )  # fmt: skip
    for register in registers:
        for text in marked_texts(register):
            yield from _values(text, None, public)
    for piece in catalogue.pieces:
        for text in marked_texts(piece):
            yield from _values(text, piece.id, public)


def _values(marked: MarkedText, piece: str | None, public: set[str]) -> Iterator[PrivateValue]:
    if isinstance(marked.mark, Public):
        return
    what, text = marked.mark.what, marked.text
    match marked.mark.sought:
        case Sought.TEXT:
            yield from _sentences(what, text, piece, public)
        case Sought.NAME:
            yield from _name(what, text, public)
        case Sought.CODE | Sought.CONTACT:
            yield from _code(what, text, piece)
        case Sought.ADDRESS:
            yield PrivateValue(what, text, piece, sure=not set(words_of(text).split()) <= public)
        case Sought.FILE:
            yield from _file(what, text, piece)
        case Sought.FOLDER if not set(words_of(text).split()) <= public:
            yield PrivateValue(what, text, piece)


def _name(what: str, name: str, public: set[str]) -> Iterator[PrivateValue]:
    parts = re.findall(r"[^\W\d_]+", name)
    if len(parts) > 1:
        yield PrivateValue(what, " ".join(parts))
        yield PrivateValue(what, " ".join((parts[-1], *parts[:-1])))
    for part in parts:
        if len(part) >= NAME_LETTERS and words_of(part).strip() not in public:
            yield PrivateValue(f"part of a {what}", part, sure=len(parts) == 1)


def _code(what: str, value: str | None, piece: str | None = None) -> Iterator[PrivateValue]:
    signs = re.sub(r"[\W_]+", "", value or "")
    if value and len(signs) >= (CODE_DIGITS if signs.isdigit() else CODE_SIGNS):
        yield PrivateValue(what, value, piece)


def _file(what: str, path: str, piece: str | None) -> Iterator[PrivateValue]:
    name = path.rpartition("/")[2]
    if len(re.sub(r"[\W_]+", "", name)) >= FILE_SIGNS:
        yield PrivateValue(what, name, piece)


def _serials(by_path: Mapping[str, Iterable[str]]) -> Iterator[PrivateValue]:
    """Give the numbers a camera wrote into pictures; it belongs to no piece alone."""
    for number in sorted({number for numbers in by_path.values() for number in numbers}):
        digits = re.findall(r"\d", number)
        if len(digits) >= SERIAL_DIGITS and len(set(digits)) > 1:
            yield from _code("serial number of a camera or lens", number)


def _sentences(what: str, text: str, piece: str | None, public: set[str]) -> Iterator[PrivateValue]:
    for line in re.split(r"(?<=[.!?;:])\s+|\n+", text):
        words = words_of(line).split()
        is_sentence = len(words) >= SENTENCE_WORDS and len(" ".join(words)) >= SENTENCE_SIGNS
        if is_sentence or (len(words) > 1 and len(line) >= THING_SIGNS and line == text):
            yield PrivateValue(what, line.strip(), piece, sure=is_sentence or not set(words) <= public)


def _public_words(catalogue: Catalogue) -> set[str]:
    """Give the words the studio itself uses in public, which a name may happen to be."""
    texts = list(catalogue.texts.values())
    for record in (catalogue.config, *catalogue.pieces):
        for marked in marked_texts(record):
            if marked.mark == privacy_marks(Piece)["story"]:
                # In running text only words written small: a capital may be a name.
                texts.append(" ".join(word for word in marked.text.split() if word[:1].islower()))
            elif isinstance(marked.mark, Public):
                texts += [marked.text, license_url(marked.text) or ""]
    return {word for text in texts for word in words_of(text).split()}
