"""Say where a new picture is filed already, and what the filed one is, in studio words."""

from archgen.catalogue import Catalogue
from archgen.doubles.paths import folder_of
from archgen.intake.comparing.likeness import FiledTwin
from archgen.intake.plan import FiledAlready, PlannedPicture
from archgen.languages.house import say, within
from archgen.picture_facts.photo_days import taken_on
from archgen.records.model import Photo, Piece
from archgen.twins.model import Relation
from archgen.wording.pieces import STAGE_WORDS


def filed_already(picture: PlannedPicture, twin: FiledTwin, catalogue: Catalogue, *, is_gray: bool) -> FiledAlready:
    """Describe the filed picture that a new one is a copy of."""
    piece = catalogue.piece_at(twin.path)
    photo = _photo(piece, twin.path)
    return FiledAlready(
        picture=picture,
        piece=piece.id if piece else "",
        title=piece.record.title if piece and piece.record else (piece.id if piece else twin.path),
        path=twin.path,
        words=copy_words(twin, is_gray=is_gray),
        place=_place(piece, photo, twin.path),
        filed_on=taken_on(photo, catalogue.facts.get(twin.path)),
        is_same_file=twin.is_same_file,
    )


def copy_words(twin: FiledTwin, *, is_gray: bool) -> str:
    """Say what a new picture is to the filed one of which it is a copy, to stand before its name."""
    if twin.is_same_file:
        return say("The same file as")
    if twin.mirrored:
        return say("A mirrored copy of")
    if is_gray and twin.relation is not Relation.IDENTICAL:
        return say("A black-and-white copy of")
    return {
        Relation.IDENTICAL: say("The same picture, saved anew, as"),
        Relation.TURNED: say("A turned copy of"),
        Relation.CROPPED: say("A part of, or a wider view of,"),
    }.get(twin.relation, say("An edited copy of"))


def _place(piece: Piece | None, photo: Photo | None, path: str) -> str:
    folder = folder_of(path)
    if folder != "photos" or piece is None:
        kinds = {"stencils": say("a stencil"), "references": say("a reference")}
        return kinds.get(folder, say("a photo"))
    number = piece.photos.index(path) + 1 if path in piece.photos else 1
    firsts = {1: say("first photo"), 2: say("second photo"), 3: say("third photo")}
    order = firsts.get(number, say("{number}th photo", number=number))
    return f"{within(say(STAGE_WORDS[photo.stage]))}, {order}" if photo and photo.stage else order


def _photo(piece: Piece | None, path: str) -> Photo | None:
    if piece is None or piece.record is None:
        return None
    return next((photo for photo in piece.record.photo if f"{piece.folder}/{photo.file}" == path), None)
