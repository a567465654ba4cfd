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
from archgen.publication.public_catalogue import slug
from archgen.records.model import Client, Piece, PieceRecord, Reference

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
    for client in catalogue.clients.values():
        yield from _client(client, public)
    for batch in catalogue.inks.values():
        yield from _code("batch number", batch.batch)
        yield from _things("ink", (batch.name, batch.maker))
        yield from _sentences("note of an ink batch", batch.note)
    for piece in catalogue.pieces:
        yield from _piece(piece)


def _client(client: Client, public: set[str]) -> Iterator[PrivateValue]:
    yield from _code("client code", client.code)
    yield from _code("client's contact", client.contact)
    for text in (client.note, client.notes):
        yield from _sentences("note about a client", text)
    parts = re.findall(r"[^\W\d_]+", client.name or "")
    if len(parts) > 1:
        yield PrivateValue("client's name", " ".join(parts))
        yield PrivateValue("client's name", " ".join((parts[-1], *parts[:-1])))
    for part in parts:
        if len(part) >= NAME_LETTERS and words_of(part).strip() not in public:
            yield PrivateValue("part of a client's name", part, sure=len(parts) == 1)


def _piece(piece: Piece) -> Iterator[PrivateValue]:
    yield from _sentences("private note", piece.notes, piece.id)
    for path in (*piece.photos, *piece.stencils, *piece.references):
        yield from _file(path, piece.id)
    if re.match(r"\d{4}-\d\d-\d\d-", piece.id):
        yield PrivateValue("folder name", piece.id, piece.id)
    if piece.record:
        yield from _record(piece.record, piece.id)


def _record(record: PieceRecord, piece: str) -> Iterator[PrivateValue]:
    yield from _code("client code", record.client, piece)
    for sitting in record.sitting:
        yield from _sentences("note of a sitting", sitting.note, piece)
    for healing in record.healing:
        yield from _sentences("note about healing", healing.note, piece)
    for needle in record.needle:
        yield from _code("needle lot", needle.batch, piece)
        yield from _code("sterilisation lot", needle.sterilisation, piece)
    for ink in record.ink:
        yield from _code("batch number", ink.batch, piece)
        yield from _things("ink", (ink.name, ink.maker), piece)
    yield from _file(record.release.file, piece)
    yield from _sentences("note about a release", record.release.note, piece)
    for reference in record.reference:
        yield from _reference(reference, piece)
    if record.rights_override:
        yield from _sentences("reason of an override", record.rights_override.reason, piece)


def _reference(reference: Reference, piece: str) -> Iterator[PrivateValue]:
    yield from _file(reference.file, piece)
    yield from _file(reference.permission, piece)
    yield from _sentences("note about a reference", reference.note, piece)


def _code(what: str, value: str | None, piece: str | None = None) -> Iterator[PrivateValue]:
    signs = re.sub(r"[\W_]+", "", value or "")
    if value and len(signs) >= (CODE_DIGITS if signs.isdigit() else CODE_SIGNS):
        yield PrivateValue(what, value, piece)


def _file(path: str | None, piece: str) -> Iterator[PrivateValue]:
    name = (path or "").rpartition("/")[2]
    if len(re.sub(r"[\W_]+", "", name)) >= FILE_SIGNS:
        yield PrivateValue("file name", name, piece)


def _serials(by_path: Mapping[str, Iterable[str]]) -> Iterator[PrivateValue]:
    """Give the numbers a camera wrote into pictures; it belongs to no piece alone."""
    for number in sorted({number for numbers in by_path.values() for number in numbers}):
        digits = re.findall(r"\d", number)
        if len(digits) >= SERIAL_DIGITS and len(set(digits)) > 1:
            yield from _code("serial number of a camera or lens", number)


def _things(what: str, values: Iterable[str | None], piece: str | None = None) -> Iterator[PrivateValue]:
    for value in values:
        if value and len(value) >= THING_SIGNS and " " in words_of(value).strip():
            yield PrivateValue(what, value, piece)


def _sentences(what: str, text: str | None, piece: str | None = None) -> Iterator[PrivateValue]:
    for line in re.split(r"(?<=[.!?;:])\s+|\n+", text or ""):
        words = words_of(line).split()
        if len(words) >= SENTENCE_WORDS and len(" ".join(words)) >= SENTENCE_SIGNS:
            yield PrivateValue(what, line.strip(), piece)


def _public_words(catalogue: Catalogue) -> set[str]:
    """Give the words the studio itself uses in public, which a name may happen to be."""
    settings = catalogue.config.portfolio
    texts = [settings.title, settings.artist, settings.description, settings.creator, settings.credit]
    for piece in catalogue.pieces:
        if piece.record:
            texts += [piece.record.title, *piece.record.styles, *piece.record.subjects]
        # In running text only words written small: a capital may be a name.
        texts.append(" ".join(word for word in (piece.story or "").split() if word[:1].islower()))
    return {word for text in texts if text for word in slug(text).split("-")}
