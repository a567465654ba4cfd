"""The clients: an index by code, and for each the pieces numbered on the body figure."""

from collections.abc import Iterable, Sequence

from archgen.languages.house import say, say_count
from archgen.outputs.archive.body import Body, Figure
from archgen.outputs.archive.context import Context, Site, pieces_words, thumbnail
from archgen.outputs.archive.list_scripts import ScriptedRows
from archgen.outputs.site_pages import PagePicture, PageTurns
from archgen.pieces.followup import DueKind
from archgen.pieces.overview import PieceOverview
from archgen.records.model import PieceRecord
from archgen.units import hours_words
from archgen.values.frozen import Value
from archgen.wording.pieces import (
    Mark,
    finished_words,
    place_of,
    placement_words,
    release_mark,
    size_on_skin,
)


class ClientRow(Value, frozen=True):
    """One line of the index."""

    code: str
    href: str
    pieces: str
    years: str
    pictures: tuple[PagePicture, ...]
    asks: Mark | None


class ClientIndex(Value, frozen=True):
    """A page of the clients.

    Attributes:
        total: How many there are on all pages.
        without: How many pieces name none.
        parts: The scripts with the rows of all pages, where there are several.
    """

    site: Site
    rows: tuple[ClientRow, ...]
    turns: PageTurns
    total: int
    without: int
    parts: tuple[str, ...]


class NumberedPiece(Value, frozen=True):
    """One piece of a client; number None: its place cannot be shown in the figure."""

    number: int
    href: str
    title: str
    picture: PagePicture | None
    placement: str
    size: str
    date: str
    mark: Mark


class ClientView(Value, frozen=True):
    """The page of a client; name and contact stay folded away until asked for.

    Attributes:
        sleeve: The page with their limbs laid flat; empty where there is none.
    """

    site: Site
    code: str
    summary: str
    body: Body | None
    pieces: tuple[NumberedPiece, ...]
    not_shown: tuple[str, ...]
    register: tuple[tuple[str, str], ...]
    sleeve: str


# Pictures in a line of the index.
_ROW_PICTURES = 4


def client_rows(context: Context) -> tuple[ClientRow, ...]:
    """Make a line for each client, by code."""
    return tuple(_row(context, code) for code in context.by_client)


def client_index(
    context: Context, listed: ScriptedRows[ClientRow], rows: Sequence[ClientRow], turns: PageTurns
) -> ClientIndex:
    """Make a page of the index."""
    return ClientIndex(context.site, tuple(rows), turns, len(listed.rows), context.without_client, listed.part_paths)


def _row(context: Context, code: str) -> ClientRow:
    pieces = context.by_client[code]
    small = [small for piece in pieces if (small := thumbnail(piece))]
    due = [item for piece in pieces for item in piece.follow_up.due]
    asking = sum(item.kind is DueKind.RELEASE and item.is_now for item in due)
    words = say_count("{number} release to ask for", "{number} releases to ask for", asking)
    return ClientRow(
        code=code,
        href=context.client_pages[code],
        pieces=pieces_words(len(pieces)),
        years=_years(pieces),
        pictures=tuple(small[:_ROW_PICTURES]),
        asks=Mark("release-notasked", words, asks=True) if asking else None,
    )


def _years(pieces: Iterable[PieceOverview]) -> str:
    years = sorted({day.year for piece in pieces if (day := piece.finished_on)})
    if not years:
        return ""
    return (
        str(years[0]) if years[0] == years[-1] else say("{first} to {last}", first=str(years[0]), last=str(years[-1]))
    )


def client_view(context: Context, code: str, figure: Figure) -> ClientView:
    """Make the page of one client."""
    pieces = [(piece, piece.record) for piece in context.by_client[code] if piece.record]
    hours = [record.hours for _, record in pieces if record.hours is not None]
    summary = [
        pieces_words(len(pieces)),
        _years(piece for piece, _ in pieces),
        hours_words(sum(hours)) if hours else "",
    ]
    places = [record.placement for _, record in pieces]
    words = ", ".join(f"{number} {placement_words(place)}" for number, place in enumerate(places, 1) if place.region)
    client = context.catalogue.clients.get(code)
    register = (
        (
            (say("Name"), client.name),
            (say("Contact"), client.contact),
            (say("Note"), client.note),
            (say("Notes"), client.notes),
        )
        if client
        else ()
    )
    return ClientView(
        site=context.site,
        code=code,
        summary=", ".join(part for part in summary if part),
        body=figure.body(
            places,
            say("Body figure with the places of this client's pieces marked: {words}", words=words),
            numbered=True,
        ),
        pieces=tuple(_numbered(context, number, *piece) for number, piece in enumerate(pieces, 1)),
        not_shown=tuple(piece.title for piece, record in pieces if not figure.marked(record.placement)),
        register=tuple((label, text) for label, text in register if text),
        sleeve=context.sleeve_pages.get(code, ""),
    )


def _numbered(context: Context, number: int, overview: PieceOverview, record: PieceRecord) -> NumberedPiece:
    return NumberedPiece(
        number=number,
        href="../" + context.piece_pages[overview.id],
        title=overview.title,
        picture=thumbnail(overview),
        placement=place_of(overview.piece) or say("Placement not recorded"),
        size=size_on_skin(overview, context.units) or say("Size not recorded"),
        date=finished_words(overview) or "",
        mark=release_mark(record.release, context.catalogue.built_on, overview.piece.written_release),
    )
