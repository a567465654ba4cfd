"""Decide what may be public: per piece, photo and reference, with the reasons in plain words.

What is held back by a question stays out until the answer is recorded: at the reference (allows, likeness, used,
made_from) or for the piece (rights_override). References themselves are never published, whatever their right would
allow: nothing of that folder leaves the studio.
"""

from collections.abc import Iterable, Iterator, Mapping
from enum import Enum

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.languages.house import say
from archgen.publication.gate import Answer, LiftedBy
from archgen.publication.held_photos import why_held
from archgen.publication.misread import (
    is_understood,
    is_unreachable,
    photos_not_understood,
    record_errors,
    release_trouble,
    whole_record_trouble,
)
from archgen.publication.reference_rights import Rights, reference_name, rights_of, undescribed_rights
from archgen.publication.releases import release_reasons
from archgen.publication.rights import Ruling
from archgen.records.designs.model import DESIGNS
from archgen.records.model import Photo, Piece, PieceRecord, Stage
from archgen.values.frozen import Value

# What is found under these codes is decided here anew, or by what stands in the record.
_DECIDED_HERE = ("embedded.", "image.", "photo.", "privacy.", "record.", "release.", "rights.")


class Obstacle(Enum):
    """What kind of reason leaves a photo out."""

    FORBIDDEN = "it may not be shown"
    OTHER_FRAME = "another photo of the moment is shown"
    UNREADABLE = "its file could not be read"


class LeftOut(Value, frozen=True):
    """A photo that is not shown, by its name in the record, and why."""

    file: str
    reason: str
    obstacle: Obstacle = Obstacle.FORBIDDEN


class Publication(Value, frozen=True):
    """What may be public of one piece.

    Attributes:
        wanted: Whether the record asks for it (publish = true).
        shown: Whether the piece is in the portfolio.
        is_forbidden: Whether it may not be shown (yet); else, when it is not shown, it only could not be, since its
            record or its pictures could not be read.
        reasons: Why it is not shown, in plain sentences; empty when it is.
        photos: The photos shown, cover first, then healed before fresh; empty when the piece is not shown.
        sound_photos: The same where only the piece keeps them in.
        left_out: The photos of the record that are not shown though the piece may be.
        references: The answers for each reference of the record, in its order.
        undescribed: The answers for each picture among the references that the record does not describe, by its path.
    """

    wanted: bool
    shown: bool
    is_forbidden: bool
    reasons: tuple[str, ...]
    photos: tuple[Photo, ...] = ()
    sound_photos: tuple[Photo, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    references: tuple[Rights, ...] = ()
    undescribed: tuple[tuple[str, Rights], ...] = ()


def decide_publication(piece: Piece, catalogue: Catalogue) -> Publication:
    """Decide what may be public of one piece."""
    record, undescribed = piece.record, undescribed_rights(piece, catalogue)
    if record is None:
        reason = say("The record can't be used until its problems are fixed.")
        is_forbidden = not is_unreachable(piece, catalogue)
        return Publication(False, False, is_forbidden, reasons=(reason,), undescribed=undescribed)
    rights = rights_of(piece, catalogue)
    photos, left_out = _photos(piece, record, catalogue)
    reasons = [_unwanted(piece, catalogue)]
    if record.publish:
        reasons = _reasons(piece, record, catalogue, rights, undescribed)
    is_forbidden = bool(reasons) or not (photos or any(left.obstacle is Obstacle.UNREADABLE for left in left_out))
    if record.publish and not photos:
        why = left_out[0].reason if left_out else say("none is described in the record.")
        of_design = say("No picture may be shown: {why}", why=why)
        reasons.append(of_design if piece.home == DESIGNS else say("No photo may be shown: {why}", why=why))
    return Publication(
        wanted=record.publish,
        shown=not reasons,
        is_forbidden=is_forbidden,
        reasons=tuple(reasons),
        photos=() if reasons else photos,
        sound_photos=photos,
        left_out=left_out,
        references=rights,
        undescribed=undescribed,
    )


def decide_all(catalogue: Catalogue) -> dict[str, Publication]:
    """Decide what may be public of every piece and every design, by its id."""
    return {piece.id: decide_publication(piece, catalogue) for piece in catalogue.to_show}


def waiting_for_copies(catalogue: Catalogue, publications: Mapping[str, Publication]) -> Iterator[str]:
    """Give the paths of the photos that may be public as far as is known, and have no copies for the public yet."""
    for piece in catalogue.to_show:
        decision = publications[piece.id]
        if not decision.is_forbidden:
            unread = (left.file for left in decision.left_out if left.obstacle is Obstacle.UNREADABLE)
            files = (*(photo.file for photo in decision.photos), *unread)
            paths = (f"{piece.folder}/{file}" for file in files)
            yield from (path for path in paths if path not in catalogue.facts or not catalogue.facts[path].public)


def _unwanted(piece: Piece, catalogue: Catalogue) -> str:
    if not is_understood("publish", piece, catalogue):
        return say("Whether it is to be published isn't understood.")
    return say("You haven't asked for it to be published.")


def _reasons(
    piece: Piece,
    record: PieceRecord,
    catalogue: Catalogue,
    rights: Iterable[Rights],
    undescribed: Iterable[tuple[str, Rights]],
) -> list[str]:
    settings = catalogue.config.portfolio
    reasons = [*whole_record_trouble(piece, catalogue), *_foreign_errors(piece, catalogue)]
    trouble = release_trouble(piece, catalogue)
    reasons += [say("The photo release isn't understood: {problem}", problem=problem) for problem in trouble]
    is_design = piece.home == DESIGNS
    if not trouble and not is_design:  # nobody wears a design yet
        reasons += release_reasons(record.release, catalogue.built_on, required=settings.require_release)
    names = [reference_name(reference, number) for number, reference in enumerate(record.reference)]
    for name, right in (*zip(names, rights, strict=True), *undescribed):
        if right.counts:
            lifted = lifts(piece, record, catalogue)
            reasons += _rights_reasons(name, right.picture.show_piece, right.person.show_piece, lifted)
            if is_design:  # it is offered to be tattooed
                reasons += _rights_reasons(name, right.picture.use, right.person.use, lifted)
    return list(dict.fromkeys(reasons))


def _foreign_errors(piece: Piece, catalogue: Catalogue) -> list[str]:
    """Say what rules of other packages found that stops a piece."""
    return [
        f"{finding.place}: {finding.problem}"
        for finding in catalogue.findings_of(piece)
        if finding.severity is Severity.ERROR and not finding.code.startswith(_DECIDED_HERE)
    ]


def lifts(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> frozenset[LiftedBy]:
    """Give what lifts open questions about the rights to a piece's references: the studio's settings, its override."""
    found = set() if catalogue.config.portfolio.require_rights else {LiftedBy.SETTING}
    if override_counts(piece, record, catalogue):
        found |= {LiftedBy.SETTING, LiftedBy.OVERRIDE}
    return frozenset(found)


def override_counts(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> bool:
    """Say whether the artist's decision to publish all the same is there, understood, and its day has come."""
    override = record.rights_override
    if override is None or any(
        finding.key.startswith("rights_override") for finding in record_errors(piece, catalogue)
    ):
        return False
    return override.date is None or override.date <= catalogue.built_on


def _rights_reasons(name: str, picture: Ruling, person: Ruling, lifted: frozenset[LiftedBy]) -> list[str]:
    """Say why one reference keeps a piece out: its right, and on a line of its own a person shown."""
    reasons = []
    if picture.answer is not Answer.YES and picture.lifted_by not in lifted:
        reasons.append(_sentence(name, picture))
    if person.answer is not Answer.YES:
        reasons.append(_sentence(name, person))
    return reasons


def _sentence(name: str, ruling: Ruling) -> str:
    first = " " + say("Ask first.") if ruling.answer is Answer.HOLD else ""
    return f"{name}:{first} {' '.join(ruling.reasons)}"


def _photos(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> tuple[tuple[Photo, ...], tuple[LeftOut, ...]]:
    shown: list[Photo] = []
    left_out: list[LeftOut] = []
    unclear = photos_not_understood(piece, catalogue)
    refused = {one.file for at, one in enumerate(record.photo) if one.publish is False or at in unclear}
    for number, photo in enumerate(record.photo):
        unwanted = _why_unwanted(photo, is_clear=number not in unclear, is_refused=photo.file in refused)
        left = LeftOut(photo.file, unwanted) if unwanted else _left_out(photo, piece, catalogue)
        if left is None:
            shown.append(photo)
        else:
            left_out.append(left)
    for photo, chosen in _other_frames(piece, shown, catalogue):
        shown.remove(photo)
        reason = say("It shows the same moment as {file}; set publish = true to show both.", file=chosen.file)
        left_out.append(LeftOut(photo.file, reason, Obstacle.OTHER_FRAME))
    order = {Stage.HEALED: 0, Stage.FRESH: 1}
    shown.sort(key=lambda photo: (not photo.cover, order.get(photo.stage, 2) if photo.stage else 3))
    return tuple(shown), tuple(left_out)


def _other_frames(piece: Piece, shown: Iterable[Photo], catalogue: Catalogue) -> list[tuple[Photo, Photo]]:
    """Find the photos that show one moment with another that is shown: with a cover, else with the first."""
    by_path = {f"{piece.folder}/{photo.file}": photo for photo in shown}
    found = []
    for moment in catalogue.twins.moments:
        frames = [path for path in moment if path in by_path]
        chosen = min(frames, key=lambda path: (not by_path[path].cover, by_path[path].publish is not True), default="")
        others = [path for path in frames if path != chosen and not _asked_for(by_path[path])]
        found += [(by_path.pop(path), by_path[chosen]) for path in others]
    return found


def _asked_for(photo: Photo) -> bool:
    return photo.cover or photo.publish is True


def _why_unwanted(photo: Photo, *, is_clear: bool, is_refused: bool) -> str | None:
    """Say how the record keeps a photo in; None when it is to be shown.

    `is_refused` is whether some entry for its file says that it is not to be shown, or says nothing understood.
    """
    if not is_clear:
        return say("Whether this photo is to be shown isn't understood.")
    if photo.publish is False:
        return say("publish = false is set for this photo.")
    if is_refused:
        return say("This photo stands in the record twice, and once it isn't to be shown.")
    if not photo.may_publish:
        return say("Its stage is in-progress or not recorded; set publish = true to show it.")
    return None


def _left_out(photo: Photo, piece: Piece, catalogue: Catalogue) -> LeftOut | None:
    if held := why_held(photo, piece, catalogue):
        return LeftOut(photo.file, held)
    if catalogue.picture(piece, photo.file) is None:
        return LeftOut(photo.file, say("The picture is missing or can't be read."), Obstacle.UNREADABLE)
    return None
