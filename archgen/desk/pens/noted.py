"""What was noted before on a place or a client, where it is needed: beside the print of a piece, while one is filed."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from archgen.desk.answering import desk_of
from archgen.desk.filing.people import meant_client
from archgen.desk.state import DeskState
from archgen.outputs.archive.context import Context
from archgen.quoting.earlier_notes import EarlierNote, earlier_notes, noted_before
from archgen.records.model import Piece
from archgen.records.vocabulary.placements import find_placement
from archgen.wording.planning.notes import note_words

_LONGEST = 200


@dataclass(frozen=True, slots=True)
class NotedRow:
    """A note with the page of its piece, from the desk's first folder."""

    title: str
    words: str
    href: str


def noted_about(state: DeskState, piece: Piece) -> tuple[NotedRow, ...]:
    """Give what was noted on other pieces there, or on this client."""
    context = state.current.context
    others = (one for one in context.catalogue.pieces if one.id != piece.id)
    return _rows(noted_before(piece, others), context)


def _rows(notes: Sequence[EarlierNote], context: Context) -> tuple[NotedRow, ...]:
    return tuple(NotedRow(one.title, one.facts, context.piece_pages[one.piece]) for one in note_words(notes))


def noted(request: Request) -> Response:
    """Answer while a piece is filed: for its place and its client as they stand in the form."""
    state = desk_of(request)
    context = state.current.context
    typed = {name: request.query_params.get(name, "").strip()[:_LONGEST] for name in ("place", "client", "code")}
    place = find_placement(typed["place"]).place if typed["place"] else None
    used = frozenset(piece.record.client for piece in context.catalogue.pieces if piece.record and piece.record.client)
    client = meant_client(typed["client"], typed["code"], context.catalogue.clients, used)
    code = client.code if client else None
    notes = earlier_notes(context.catalogue.pieces, place.id if place else None, code)
    return JSONResponse([asdict(row) for row in _rows(notes, context)])


ROUTES = (Route("/noted", noted),)
