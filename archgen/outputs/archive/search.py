"""The search of the archive's pages: the index of all words, and in parts what is shown of an answer."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import islice
from typing import Any
from urllib.parse import quote

import msgspec

from archgen.languages.house import house, say, within
from archgen.outputs.archive.batches import recall_mark
from archgen.outputs.archive.cards import print_link
from archgen.outputs.archive.context import Context, thumbnail
from archgen.outputs.archive.list_scripts import PART, script
from archgen.outputs.archive.stencils import OneStencil
from archgen.outputs.artifact import Artifact
from archgen.outputs.known_keys import KnownKeys
from archgen.outputs.site_pages import PagePicture, picture
from archgen.pieces.overview import PieceOverview
from archgen.pieces.versions import VersionOverview
from archgen.render.html import script_of, script_text, script_value
from archgen.searching.found_by import batch_lines, client_lines, piece_lines, stencil_lines
from archgen.searching.index import AnswerKind, Findable, index_value, line_values, said_in
from archgen.searching.lines import SearchLine
from archgen.searching.phrases import phrases, phrases_key
from archgen.storage.files import digest_bytes
from archgen.tracing.book import BatchEntry, BatchUse
from archgen.units import hours_words
from archgen.values.frozen import Value
from archgen.wording.batches import kinds_words, product_words
from archgen.wording.pieces import Mark, place_of, release_words, size_on_skin, version_number, version_size

# Answers whose lines lie in one script: a search loads little, and there are not too many files.
ANSWERS_PER_PART = 40
# Always under this name, so that no page is made anew for a new word.
INDEX = "data/search.js"
PHRASES = "data/phrases.js"


class Shown(Value, frozen=True):
    """What is shown of an answer.

    Attributes:
        facts: A line of the main facts.
        to_print: The print that is asked for most, from the site's folder, and its words.
        recall: Of a recalled batch, or a piece it is in.
    """

    lines: tuple[SearchLine, ...]
    facts: str
    picture: PagePicture | None = None
    to_print: tuple[str, str] | None = None
    recall: Mark | None = None


class KeptAnswer(msgspec.Struct, array_like=True, frozen=True):
    """What the search keeps of an answer: what is shown, as it stands in a script, and the words that lead to it."""

    text: str
    said: dict[str, str]


class PlannedAnswer(Value, frozen=True):
    """An answer to be.

    Attributes:
        shown: Makes what is shown of it.
        made_of: All that shapes this but the language; None where that is as much as to make it.
    """

    answer: Findable
    shown: Callable[[], Shown]
    made_of: tuple[object, ...] | None = None

    def kept(self, keys: KnownKeys) -> KeptAnswer:
        """Give what is kept of it, made only where it isn't known yet."""
        return _KEPT.decode(self.packed(keys))

    def packed(self, keys: KnownKeys) -> str:
        """Give the same as one text, which takes a quarter of the memory."""
        if self.made_of is None:
            return self._packed()
        return keys.key(("answer", house().state, self.made_of), self._packed)

    def _packed(self) -> str:
        return msgspec.json.encode(self.made()).decode()

    def made(self) -> KeptAnswer:
        """Make what is kept of it."""
        shown = self.shown()
        return KeptAnswer(script_text(shown_value(self.answer, shown)), dict(said_in(shown.lines)))


_KEPT = msgspec.json.Decoder(KeptAnswer)


def all_answers(
    context: Context, pieces: Sequence[PieceOverview], stencils: Sequence[OneStencil]
) -> Iterator[PlannedAnswer]:
    """Tell what is found of an archive, in the order of the answers' numbers."""
    yield from _pieces(context, pieces)
    yield from _stencils(context, stencils)
    yield from _clients(context)
    yield from _batches(context)


def search_scripts(answers: Iterable[PlannedAnswer], keys: KnownKeys) -> tuple[Artifact, ...]:
    """Plan the phrases of the trade, the index, which knows the parts, and the parts."""
    found: list[tuple[Findable, str]] = []
    made: list[Artifact] = []
    waiting = iter(answers)
    while part := [(one.answer, one.packed(keys)) for one in islice(waiting, ANSWERS_PER_PART)]:
        found += part
        packed = [packed for _, packed in part]
        made.append(script(f"found-{len(made)}", "\n".join(packed), partial(_part, packed)))
    paths = [part.path for part in made]

    def index() -> bytes:
        said = ((one, _KEPT.decode(packed).said) for one, packed in found)
        return script_value(PART, {**index_value(said), "parts": paths, "perPart": ANSWERS_PER_PART}).encode()

    # The parts hold all that the index is made of but who is called how and where it leads.
    named = [(one.name, one.href) for one, _ in found]
    said = Artifact(PHRASES, make=lambda: script_value(PART, phrases()).encode(), key=phrases_key())
    return (said, Artifact(INDEX, make=index, key=digest_bytes("search", repr(paths), repr(named))), *made)


def _part(packed: Iterable[str]) -> str:
    return script_of(PART, f"[{','.join(_KEPT.decode(one).text for one in packed)}]")


def _pieces(context: Context, overviews: Sequence[PieceOverview]) -> Iterator[PlannedAnswer]:
    """Tell what is found of pieces."""
    marks = {}
    for batch, recall in context.recalls.items():
        to_tell = context.pieces_to_tell(batch)
        for use in recall.matches:
            words = say("{batch} in it is recalled", batch=batch) + (
                say(", not told yet") if use.piece.id in to_tell else ""
            )
            marks[use.piece.id] = Mark("check-stop", words, asks=use.piece.id in to_tell)
    for overview in overviews:
        yield PlannedAnswer(
            Findable(AnswerKind.PIECE, overview.id, overview.title, context.piece_pages[overview.id]),
            partial(_shown_piece, context, overview, marks.get(overview.id)),
            made_of_answer(context, overview, marks.get(overview.id)),
        )


def made_of_answer(context: Context, overview: PieceOverview, mark: Mark | None) -> tuple[object, ...]:
    """Give all that shapes what is shown of a piece: what `_shown_piece` asks for."""
    catalogue, record, book = context.catalogue, overview.record, context.book
    numbers = [use.batch for use in book.uses_by_piece.get(overview.id, ()) if use.batch]
    return (
        catalogue.digest_of(overview),
        context.units,
        (catalogue.people.code_of(record.client), catalogue.client(record.client)) if record and record.client else (),
        [(number, [entry.recalled for entry in book.entries_of(number)]) for number in numbers],
        catalogue.is_in_portfolio(overview.id),
        release_words(record.release, catalogue.built_on, overview.piece.written_release) if record else None,
        mark,
    )


def _shown_piece(context: Context, overview: PieceOverview, mark: Mark | None) -> Shown:
    return Shown(
        piece_lines(overview, context.catalogue, context.book),
        _facts(context, overview),
        thumbnail(overview),
        print_link(overview, overview.applied, context.units),
        mark,
    )


def _stencils(context: Context, versions: Sequence[OneStencil]) -> Iterator[PlannedAnswer]:
    """Tell what is found of stencils."""
    for overview, version in versions:
        stencil = version.stencil
        number = version_number(stencil)
        yield PlannedAnswer(
            Findable(
                AnswerKind.STENCIL,
                str(stencil.version or stencil.file),
                within(number).replace(" ", "\N{NO-BREAK SPACE}") if stencil.version is not None else stencil.file,
                f"#{quote(version.anchor)}",
                parent=overview.id,
            ),
            partial(_shown_stencil, context, overview, version),
            (context.catalogue.digest_of(overview), context.units, stencil.file),
        )


def _shown_stencil(context: Context, overview: PieceOverview, version: VersionOverview) -> Shown:
    size = version_size(version, context.units)
    facts = " · ".join((size, say("on the skin")) if version.is_applied else (size,))
    small = picture(version.facts.screen, "", wanted_px=160) if version.facts else None
    return Shown(stencil_lines(version, context.units), facts, small, print_link(overview, version, context.units))


def _clients(context: Context) -> Iterator[PlannedAnswer]:
    """Tell what is found of clients; their names only where they are asked for."""
    for code, pieces in context.by_client.items():
        lines = client_lines(code, context.catalogue.client(code), (piece.title for piece in pieces))
        facts = " · ".join(piece.title for piece in pieces[:4]) or say("No pieces")
        answer = Findable(AnswerKind.CLIENT, code, code, context.client_pages[code])
        yield PlannedAnswer(answer, partial(Shown, lines, facts))


def _batches(context: Context) -> Iterator[PlannedAnswer]:
    """Tell what is found of batches."""
    book = context.book
    for number in context.batches:
        both: tuple[BatchEntry | BatchUse, ...] = (*book.entries_of(number), *book.uses_of(number))
        named = next((one for one in both if one.name), None)
        kinds = kinds_words(tuple(dict.fromkeys(one.kind for one in both)))
        facts = [kinds, product_words(named.maker, named.name) if named else ""]
        lines = batch_lines(number, context.catalogue.inks.get(number), book)
        recall = context.recalls.get(number)
        answer = Findable(AnswerKind.BATCH, number, number, context.batch_pages[number])
        said = " · ".join(fact for fact in facts if fact)
        yield PlannedAnswer(answer, partial(Shown, lines, said, recall=recall_mark(recall) if recall else None))


def _facts(context: Context, overview: PieceOverview) -> str:
    hours = overview.record.hours if overview.record else None
    facts = (place_of(overview.piece), size_on_skin(overview, context.units), hours and hours_words(hours))
    return " · ".join(fact for fact in facts if fact)


def shown_value(answer: Findable, shown: Shown) -> dict[str, Any]:
    """Write what is shown of an answer for the script."""
    value: dict[str, Any] = {"id": answer.id, "lines": line_values(shown.lines), "facts": shown.facts}
    if answer.kind is AnswerKind.PIECE or answer.parent:
        value["piece"] = answer.parent or answer.id
    if shown.picture:
        value["drawing"] = answer.kind is AnswerKind.STENCIL
        value["picture"] = [shown.picture.src, shown.picture.width, shown.picture.height]
    if shown.to_print:
        value["print"] = shown.to_print
    if shown.recall:
        value["recall"] = (shown.recall.words, shown.recall.asks)
    return value
