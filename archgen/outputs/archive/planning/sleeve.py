"""The page with a client's arms and legs laid flat: pieces to one scale, free skin, what was noted for later."""

from archgen.languages.house import say, say_count
from archgen.limbs.free_skin import wraps
from archgen.limbs.sleeve import Sleeve, UnrolledLimb, lay_out
from archgen.limbs.wishes import wishes_of
from archgen.outputs.archive.body import Body, Figure
from archgen.outputs.archive.context import Context, Site, thumbnail
from archgen.outputs.archive.piece.lineage import LineageDrawing, draw_marks
from archgen.outputs.limb_drawing import DrawnLimb, SleeveRow, draw_limb, sleeve_row
from archgen.outputs.site_pages import PagePicture
from archgen.pieces.overview import PieceOverview
from archgen.records.model import Placement
from archgen.units import length_words
from archgen.values.frozen import Value
from archgen.wording.planning.sleeves import (
    FLAT,
    HATCHED,
    counted_words,
    left_out_words,
    noted_words,
    wrap_range,
)

# New pieces of these widths are said.
_WIDTHS_MM, _WIDTHS_IN = (40.0, 60.0, 80.0, 100.0, 150.0), tuple(25.4 * width for width in (1.5, 2, 3, 4, 6))


class RowOfSleeve(Value, frozen=True):
    """A piece in the list with its page and picture."""

    row: SleeveRow
    href: str
    picture: PagePicture | None


class LimbOnPage(Value, frozen=True):
    """A limb with the stencils of its pieces by their ids, and how far new pieces would go round it."""

    limb: DrawnLimb
    stencils: dict[str, LineageDrawing]
    wraps: tuple[tuple[str, tuple[str, ...]], ...]


class SleeveView(Value, frozen=True):
    """The page; `code` is also how the sheet is asked for."""

    site: Site
    code: str
    client: str
    summary: str
    body: Body | None
    rows: tuple[RowOfSleeve, ...]
    left_out: tuple[str, ...]
    limbs: tuple[LimbOnPage, ...]
    hrefs: dict[str, str]
    plans: tuple[str, ...]
    basis: tuple[str, ...]


def sleeve_view(context: Context, code: str, figure: Figure) -> SleeveView:
    """Make the page of one client."""
    pieces, units = context.by_client[code][::-1], context.units
    sleeve = lay_out(pieces)
    places = [overview.record.placement if overview.record else Placement() for overview in pieces]
    hrefs = {overview.id: f"../{context.piece_pages[overview.id]}" for overview in pieces}
    limbs = _limbs(sleeve, pieces, units)
    of_limb = {piece.id: limb for limb in sleeve.limbs for piece in limb.pieces}
    basis = (say(FLAT), *((say(HATCHED),) if any(one.limb.is_loose for one in limbs) else ()), counted_words(units))
    return SleeveView(
        site=context.site,
        code=code,
        client=f"../{context.client_pages[code]}",
        summary=say_count("{number} piece, the oldest first", "{number} pieces, the oldest first", len(pieces)),
        body=figure.numbered(places),
        rows=tuple(
            RowOfSleeve(
                sleeve_row(overview, number, of_limb.get(overview.id), units), hrefs[overview.id], thumbnail(overview)
            )
            for number, overview in enumerate(pieces, 1)
        ),
        left_out=tuple(map(left_out_words, sleeve.left_out)),
        limbs=limbs,
        hrefs=hrefs,
        plans=tuple(map(noted_words, wishes_of(pieces, context.catalogue.clients.get(code)))),
        basis=basis,
    )


def made_of_sleeve(context: Context, code: str) -> tuple[object, ...]:
    """Give all that shapes the page: what `sleeve_view` asks for."""
    return context.digest, context.by_client[code], context.catalogue.clients.get(code), context.client_pages[code]


def _limbs(sleeve: Sleeve, pieces: tuple[PieceOverview, ...], units: str) -> tuple[LimbOnPage, ...]:
    stencils = {}
    for overview in pieces:
        applied = overview.applied
        drawing = draw_marks(applied.stencil, applied.facts, 1.0) if applied and applied.facts else None
        if drawing:
            stencils[overview.id] = drawing
    return tuple(_on_page(limb, stencils, units) for limb in sleeve.limbs)


def _on_page(limb: UnrolledLimb, stencils: dict[str, LineageDrawing], units: str) -> LimbOnPage:
    return LimbOnPage(
        draw_limb(limb, units),
        {piece.id: stencils[piece.id] for piece in limb.pieces if piece.id in stencils},
        tuple(
            (length_words(width, units), tuple(wrap_range(wraps(limb, part, width)) for part in (0, 1)))
            for width in (_WIDTHS_IN if units == "in" else _WIDTHS_MM)
        ),
    )
