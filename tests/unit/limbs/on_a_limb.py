"""Pieces of one client on limbs, with as much in their records as a test asks for."""

from archgen.limbs.sleeve import lay_out
from archgen.pieces.survey import survey
from archgen.records import model
from tests.builders import make_piece, paper_catalogue


def limb_piece(number, region, side="right", size=(60, 90), **placement):
    """A piece with a place and a size; side or size None: not recorded."""
    girth = placement.pop("girth", None)
    record = model.PieceRecord(
        title=f"Piece {number}",
        client="C-1",
        size=model.Size(width=model.Length(size[0]), height=model.Length(size[1])) if size else model.Size(),
        placement=model.Placement(
            region=region,
            side=model.Side(side) if side else None,
            girth=None if girth is None else model.Length(girth),
            note=placement.pop("note", None),
        ),
    )
    return make_piece(f"2026-01-{number:02}-piece", record, notes=placement.pop("notes", None), **placement)


def overviews(tmp_path, *pieces, **changes):
    """What follows from pieces, in their order."""
    surveyed = survey(paper_catalogue(tmp_path, *pieces, **changes))
    return tuple(surveyed.overviews[piece.id] for piece in pieces)


def laid_out(tmp_path, *pieces, asked=None):
    """Their limbs."""
    return lay_out(overviews(tmp_path, *pieces), asked)
