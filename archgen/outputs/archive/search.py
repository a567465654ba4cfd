"""The search of the archive's pages: the index of all words, and in parts what is shown of an answer."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from typing import Any
from urllib.parse import quote

from archgen.languages.house import say, within
from archgen.outputs.archive.batches import recall_mark
from archgen.outputs.archive.cards import print_link
from archgen.outputs.archive.context import Context, thumbnail
from archgen.outputs.archive.list_scripts import PART, script
from archgen.outputs.archive.stencils import OneStencil
from archgen.outputs.artifact import Artifact
from archgen.outputs.site_pages import PagePicture, picture
from archgen.pieces.overview import PieceOverview
from archgen.render.html import script_value
from archgen.searching.found_by import batch_lines, client_lines, piece_lines, stencil_lines
from archgen.searching.index import AnswerKind, Findable, index_value, line_values
from archgen.searching.phrases import phrases, phrases_key
from archgen.storage.files import digest_bytes
from archgen.tracing.book import BatchEntry, BatchUse
from archgen.units import hours_words
from archgen.values.frozen import Value
from archgen.wording.batches import kinds_words, product_words
from archgen.wording.pieces import Mark, place_of, size_on_skin, version_number, version_size

# Answers whose lines lie in one script: a search loads little, and there are not too many files.
ANSWERS_PER_PART = 40
# Always under this name, so that no page is made anew for a new word.
INDEX = "data/search.js"
PHRASES = "data/phrases.js"


class Shown(Value, frozen=True):
    """An answer and what is shown of it.

    Attributes:
        facts: A line of the main facts.
        to_print: The print that is asked for most, from the site's folder, and its words.
        recall: Of a recalled batch, or a piece it is in.
    """

    answer: Findable
    facts: str
    picture: PagePicture | None = None
    to_print: tuple[str, str] | None = None
    recall: Mark | None = None


def all_shown(context: Context, pieces: Sequence[PieceOverview], stencils: Sequence[OneStencil]) -> Iterator[Shown]:
    """Tell what is found of an archive, in the order of the answers' numbers."""
    yield from _pieces(context, pieces)
    yield from _stencils(context, stencils)
    yield from _clients(context)
    yield from _batches(context)


def search_scripts(shown: Iterable[Shown]) -> tuple[Artifact, ...]:
    """Plan the phrases of the trade, the index, which knows the parts, and the parts."""
    answers: list[Findable] = []
    made: list[Artifact] = []
    waiting = iter(shown)
    # What is shown is written at once: as text the answers of a large archive take a fifth of the memory.
    while part := list(islice(waiting, ANSWERS_PER_PART)):
        answers += (one.answer for one in part)
        text = script_value(PART, [shown_value(one) for one in part])
        made.append(script(f"found-{len(made)}", text, lambda text=text: text))  # type: ignore[misc]
    paths = [part.path for part in made]

    def index() -> bytes:
        return script_value(PART, {**index_value(answers), "parts": paths, "perPart": ANSWERS_PER_PART}).encode()

    # The parts hold all that the index is made of but who is called how and where it leads.
    named = [(one.name, one.href) for one in answers]
    said = Artifact(PHRASES, make=lambda: script_value(PART, phrases()).encode(), key=phrases_key())
    return (said, Artifact(INDEX, make=index, key=digest_bytes("search", repr(paths), repr(named))), *made)


def _pieces(context: Context, overviews: Sequence[PieceOverview]) -> Iterator[Shown]:
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
        lines = piece_lines(overview, context.catalogue, context.book)
        answer = Findable(AnswerKind.PIECE, overview.id, overview.title, context.piece_pages[overview.id], lines)
        yield Shown(
            answer,
            _facts(context, overview),
            thumbnail(overview),
            print_link(overview, overview.applied, context.units),
            marks.get(overview.id),
        )


def _stencils(context: Context, versions: Sequence[OneStencil]) -> Iterator[Shown]:
    """Tell what is found of stencils."""
    for overview, version in versions:
        stencil, size = version.stencil, version_size(version, context.units)
        number = version_number(stencil)
        answer = Findable(
            AnswerKind.STENCIL,
            str(stencil.version or stencil.file),
            within(number).replace(" ", "\N{NO-BREAK SPACE}") if stencil.version is not None else stencil.file,
            f"#{quote(version.anchor)}",
            stencil_lines(version, context.units),
            parent=overview.id,
        )
        facts = " · ".join((size, say("on the skin")) if version.is_applied else (size,))
        small = picture(version.facts.screen, "", wanted_px=160) if version.facts else None
        yield Shown(answer, facts, small, print_link(overview, version, context.units))


def _clients(context: Context) -> Iterator[Shown]:
    """Tell what is found of clients; their names only where they are asked for."""
    for code, pieces in context.by_client.items():
        lines = client_lines(code, context.catalogue.client(code), (piece.title for piece in pieces))
        answer = Findable(AnswerKind.CLIENT, code, code, context.client_pages[code], lines)
        yield Shown(answer, " · ".join(piece.title for piece in pieces[:4]) or say("No pieces"))


def _batches(context: Context) -> Iterator[Shown]:
    """Tell what is found of batches."""
    book = context.book
    for number in context.batches:
        both: tuple[BatchEntry | BatchUse, ...] = (*book.entries_of(number), *book.uses_of(number))
        named = next((one for one in both if one.name), None)
        kinds = kinds_words(tuple(dict.fromkeys(one.kind for one in both)))
        facts = [kinds, product_words(named.maker, named.name) if named else ""]
        lines = batch_lines(number, context.catalogue.inks.get(number), book)
        answer = Findable(AnswerKind.BATCH, number, number, context.batch_pages[number], lines)
        recall = context.recalls.get(number)
        yield Shown(answer, " · ".join(fact for fact in facts if fact), recall=recall_mark(recall) if recall else None)


def _facts(context: Context, overview: PieceOverview) -> str:
    hours = overview.record.hours if overview.record else None
    facts = (place_of(overview.piece), size_on_skin(overview, context.units), hours and hours_words(hours))
    return " · ".join(fact for fact in facts if fact)


def shown_value(shown: Shown) -> dict[str, Any]:
    """Write what is shown of an answer for the script."""
    answer = shown.answer
    value: dict[str, Any] = {"id": answer.id, "lines": line_values(answer.lines), "facts": shown.facts}
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
