"""Decide what may be public: per piece, photo and reference, with the reasons in plain words.

What is held back by a question (hold) stays out until the answer is
recorded: in the reference (allows) or for the piece (rights_override). References themselves are never
published, whatever their right would allow: nothing of that folder leaves the studio.
"""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.publication.embedded import completed, embedded_in
from archgen.publication.rights import Answer, Rights, answers
from archgen.records.model import Photo, Piece, PieceRecord, Reference, Release, ReleaseStatus, Stage
from archgen.units import date_words

PORTFOLIO_SCOPE = "portfolio"
_DECIDED_HERE = ("embedded.", "image.", "privacy.", "release.", "rights.")


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A photo that is not shown, by its name in the record, and why."""

    file: str
    reason: str


@dataclass(frozen=True, slots=True)
class Publication:
    """What may be public of one piece.

    Attributes:
        wanted: Whether the record asks for it (publish = true).
        shown: Whether the piece is in the portfolio.
        reasons: Why it is not, in plain sentences; empty when it is shown.
        photos: The photos shown, cover first, then healed before fresh; empty when the piece is not shown.
        left_out: The photos of the record that are not shown though the piece may be.
        references: The answers for each reference of the record, in its order.
    """

    wanted: bool
    shown: bool
    reasons: tuple[str, ...]
    photos: tuple[Photo, ...]
    left_out: tuple[LeftOut, ...]
    references: tuple[Rights, ...]


def decide_publication(piece: Piece, catalogue: Catalogue) -> Publication:
    """Decide what may be public of one piece."""
    record = piece.record
    if record is None:
        return Publication(False, False, ("The record cannot be used until its problems are mended.",), (), (), ())
    rights = rights_of(piece, catalogue)
    photos, left_out = _photos(piece, record, catalogue)
    if not record.publish:
        return Publication(False, False, ("publish = true is not set.",), (), left_out, rights)
    settings = catalogue.config.portfolio
    reasons = _errors(piece, catalogue)
    reasons += release_reasons(record.release, catalogue.built_on, required=settings.require_release)
    reasons += rights_reasons(record, rights, required=settings.require_rights)
    if not photos:
        why = left_out[0].reason if left_out else "none is described in the record."
        reasons.append(f"No photo may be shown: {why}")
    shown = not reasons
    return Publication(True, shown, tuple(reasons), photos if shown else (), left_out, rights)


def rights_of(piece: Piece, catalogue: Catalogue) -> tuple[Rights, ...]:
    """Answer the three questions for every reference of a piece, from its record and what its file says."""
    return tuple(
        answers(
            completed(reference, embedded_in(reference, piece, catalogue)),
            today=catalogue.built_on,
            evidence_exists=evidence_exists(piece, number, catalogue),
        )
        for number, reference in enumerate(piece.record.reference if piece.record else ())
    )


def evidence_exists(piece: Piece, number: int, catalogue: Catalogue) -> bool:
    """Say whether nothing was found wrong with the file a reference names under permission."""
    line = piece.lines.get(f"reference.{number}.permission")
    return line is None or not any(
        finding.severity is Severity.ERROR and finding.place.file == piece.toml and finding.place.line == line
        for finding in catalogue.findings_of(piece)
    )


def release_reasons(release: Release, today: dt.date, *, required: bool = True) -> list[str]:
    """Say why the client's release keeps a piece out.

    Without `required` a release that was never asked for keeps nothing out; what the client did say always
    counts.
    """
    if release.status is ReleaseStatus.NOT_ASKED:
        return ["The client has not been asked for a photo release."] if required else []
    if release.status is not ReleaseStatus.GRANTED:
        return [f"The client's photo release is {release.status.value}."]
    if release.expires and release.expires < today:
        return [f"The client's photo release ended on {date_words(release.expires)}."]
    scope = {word.strip().lower() for word in release.scope}
    if PORTFOLIO_SCOPE in scope or not (scope or required):
        return []
    named = f"names {', '.join(sorted(scope))}" if scope else "names no scope"
    return [f'The client\'s photo release {named}, not "{PORTFOLIO_SCOPE}".']


def rights_reasons(record: PieceRecord, rights: Iterable[Rights], *, required: bool = True) -> list[str]:
    """Say which references keep a piece out; a recorded override lifts all but a firm no."""
    lifted = record.rights_override is not None or not required
    reasons = []
    for number, (reference, right) in enumerate(zip(record.reference, rights, strict=True), 1):
        ruling = right.show_piece
        if ruling.answer is Answer.YES or (lifted and not ruling.firm):
            continue
        word = "ask first" if ruling.answer is Answer.HOLD else "no"
        reasons.append(f"{_name(reference, number)}, {word}: {' '.join(ruling.reasons)}")
    return reasons


def _name(reference: Reference, number: int) -> str:
    return reference.file or reference.source or f"Reference {number}"


def _errors(piece: Piece, catalogue: Catalogue) -> list[str]:
    # One of a picture stops that picture only; what rights and releases are is decided here anew.
    return [
        f"{finding.place}: {finding.problem}"
        for finding in catalogue.findings_of(piece)
        if finding.severity is Severity.ERROR and not finding.code.startswith(_DECIDED_HERE)
    ]


def _photos(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> tuple[tuple[Photo, ...], tuple[LeftOut, ...]]:
    shown, left_out = [], []
    for photo in record.photo:
        reason = _photo_reason(photo, piece, catalogue)
        if reason is None:
            shown.append(photo)
        else:
            left_out.append(LeftOut(photo.file, reason))
    for photo, chosen in _other_frames(piece, shown, catalogue):
        shown.remove(photo)
        reason = f"It shows the same moment as {chosen.file}; set publish = true to show both."
        left_out.append(LeftOut(photo.file, reason))
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


def _photo_reason(photo: Photo, piece: Piece, catalogue: Catalogue) -> str | None:
    if not photo.may_publish:
        if photo.publish is False:
            return "publish = false is set for this photo."
        return "Its stage is in-progress or not recorded; set publish = true to show it."
    facts = catalogue.picture(piece, photo.file)
    if facts is None:
        return "The picture is missing or cannot be read."
    return None if facts.public else "No copy for the public was made of this picture."
