"""Decide what may be public: per piece, photo and reference, with the reasons in plain words.

`decide` is what the pages show; `clear` turns a catalogue into values without a single private field, and
these are all the portfolio ever gets. What is held back by a question (hold) stays out until the answer is
recorded: in the reference (allows) or for the piece (rights_override). References themselves are never
published, whatever their right would allow: nothing of that folder leaves the studio.
"""

import datetime as dt
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from typing import Any

from archgen.audit.rights import Answer, Rights, answers
from archgen.catalogue import Catalogue
from archgen.config import PortfolioSettings
from archgen.findings import Severity
from archgen.images.facts import Derivative
from archgen.records.licences import license_url, license_words
from archgen.records.model import Photo, Piece, PieceRecord, Reference, Release, ReleaseStatus, Side, Stage

PORTFOLIO_SCOPE = "portfolio"


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


def decide(piece: Piece, catalogue: Catalogue) -> Publication:
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
    """Answer the three questions for every reference of a piece."""
    return tuple(
        answers(reference, today=catalogue.built_on, evidence_exists=evidence_exists(piece, number, catalogue))
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
        return [f"The client's photo release ended on {release.expires.isoformat()}."]
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
    # One of a picture stops that picture only; what a rule found is decided here anew.
    return [
        f"{finding.place}: {finding.problem}"
        for finding in catalogue.findings_of(piece)
        if finding.severity is Severity.ERROR and finding.code.startswith("record.")
    ]


def _photos(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> tuple[tuple[Photo, ...], tuple[LeftOut, ...]]:
    shown, left_out = [], []
    for photo in record.photo:
        reason = _photo_reason(photo, piece, catalogue)
        if reason is None:
            shown.append(photo)
        else:
            left_out.append(LeftOut(photo.file, reason))
    order = {Stage.HEALED: 0, Stage.FRESH: 1}
    shown.sort(key=lambda photo: (not photo.cover, order.get(photo.stage, 2) if photo.stage else 3))
    return tuple(shown), tuple(left_out)


def _photo_reason(photo: Photo, piece: Piece, catalogue: Catalogue) -> str | None:
    if not photo.may_publish:
        if photo.publish is False:
            return "publish = false is set for this photo."
        return "Its stage is in-progress or not recorded; set publish = true to show it."
    facts = catalogue.picture(piece, photo.file)
    if facts is None:
        return "The picture is missing or cannot be read."
    return None if facts.public else "No copy for the public was made of this picture."


@dataclass(frozen=True, slots=True)
class ClearedPhoto:
    """A photo that may be shown; days_after counts from the day the piece was finished."""

    alt: str
    stage: Stage | None
    days_after: int | None
    copies: tuple[Derivative, ...]


@dataclass(frozen=True, slots=True)
class Credit:
    """What one reference asks to be said beside the tattoo."""

    creator: str | None
    source_url: str | None
    licence: str | None
    licence_url: str | None
    made_by_model: str | None
    is_ai: bool


@dataclass(frozen=True, slots=True)
class ClearedPiece:
    """A piece as the public may see it."""

    slug: str
    title: str
    styles: tuple[str, ...]
    subjects: tuple[str, ...]
    region: str | None
    side: Side | None
    width_mm: float | None
    height_mm: float | None
    sittings: int
    hours: float | None
    year: int | None
    month: int | None
    story: str | None
    photos: tuple[ClearedPhoto, ...]
    credits: tuple[Credit, ...]


@dataclass(frozen=True, slots=True)
class ClearedCatalogue:
    """Everything the portfolio gets; newest piece first."""

    settings: PortfolioSettings
    language: str
    units: str
    pieces: tuple[ClearedPiece, ...]


def clear(catalogue: Catalogue) -> ClearedCatalogue:
    """Keep of a catalogue what may be public."""
    decided = [(piece, decide(piece, catalogue)) for piece in catalogue.pieces]
    shown = [(piece, publication) for piece, publication in decided if publication.shown]
    slugs = slugs_of(piece for piece, _ in shown)
    return ClearedCatalogue(
        settings=_visible_settings(catalogue.config.portfolio),
        language=catalogue.config.archive.language,
        units=catalogue.config.archive.units,
        pieces=tuple(_cleared(piece, publication, catalogue, slugs[piece.id]) for piece, publication in shown),
    )


def _visible_settings(settings: PortfolioSettings) -> PortfolioSettings:
    texts = {field.name: getattr(settings, field.name) for field in fields(settings)}
    changed: dict[str, Any] = {name: visible(text) for name, text in texts.items() if isinstance(text, str)}
    return replace(settings, **changed)


# Control signs, and what neither HTML nor XML allows: nothing of it can be seen, some of it reorders text.
_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")


def visible(text: str) -> str:
    """Leave out signs that cannot be seen and have no place on a page."""
    return _UNSEEN.sub("", text.replace("\r\n", "\n"))


def _visible_or_none(text: str | None) -> str | None:
    return visible(text) if text else None


def slugs_of(pieces: Iterable[Piece]) -> dict[str, str]:
    """Give each piece a public name made from its title; folder names may hold what is private.

    The oldest piece of a title keeps the plain name, so that its address stays when a younger one comes.
    """
    taken: set[str] = set()
    slugs: dict[str, str] = {}
    for piece in sorted(pieces, key=lambda piece: piece.id):
        plain = slug(piece.title) or "piece"
        name, number = plain, 1
        while name in taken:
            number += 1
            name = f"{plain}-{number}"
        taken.add(name)
        slugs[piece.id] = name
    return slugs


def slug(text: str) -> str:
    """Write text as lower-case words joined by hyphens; accents go, letters of other scripts stay."""
    plain = unicodedata.normalize("NFKD", text)
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign)).casefold()
    return re.sub(r"[\W_]+", "-", unicodedata.normalize("NFC", plain)).strip("-")[:60].strip("-")


def _cleared(piece: Piece, publication: Publication, catalogue: Catalogue, slug_of_piece: str) -> ClearedPiece:
    record = piece.record
    assert record is not None  # noqa: S101 (a piece without a record is never shown)
    finished = record.finished_on
    return ClearedPiece(
        slug=slug_of_piece,
        title=visible(record.title),
        styles=tuple(map(visible, record.styles)),
        subjects=tuple(map(visible, record.subjects)),
        region=_visible_or_none(record.placement.region),
        side=record.placement.side,
        width_mm=record.size.width,
        height_mm=record.size.height,
        sittings=len(record.sitting),
        hours=record.hours,
        year=finished.year if finished else None,
        month=finished.month if finished else None,
        story=_visible_or_none(piece.story),
        photos=tuple(_cleared_photo(photo, piece, record, catalogue) for photo in publication.photos),
        credits=_credits(record, publication.references),
    )


def _cleared_photo(photo: Photo, piece: Piece, record: PieceRecord, catalogue: Catalogue) -> ClearedPhoto:
    facts = catalogue.picture(piece, photo.file)
    assert facts is not None  # noqa: S101 (decide keeps unreadable pictures out)
    taken = photo.taken or (facts.taken.date() if facts.taken else None)
    days = (taken - record.finished_on).days if taken and record.finished_on else None
    when = f", {photo.stage.value.replace('-', ' ')}" if photo.stage else ""
    return ClearedPhoto(
        alt=visible(photo.alt or f"{record.title}{when}"),
        stage=photo.stage,
        days_after=days if days is None or days >= 0 else None,
        copies=facts.public,
    )


def _credits(record: PieceRecord, rights: Iterable[Rights]) -> tuple[Credit, ...]:
    found = []
    for reference, right in zip(record.reference, rights, strict=True):
        if not (right.needs_credit or right.is_ai):
            continue
        licence = reference.license if right.needs_credit else None
        found.append(
            Credit(
                creator=_visible_or_none(reference.creator) if right.needs_credit else None,
                source_url=_web_address(reference.source) if right.needs_credit else None,
                licence=license_words(licence) if licence else None,
                licence_url=_web_address(license_url(licence)) if licence else None,
                made_by_model=_visible_or_none(reference.ai_system) if right.is_ai else None,
                is_ai=right.is_ai,
            )
        )
    return tuple(dict.fromkeys(found))


def _web_address(text: str | None) -> str | None:
    return text if text and re.fullmatch(r"https?://[^\s\"'<>]+", text) else None
