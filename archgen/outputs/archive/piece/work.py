"""The tables of a piece's work: needles, inks, references."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from archgen.outputs.archive.context import AlsoUsed, Context, also_used
from archgen.outputs.site_pages import PagePicture, picture
from archgen.publication.rights import Rights
from archgen.records.model import Ink, Likeness, Piece, PieceRecord, Reference
from archgen.records.vocabulary.licences import license_url, license_words
from archgen.records.vocabulary.needles import NeedleReading, read_needles
from archgen.units import date_words
from archgen.wording.embedded import source_words, told_words
from archgen.wording.pieces import Mark, day_words, late_mark, ruling_mark


@dataclass(frozen=True, slots=True)
class BatchLink:
    """A batch number and its page."""

    text: str
    href: str


@dataclass(frozen=True, slots=True)
class NeedleRow:
    """One needle as written and as read."""

    code: str
    read_as: tuple[str, ...]
    use: str
    bundle: tuple[str, ...]
    batches: tuple[BatchLink, ...]
    expiry: str
    late: Mark | None


@dataclass(frozen=True, slots=True)
class InkRow:
    """One ink; what its record leaves out comes from the register."""

    batch: BatchLink | None
    name: str
    maker: str
    use: str
    opened: str
    expiry: str
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class ReferenceRow:
    """One reference with the answers to the three questions; told is what its file says, label and words."""

    name: str
    picture: PagePicture | None
    original: str
    creator: str
    source: str
    source_href: str
    right: str
    right_href: str
    evidence: str
    evidence_href: str
    facts: tuple[str, ...]
    links: tuple[tuple[str, str], ...]
    also: tuple[AlsoUsed, ...]
    as_reference: Mark | None
    show_it: Mark | None
    show_tattoo: Mark | None
    reasons: tuple[str, ...]
    told: tuple[tuple[str, str], ...]


def needle_rows(context: Context, record: PieceRecord) -> tuple[NeedleRow, ...]:
    """Make the needle table."""
    return tuple(
        NeedleRow(
            code=needle.code,
            read_as=tuple(reading.words() for reading in read_needles(needle.code)),
            use=needle.use or "",
            bundle=tuple(_bundle(reading) for reading in read_needles(needle.code)),
            batches=tuple(
                BatchLink(text, "../" + context.batch_pages[text])
                for text in (needle.batch, needle.sterilisation)
                if text
            ),
            expiry=day_words(needle.expiry) or "",
            late=late_mark(needle.expiry, record.finished_on),
        )
        for needle in record.needle
    )


def _bundle(reading: NeedleReading) -> str:
    widest, least = reading.bundle_mm, reading.bundle_at_least_mm
    if widest is None:
        return "–"
    return f"{widest:.2f} mm" if least == widest else f"up to {widest:.1f} mm"


def ink_rows(context: Context, record: PieceRecord) -> tuple[InkRow, ...]:
    """Make the ink table."""
    return tuple(_ink_row(context, record, ink) for ink in record.ink)


def _ink_row(context: Context, record: PieceRecord, ink: Ink) -> InkRow:
    known = context.catalogue.bottle(ink.batch)
    expiry = ink.expiry or (known.expiry if known else None)
    marks = [mark] if (mark := late_mark(expiry, record.finished_on)) else []
    if known and known.recalled:
        marks.insert(0, Mark("check-stop", f"Recalled {date_words(known.recalled)}", asks=True))
    return InkRow(
        batch=BatchLink(ink.batch, "../" + context.batch_pages[ink.batch]) if ink.batch else None,
        name=ink.name or (known.name if known else None) or "",
        maker=ink.maker or (known.maker if known else None) or "",
        use=ink.use or "",
        opened=day_words(known.opened if known else None) or "",
        expiry=day_words(expiry) or "",
        marks=tuple(marks),
    )


def reference_rows(context: Context, piece: Piece) -> tuple[ReferenceRow, ...]:
    """Make the reference table: those of the record, then files only found in the folder."""
    named: Sequence[Reference] = piece.record.reference if piece.record else ()
    known = {f"{piece.folder}/{reference.file}" for reference in named}
    prefix = len(piece.folder) + 1
    found = [Reference(file=path[prefix:]) for path in piece.references if path not in known]
    rights = context.publications[piece.id].references
    rows = [_reference_row(context, piece, ref, right) for ref, right in zip_longest(named, rights) if ref]
    return tuple(rows + [_reference_row(context, piece, reference, None) for reference in found])


def _reference_row(context: Context, piece: Piece, reference: Reference, right: Rights | None) -> ReferenceRow:
    facts = context.facts(piece, reference.file) if reference.file else None
    source = reference.source or ""
    rulings = (right.use, right.show_reference, right.show_piece) if right else ()
    return ReferenceRow(
        name=(reference.file or "").rpartition("/")[2] or "Link only",
        picture=picture(facts.screen, "", wanted_px=160) if facts else None,
        original=context.original(f"{piece.folder}/{reference.file}", depth=1) if reference.file else "",
        creator=reference.creator or "",
        source=source,
        source_href=_web_address(source),
        right=_right_words(reference, described=right is not None),
        right_href=license_url(reference.license or "") or "",
        evidence=(reference.permission or "").rpartition("/")[2],
        evidence_href=context.original(f"{piece.folder}/{reference.permission}", depth=1)
        if reference.permission
        else "",
        facts=tuple(_facts(reference)),
        links=tuple(_links(reference)),
        also=also_used(context, f"{piece.folder}/{reference.file}"),
        as_reference=ruling_mark(rulings[0]) if rulings else None,
        show_it=ruling_mark(rulings[1]) if rulings else None,
        show_tattoo=ruling_mark(rulings[2]) if rulings else None,
        reasons=tuple(dict.fromkeys(reason for ruling in rulings for reason in ruling.reasons)),
        told=told_words(facts.rights) if facts and facts.rights else (),
    )


def _right_words(reference: Reference, *, described: bool) -> str:
    if not described:
        return "Not described in the record"
    if reference.license:
        return license_words(reference.license)
    return "permission" if reference.permission else "Not recorded"


def _web_address(text: str | None) -> str:
    return text if text and text.startswith(("http://", "https://")) else ""


def _links(reference: Reference) -> Iterator[tuple[str, str]]:
    known = (license_url(reference.license or "") or "").rstrip("/")
    if (address := _web_address(reference.rights_url)) and address.rstrip("/") != known:
        yield ("terms of the right", address)
    if address := _web_address(reference.ai_terms):
        yield ("terms of the system", address)


def _facts(reference: Reference) -> Iterator[str]:
    if reference.obtained:
        yield f"obtained {date_words(reference.obtained)}"
    if reference.expires:
        yield f"ends {date_words(reference.expires)}"
    if reference.digital_source:
        yield source_words(reference.digital_source)
    if reference.ai_system:
        yield f"made or changed with {reference.ai_system}"
    if reference.likeness and reference.likeness is not Likeness.NONE:
        yield f"shows: {reference.likeness.value.replace('-', ' ')}"
    if reference.note:
        yield reference.note
