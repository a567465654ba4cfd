"""The clients: an index by code, and for each the pieces numbered on the body figure."""

from dataclasses import dataclass

from archgen.outputs.archive.body import Body, Figure
from archgen.outputs.archive.context import Context, Site, pieces_words
from archgen.outputs.site_pages import PagePicture
from archgen.records.model import Piece, Placement
from archgen.units import hours_words, size_words
from archgen.wording.pieces import Mark, count_words, day_words, placement_words, release_mark


@dataclass(frozen=True, slots=True)
class ClientRow:
    """One line of the index."""

    code: str
    href: str
    pieces: str
    years: str
    pictures: tuple[PagePicture, ...]
    asks: Mark | None


@dataclass(frozen=True, slots=True)
class ClientIndex:
    """All clients."""

    site: Site
    rows: tuple[ClientRow, ...]
    without: int


@dataclass(frozen=True, slots=True)
class NumberedPiece:
    """One piece of a client; number None: its place cannot be shown in the figure."""

    number: int
    href: str
    title: str
    picture: PagePicture | None
    placement: str
    size: str
    date: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class ClientView:
    """The page of a client; name and contact stay folded away until asked for."""

    site: Site
    code: str
    summary: str
    body: Body | None
    pieces: tuple[NumberedPiece, ...]
    not_shown: tuple[str, ...]
    register: tuple[tuple[str, str], ...]


# Pictures in a line of the index.
_ROW_PICTURES = 4


def client_index(context: Context) -> ClientIndex:
    """Make the index."""
    pieces = context.catalogue.pieces
    without = sum(piece.record is not None and piece.record.client is None for piece in pieces)
    return ClientIndex(context.site, tuple(_row(context, code) for code in context.clients), without)


def _row(context: Context, code: str) -> ClientRow:
    pieces = context.pieces_by_client.get(code, ())
    small = [thumb for piece in pieces if (thumb := context.thumbnail(piece, wanted_px=160))]
    today = context.catalogue.built_on
    asking = sum(release_mark(piece.record.release, today).asks for piece in pieces if piece.record)
    words = f"{count_words(asking, 'release')} to ask for"
    return ClientRow(
        code=code,
        href=context.client_pages[code],
        pieces=pieces_words(len(pieces)),
        years=_years(pieces),
        pictures=tuple(small[:_ROW_PICTURES]),
        asks=Mark("release-notasked", words, asks=True) if asking else None,
    )


def _years(pieces: tuple[Piece, ...]) -> str:
    years = sorted({day.year for piece in pieces if piece.record and (day := piece.record.finished_on)})
    if not years:
        return ""
    return str(years[0]) if years[0] == years[-1] else f"{years[0]} to {years[-1]}"


def client_view(context: Context, code: str, figure: Figure) -> ClientView:
    """Make the page of one client."""
    pieces = context.pieces_by_client.get(code, ())
    placements = [piece.record.placement if piece.record else Placement() for piece in pieces]
    hours = [piece.record.hours for piece in pieces if piece.record and piece.record.hours is not None]
    summary = [pieces_words(len(pieces)), _years(pieces), hours_words(sum(hours)) if hours else ""]
    words = ", ".join(
        f"{number} {placement_words(placement)}" for number, placement in enumerate(placements, 1) if placement.region
    )
    client = context.catalogue.clients.get(code)
    register = (
        (("Name", client.name), ("Contact", client.contact), ("Note", client.note), ("Notes", client.notes))
        if client
        else ()
    )
    return ClientView(
        site=context.site,
        code=code,
        summary=", ".join(part for part in summary if part),
        body=figure.body(
            placements, f"Body figure with the places of this client's pieces marked: {words}", numbered=True
        ),
        pieces=tuple(_numbered(context, number, piece) for number, piece in enumerate(pieces, 1)),
        not_shown=tuple(
            piece.title for piece, placement in zip(pieces, placements, strict=True) if not figure.marked(placement)
        ),
        register=tuple((label, text) for label, text in register if text),
    )


def _numbered(context: Context, number: int, piece: Piece) -> NumberedPiece:
    record = piece.record
    assert record is not None  # noqa: S101 - pieces_by_client has none without
    return NumberedPiece(
        number=number,
        href="../" + context.piece_pages[piece.id],
        title=piece.title,
        picture=context.thumbnail(piece, wanted_px=160),
        placement=placement_words(record.placement) or "Placement not recorded",
        size=size_words(record.size.width, record.size.height, context.units) or "Size not recorded",
        date=day_words(record.finished_on) or "",
        mark=release_mark(record.release, context.catalogue.built_on),
    )
