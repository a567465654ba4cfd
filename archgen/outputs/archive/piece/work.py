"""The tables of a piece's work: needles, inks, references."""

from collections.abc import Iterable, Iterator

from archgen.languages.house import figures, say
from archgen.outputs.archive.context import AlsoUsed, Context, also_used
from archgen.outputs.site_pages import PagePicture, picture
from archgen.pieces.materials import InkUse, NeedleUse
from archgen.pieces.overview import PieceOverview
from archgen.pieces.references import ReferenceOverview
from archgen.publication.reference_rights import SourceNode
from archgen.publication.rights import is_composite
from archgen.records.model import InkBatch, Likeness, Reference
from archgen.records.vocabulary.licences import license_url, license_words
from archgen.units import date_words
from archgen.values.frozen import Value
from archgen.wording.batches import product_words
from archgen.wording.embedded import source_words, told_words
from archgen.wording.pieces import Mark, answer_mark, day_words, late_mark, ruling_mark


class BatchLink(Value, frozen=True):
    """A batch number and its page; words that name no number have none."""

    text: str
    href: str


class NeedleRow(Value, frozen=True):
    """One needle as written and as read."""

    code: str
    read_as: tuple[str, ...]
    use: str
    bundle: tuple[str, ...]
    batches: tuple[BatchLink, ...]
    expiry: str
    late: Mark | None


class InkRow(Value, frozen=True):
    """One ink; what its record leaves out comes from the register."""

    batches: tuple[BatchLink, ...]
    name: str
    maker: str
    use: str
    opened: str
    expiry: str
    marks: tuple[Mark, ...]


class RecallNotice(Value, frozen=True):
    """A recalled ink of the piece; `asks` until its wearer was told."""

    words: str
    href: str
    asks: bool


class SourceBranch(Value, frozen=True):
    """One picture a reference was made from: may the tattoo be shown by it alone, and what it was made from itself."""

    name: str
    right: str
    mark: Mark
    sources: tuple["SourceBranch", ...]


class ReferenceRow(Value, frozen=True):
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
    sources: tuple[SourceBranch, ...] = ()


def needle_rows(context: Context, overview: PieceOverview) -> tuple[NeedleRow, ...]:
    """Make the needle table."""
    return tuple(_needle_row(context, use) for use in overview.needles)


def _needle_row(context: Context, use: NeedleUse) -> NeedleRow:
    needle = use.needle
    return NeedleRow(
        code=needle.code,
        read_as=tuple(reading.words() for reading in use.readings),
        use=needle.use or "",
        bundle=tuple(map(_bundle, use.bundles_mm)),
        batches=_batch_links(context, needle.batch, needle.sterilisation),
        expiry=day_words(needle.expiry) or "",
        late=late_mark() if use.was_late else None,
    )


def _batch_links(context: Context, *written: str | None) -> tuple[BatchLink, ...]:
    links = (link for text in written for link in context.batch_pages_of(text))
    return tuple(BatchLink(text, f"../{page}" if page else "") for text, page in links)


def _bundle(bundle_mm: tuple[float | None, float] | None) -> str:
    if bundle_mm is None:
        return "–"
    least, widest = bundle_mm
    return figures(f"{widest:.2f} mm") if least == widest else say("up to {widest:.1f} mm", widest=widest)


def ink_rows(context: Context, overview: PieceOverview) -> tuple[InkRow, ...]:
    """Make the ink table."""
    return tuple(_ink_row(context, overview.id, use) for use in overview.inks)


def _ink_row(context: Context, piece_id: str, use: InkUse) -> InkRow:
    ink, bottle = use.ink, use.bottle
    marks: tuple[Mark, ...] = ()
    if bottle and bottle.recalled:
        is_to_tell = piece_id in context.pieces_to_tell(bottle.batch)
        marks = (Mark("check-stop", say("Recalled {day}", day=date_words(bottle.recalled)), asks=is_to_tell),)
    return InkRow(
        batches=_batch_links(context, ink.batch),
        name=ink.name or "",
        maker=ink.maker or "",
        use=ink.use or "",
        opened=day_words(bottle.opened if bottle else None) or "",
        expiry=day_words(ink.expiry) or "",
        marks=(*marks, late_mark()) if use.was_late else marks,
    )


def recall_notices(context: Context, overview: PieceOverview) -> tuple[RecallNotice, ...]:
    """Say which inks of the piece were called back, each batch once."""
    notices = (
        RecallNotice(
            words=say("Recalled on {day}: {bottle}.", day=date_words(bottle.recalled), bottle=_bottle_words(bottle)),
            href=_batch_links(context, use.ink.batch)[0].href,
            asks=overview.id in context.pieces_to_tell(bottle.batch),
        )
        for use in overview.inks
        if (bottle := use.bottle) and bottle.recalled
    )
    return tuple(dict.fromkeys(notices))


def _bottle_words(bottle: InkBatch) -> str:
    return ", ".join(filter(None, (product_words(bottle.maker, bottle.name), say("batch {batch}", batch=bottle.batch))))


def reference_rows(context: Context, overview: PieceOverview) -> tuple[ReferenceRow, ...]:
    """Make the reference table: those of the record, then files only found in the folder."""
    return tuple(_reference_row(context, overview.piece.folder, one) for one in overview.references)


def _reference_row(context: Context, folder: str, one: ReferenceOverview) -> ReferenceRow:
    reference, facts, right = one.reference, one.facts, one.rights
    source, evidence = reference.source or "", reference.permission or ""
    rulings = (right.use, right.show_reference, right.show_piece) if right.counts else ()
    marks = tuple(map(ruling_mark, rulings)) or (None, None, None)
    return ReferenceRow(
        name=(reference.file or "").rpartition("/")[2] or say("Link only"),
        picture=picture(facts.screen, "", wanted_px=160) if facts else None,
        original=context.original(f"{folder}/{reference.file}", depth=1) if reference.file else "",
        creator=reference.creator or "",
        source=source,
        source_href=_web_address(source),
        right=_right_words(reference, described=one.is_described),
        right_href=license_url(reference.license or "") or "",
        evidence=evidence.rpartition("/")[2],
        evidence_href=context.original(f"{folder}/{evidence}", depth=1) if evidence else "",
        facts=tuple(_facts(reference)),
        links=tuple(_links(reference)),
        also=also_used(context, one.elsewhere),
        as_reference=marks[0],
        show_it=marks[1],
        show_tattoo=marks[2],
        reasons=tuple(dict.fromkeys(reason for ruling in rulings for reason in ruling.reasons)),
        told=told_words(facts.rights) if facts and facts.rights else (),
        sources=_branches(right.sources),
    )


def _branches(nodes: Iterable[SourceNode]) -> tuple[SourceBranch, ...]:
    return tuple(
        SourceBranch(
            node.name.rpartition("/")[2] or node.name, node.right, answer_mark(node.answer), _branches(node.sources)
        )
        for node in nodes
    )


def _right_words(reference: Reference, *, described: bool) -> str:
    if not described:
        return say("Not described in the record")
    if reference.license:
        return license_words(reference.license)
    return "permission" if reference.permission else say("Not recorded")


def _web_address(text: str | None) -> str:
    return text if text and text.startswith(("http://", "https://")) else ""


def _links(reference: Reference) -> Iterator[tuple[str, str]]:
    known = (license_url(reference.license or "") or "").rstrip("/")
    if (address := _web_address(reference.rights_url)) and address.rstrip("/") != known:
        yield (say("terms of the right"), address)
    if address := _web_address(reference.ai_terms):
        yield (say("terms of the system"), address)


def _facts(reference: Reference) -> Iterator[str]:
    if not reference.used:
        yield say("looked at, not drawn from")
    if reference.obtained:
        yield say("obtained {day}", day=date_words(reference.obtained))
    if reference.expires:
        yield say("ends {day}", day=date_words(reference.expires))
    if reference.digital_source:
        yield source_words(reference.digital_source)
    if reference.ai_system:
        yield say("made or changed with {ai_system}", ai_system=reference.ai_system)
    if is_composite(reference):
        yield say("changed or merged: it stands on the right of what it was made from")
    if reference.likeness and reference.likeness is not Likeness.NONE:
        yield f"shows: {reference.likeness.value.replace('-', ' ')}"
    if reference.note:
        yield reference.note
