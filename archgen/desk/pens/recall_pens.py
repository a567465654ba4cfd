"""The pens on the page of a recalled batch: who was told, on which day, how; and whose label says something else."""

from collections.abc import Iterator
from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.desk.answering import Fields, form_handler
from archgen.desk.pens.saving import Pen, carry_out_at_desk, save_pen, seen_digest
from archgen.desk.pens.visits import past_day
from archgen.desk.state import DeskState
from archgen.errors import UsageError
from archgen.languages.house import say, to_say, within
from archgen.outputs.archive.context import Context, thumbnail
from archgen.outputs.site_pages import PagePicture
from archgen.records.model import InkBatch, PieceRecord, Told
from archgen.records.registers import INKS, TOLD
from archgen.tracing.recall import Trace, Wearer
from archgen.units import date_words
from archgen.wording.batches import told_words
from archgen.writing.change import Change
from archgen.writing.record_text import AddTable, Edit, SetKey
from archgen.writing.telling import tellings, told_addition

HOW = (("phone", to_say("By phone")), ("letter", to_say("By letter")), ("in person", to_say("In person")))


def _how() -> tuple[tuple[str, str], ...]:
    return tuple((key, say(words)) for key, words in HOW)


@dataclass(frozen=True, slots=True)
class TellRow:
    """One person who wears the batch.

    Attributes:
        client: The code; empty where the piece does not say who wears it.
        name: As the register has it; only here and on the printed list.
    """

    client: str
    name: str
    contact: str
    pieces: tuple[tuple[str, str], ...]
    told: tuple[str, ...]
    is_to_tell: bool
    picture: PagePicture | None


@dataclass(frozen=True, slots=True)
class NearRow:
    """A piece whose record has almost the same number."""

    piece: str
    title: str
    href: str
    number: str
    picture: PagePicture | None
    seen_record: str
    seen_register: str


@dataclass(frozen=True, slots=True)
class RecallPens:
    """What the page of a recalled batch needs for its pens.

    Attributes:
        recalled: The day of the recall in words; empty where none is recorded.
        seen: Of told.toml.
    """

    batch: str
    recalled: str
    seen: str
    today: str
    rows: tuple[TellRow, ...]
    near: tuple[NearRow, ...]
    how: tuple[tuple[str, str], ...]

    @property
    def left(self) -> int:
        """Say how many are still to be told."""
        return sum(row.is_to_tell for row in self.rows)


def recall_pens(state: DeskState, path: str) -> RecallPens | None:
    """Make the pens of the page at a path; None where the batch is not recalled."""
    context = state.current.context
    batch = next(number for number in context.batches if context.batch_pages[number] == path)
    recall = context.recalls.get(batch)
    if recall is None or recall.recalled is None:
        return None
    return RecallPens(
        batch=batch,
        recalled=date_words(recall.recalled),
        seen=seen_digest(state.root, TOLD),
        today=context.catalogue.built_on.isoformat(),
        how=_how(),
        rows=tuple(_row(context, wearer) for wearer in recall.wearers),
        near=tuple(_near(state, recall)),
    )


def _row(context: Context, wearer: Wearer) -> TellRow:
    person = context.catalogue.clients.get(wearer.client or "")
    pieces = dict.fromkeys((use.piece.title, "../" + context.piece_pages[use.piece.id]) for use in wearer.uses)
    return TellRow(
        client=wearer.client or "",
        name=(person.name if person else None) or "",
        contact=(person.contact if person else None) or "",
        pieces=tuple(pieces),
        told=tuple(told_words(told) for told in wearer.told),
        is_to_tell=wearer.is_to_tell,
        picture=thumbnail(context.overviews[wearer.uses[0].piece.id]) if wearer.uses else None,
    )


def _near(state: DeskState, recall: Trace) -> Iterator[NearRow]:
    context = state.current.context
    for near in recall.to_check:
        for use in near.uses:
            href = "../" + context.piece_pages[use.piece.id]
            picture = thumbnail(context.overviews[use.piece.id])
            seen = (seen_digest(state.root, use.piece.toml), seen_digest(state.root, INKS))
            yield NearRow(use.piece.id, use.piece.title, href, near.batch, picture, *seen)


def save_told(state: DeskState, request: Request, fields: Fields) -> Response:
    """Write down that a person was told."""
    with state.writing:
        context, batch = state.current.context, fields.one("batch")
        recall, page = context.recalls.get(batch), context.batch_pages.get(batch)
        if recall is None or page is None:
            raise UsageError(say("This batch is not recalled any more. Nothing was written."))
        day = past_day(fields.one("day"), context.catalogue.built_on) or context.catalogue.built_on
        how = fields.one("how")
        if not how:
            raise UsageError(say("Say how the client was told: by phone, by letter or in person."))
        said = Told(batch="", client="", date=day, how=how)
        entries = tellings(context.book, recall, [fields.one("client")], said)
        if not entries:
            raise UsageError(say("That is on record already."))
        words = say(
            "{client} told {how}, {day}",
            client=fields.one("client"),
            how=within(dict(_how()).get(how, how)),
            day=date_words(day),
        )
        change = Change(words, edited=(told_addition(state.root, entries),))
        return carry_out_at_desk(state, request, change, page)


def save_label(state: DeskState, request: Request, fields: Fields) -> Response:
    """Write down what a label says that was almost the recalled number."""
    context, batch, number = state.current.context, fields.one("batch"), fields.one("number")
    piece = context.catalogue.piece(fields.one("piece"))
    page = context.batch_pages.get(batch)
    if piece is None or piece.record is None or page is None:
        raise UsageError(say("This piece is not in the archive any more. Nothing was written."))
    if fields.one("says") == "other":
        edits: tuple[Edit, ...] = (AddTable(("batch",), {"batch": InkBatch(batch=number).batch}),)
        words = say("{number} is a batch of its own", number=number)
        return save_pen(state, request, fields, Pen(words, INKS, edits, page))
    where = _place_of(piece.record, number)
    if where is None:
        raise UsageError(say("{title} says something else by now. Nothing was written.", title=piece.title))
    words = say("{title}: the label says {batch}", title=piece.title, batch=batch)
    return save_pen(state, request, fields, Pen(words, piece.toml, (SetKey(where, batch),), page))


def _place_of(record: PieceRecord, number: str) -> tuple[str | int, ...] | None:
    inks, needles = ([row.batch for row in record.ink], [row.batch for row in record.needle])
    for name, written in (("ink", inks), ("needle", needles)):
        if number in written:
            return (name, written.index(number), "batch")
    return None


ROUTES = (
    Route("/pen/told", form_handler(save_told), methods=["POST"]),
    Route("/pen/label", form_handler(save_label), methods=["POST"]),
)
