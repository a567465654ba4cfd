"""Turn a catalogue into what may be public: values without a single private field, all the portfolio ever gets.

Every text passes through `public_part`, which lets through only fields marked public. Of private fields only counts of
days, a year and a month are worked out here.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

import msgspec

from archgen.catalogue import Catalogue
from archgen.config import PortfolioSettings, SettingsInLanguage
from archgen.languages.house import say_in, within
from archgen.languages.language import Language, language
from archgen.picture_facts.facts import Derivative, ImageFacts
from archgen.picture_facts.laid_facts import WHOLE, FramePart
from archgen.picture_facts.photo_days import taken_on
from archgen.privacy import public_part
from archgen.publication.decision import Publication, decide_all
from archgen.publication.reference_rights import Rights
from archgen.records.designs.model import DesignState
from archgen.records.model import OtherStory, Photo, Piece, PieceRecord, Side, Stage
from archgen.records.vocabulary.licences import license_url, plain_license_words
from archgen.units import days_between
from archgen.values.frozen import Value


class PublicPhoto(Value, frozen=True):
    """A photo that may be shown; days_after counts from the day the piece was finished.

    Attributes:
        is_described: Whether the artist wrote `alt`; else it is the title and the stage.
        alt_language: What `alt` is written in, where that is not the language of the page.
    """

    alt: str
    stage: Stage | None
    days_after: int | None
    copies: tuple[Derivative, ...]
    is_described: bool = True
    alt_language: str = ""


class Credit(Value, frozen=True):
    """What one reference asks to be said beside the tattoo."""

    creator: str | None
    source_url: str | None
    licence: str | None
    licence_url: str | None
    made_by_model: str | None
    is_ai: bool


class FreshOnHealed(Value, frozen=True):
    """How the fresh photo of a piece lies on the healed one: both by their names in the record, and the layer.

    Attributes:
        both: What of the healed photo both show.
    """

    fresh: str
    healed: str
    layer: Derivative
    both: FramePart = WHOLE


class PublicLaid(Value, frozen=True):
    """The same of photos that may be shown, by their numbers from 0."""

    fresh: int
    healed: int
    layer: Derivative
    both: FramePart = WHOLE


class PublicPiece(Value, frozen=True):
    """A piece as the public may see it.

    Attributes:
        laid: The fresh photo as it lies on the healed one; None unless both are shown.
        stories: The story in the portfolio's other languages, under the title in each.
        folders: Of the portfolio's other languages, in each of which the piece has a page too.
        title_language: What the title is written in, where that is not the language of the page.
        story_language: The same of the story.
    """

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
    photos: tuple[PublicPhoto, ...]
    credits: tuple[Credit, ...]
    stories: tuple[OtherStory, ...] = ()
    folders: tuple[str, ...] = ()
    title_language: str = ""
    story_language: str = ""
    laid: PublicLaid | None = None

    def without_photos(self, left: Sequence[int]) -> "PublicPiece":
        """Give the same with only the photos of these numbers."""
        laid = self.laid
        if laid and {laid.fresh, laid.healed}.issubset(left):
            laid = replace(laid, fresh=left.index(laid.fresh), healed=left.index(laid.healed))
        else:
            laid = None
        return replace(self, photos=tuple(self.photos[number] for number in left), laid=laid)


class PublicClaim(Value, frozen=True):
    """Whether all inks and supplies in use are recorded as something: yes, no or unknown; never which are not."""

    claim: str
    answer: str


class PublicDesign(Value, frozen=True):
    """A design as the public may see it.

    Attributes:
        drawn: What it has in common with a piece; its pictures are the photos.
        price: In the currency of the settings.
        again: Whether it may be tattooed more than once; None: nothing is said.
    """

    drawn: PublicPiece
    state: DesignState
    price: float | None
    again: bool | None


class PublicCatalogue(Value, frozen=True):
    """Everything the portfolio gets; first the pieces the artist put first, then the newest.

    Attributes:
        designs: The free ones first.
        mark: The site's sign; None where the artist names none.
        units: What lengths are said in: mm, cm or in.
        folder: Where the pages in this language lie; empty for the main one.
        claims: What the care page tells of inks and supplies, where the artist wants that.
    """

    settings: PortfolioSettings
    language: str
    units: str
    pieces: tuple[PublicPiece, ...]
    folder: str = ""
    claims: tuple[PublicClaim, ...] = ()
    designs: tuple[PublicDesign, ...] = ()
    mark: Derivative | None = None

    @property
    def pictures(self) -> Iterator[tuple[Derivative, str]]:
        """Give every picture, and its path in the portfolio."""
        for piece in (*self.pieces, *(design.drawn for design in self.designs)):
            yield from picture_copies(piece)

    @property
    def other_languages(self) -> tuple[str, ...]:
        """Give the languages beside the main one."""
        return self.settings.languages[1:]


class ShownAs(Value, frozen=True):
    """What a public piece was made of: its id, the paths of its photos, the digests of their files."""

    id: str
    photos: tuple[str, ...]
    digests: tuple[str, ...]


class Published(Value, frozen=True):
    """What may be public, and beside it, for the studio alone, what each piece of it was made of.

    Attributes:
        origins: Of each piece of the public catalogue, in its order.
        designs: The ids of its designs, in their order.
        decisions: What was decided about every piece and every design, by its id.
    """

    catalogue: PublicCatalogue
    origins: tuple[ShownAs, ...]
    designs: tuple[str, ...]
    decisions: Mapping[str, Publication]


def make_public_catalogue(
    catalogue: Catalogue, publications: Mapping[str, Publication] | None = None
) -> PublicCatalogue:
    """Keep of a catalogue what may be public; without `publications` that is decided here."""
    return publish(catalogue, decide_all(catalogue) if publications is None else publications).catalogue


def publish(
    catalogue: Catalogue, decisions: Mapping[str, Publication], laid: Mapping[str, FreshOnHealed] | None = None
) -> Published:
    """Keep of a catalogue what may be public, and what it was made of; `laid` are the photos laid on each other."""
    first = {name: place for place, name in enumerate(catalogue.config.portfolio.order)}
    ordered = sorted(catalogue.pieces, key=lambda piece: first.get(piece.id, len(first)))
    shown = [(piece, decisions[piece.id]) for piece in ordered if decisions[piece.id].shown]
    slugs = slugs_of(piece for piece, _ in shown)
    designs = list(_public_designs(catalogue, decisions))
    public = PublicCatalogue(
        settings=_visible_settings(catalogue.config.portfolio),
        language=catalogue.config.main_language,
        units=catalogue.config.archive.units,
        pieces=tuple(
            replace(
                _public_piece(piece, publication, catalogue, slugs[piece.id]),
                laid=_public_laid((laid or {}).get(piece.id), publication),
            )
            for piece, publication in shown
        ),
        designs=tuple(design for _, design in designs),
        mark=_public_mark(catalogue.mark),
    )
    origins = tuple(_origin(*one, catalogue) for one in shown)
    return Published(public, origins, tuple(name for name, _ in designs), decisions)


def _public_designs(catalogue: Catalogue, decisions: Mapping[str, Publication]) -> Iterator[tuple[str, PublicDesign]]:
    """Give the designs that are shown with their ids, the free ones first."""
    shown = [(one, one.record) for one in catalogue.designs if one.record and decisions[one.id].shown]
    slugs = slugs_of(design.as_piece for design, _ in shown)
    for design, record in sorted(shown, key=lambda one: list(DesignState).index(one[1].state)):
        # No piece has a name with this sign in it, so no picture of one lies under the same path.
        name = f"design_{slugs[design.id]}"
        drawn, said = _public_piece(design.as_piece, decisions[design.id], catalogue, name), public_part(record)
        yield design.id, PublicDesign(drawn, said.state, said.price, said.again)


def _origin(piece: Piece, publication: Publication, catalogue: Catalogue) -> ShownAs:
    photos = tuple(f"{piece.folder}/{photo.file}" for photo in publication.photos)
    return ShownAs(piece.id, photos, tuple(catalogue.facts[path].digest for path in photos))


def _public_mark(facts: ImageFacts | None) -> Derivative | None:
    """Give the drawing alone of what is kept as lines, else the largest copy."""
    if facts is None:
        return None
    return facts.print_copy if facts.marks and facts.print_copy else facts.public[0]


def _public_laid(laid: FreshOnHealed | None, publication: Publication) -> PublicLaid | None:
    shown = [photo.file for photo in publication.photos]
    if laid is None or not {laid.fresh, laid.healed}.issubset(shown):
        return None
    return PublicLaid(shown.index(laid.fresh), shown.index(laid.healed), laid.layer, laid.both)


def _visible_settings(settings: PortfolioSettings) -> PortfolioSettings:
    settings = public_part(settings)
    inside = tuple(replace(one, **_visible_fields(one)) for one in settings.in_languages)
    return replace(settings, **{**_visible_fields(settings), "in_languages": inside})


def _visible_fields(settings: PortfolioSettings | SettingsInLanguage) -> dict[str, Any]:
    texts = {field.name: getattr(settings, field.name) for field in fields(settings)}
    return {name: visible(text) for name, text in texts.items() if isinstance(text, str)}


# Control characters, and what neither HTML nor XML allows: nothing of it can be seen, some of it reorders text.
_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")


def visible(text: str) -> str:
    """Leave out characters that cannot be seen and have no place on a page."""
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


def piece_path(piece: PublicPiece) -> str:
    """Give the path of a piece's page in the portfolio; names there are made of words that are public anyway."""
    return f"pieces/{piece.slug}.html"


def photo_copies(piece: PublicPiece, number: int, *, avif: bool = False) -> list[tuple[Derivative, str]]:
    """Give the copies of a photo that every browser reads, or those as AVIF, smallest first, each with its path.

    The number counts from 0.
    """
    copies = sorted((one for one in piece.photos[number].copies if one.is_avif is avif), key=lambda one: one.width)
    return [(copy, _photo_path(piece, number, copy)) for copy in copies]


def _photo_path(piece: PublicPiece, number: int, copy: Derivative) -> str:
    return f"img/{piece.slug}-{number + 1}-{copy.width}.{copy.blob.rpartition('.')[2]}"


def picture_copies(piece: PublicPiece) -> Iterator[tuple[Derivative, str]]:
    """Give every picture of a piece, and its path in the portfolio."""
    for number, photo in enumerate(piece.photos):
        yield from ((copy, _photo_path(piece, number, copy)) for copy in photo.copies)
    if piece.laid:
        yield piece.laid.layer, laid_path(piece, piece.laid)


def laid_path(piece: PublicPiece, laid: PublicLaid) -> str:
    """Give the path of the fresh photo as it lies on the healed one; no copy of a photo is 0 pixels wide."""
    return f"img/{piece.slug}-{laid.fresh + 1}-{laid.healed + 1}-0.webp"


def all_paths(piece: PublicPiece) -> tuple[str, ...]:
    """Give the paths of a piece's pages, in every language, and its pictures in the portfolio."""
    pictures = (path for _, path in picture_copies(piece))
    return (*(f"{folder}{piece_path(piece)}" for folder in ("", *piece.folders)), *pictures)


def language_folder(tag: str) -> str:
    """Give the folder of the pages in a language that is not the main one."""
    return f"{slug(tag)}/"


def former_addresses(piece: Piece, catalogue: Catalogue, publications: Mapping[str, Publication]) -> tuple[str, ...]:
    """Give the paths a piece that is not shown would have if it were."""
    shown = [other for other in catalogue.pieces if publications[other.id].shown]
    name, decided = slugs_of([*shown, piece])[piece.id], publications[piece.id]
    return all_paths(_public_piece(piece, replace(decided, photos=decided.sound_photos), catalogue, name))


# Windows opens a device by each of these names, whatever stands after its dot (Microsoft, "Naming Files, Paths, and
# Namespaces").
_NO_FILE_NAME = re.compile(r"con|prn|aux|nul|(?:com|lpt)[0-9]")


def slug(text: str) -> str:
    """Write text as lower-case words joined by hyphens; accents go, letters of other scripts stay.

    Any system can hold a file of that name.
    """
    plain = unicodedata.normalize("NFKD", text)
    plain = "".join(letter for letter in plain if not unicodedata.combining(letter)).casefold()
    name = re.sub(r"[\W_]+", "-", unicodedata.normalize("NFC", plain)).strip("-")[:60].strip("-")
    return f"{name}-1" if _NO_FILE_NAME.fullmatch(name) else name


def _public_piece(piece: Piece, publication: Publication, catalogue: Catalogue, slug_of_piece: str) -> PublicPiece:
    record = piece.record
    assert record is not None  # noqa: S101 (a piece without a record is never shown)
    finished, shown = record.finished_on, public_part(record)
    others = catalogue.config.portfolio.languages[1:]
    lower = {tag.lower() for tag in others}
    return PublicPiece(
        slug=slug_of_piece,
        title=visible(shown.title),
        styles=tuple(map(visible, shown.styles)),
        subjects=tuple(map(visible, shown.subjects)),
        region=_visible_or_none(shown.placement.region),
        side=shown.placement.side,
        width_mm=shown.size.width,
        height_mm=shown.size.height,
        sittings=len(shown.sitting),
        hours=shown.hours,
        year=finished.year if finished else None,
        month=finished.month if finished else None,
        story=_visible_or_none(public_part(piece).story),
        photos=tuple(_public_photo(photo, piece, record, catalogue) for photo in publication.photos),
        credits=_credits(record, publication.references),
        stories=tuple(
            msgspec.structs.replace(one, story=visible(one.story))
            for one in piece.stories
            if one.language.lower() in lower
        ),
        folders=tuple(map(language_folder, others)),
    )


def _public_photo(photo: Photo, piece: Piece, record: PieceRecord, catalogue: Catalogue) -> PublicPhoto:
    facts = catalogue.picture(piece, photo.file)
    assert facts is not None  # noqa: S101 (decide keeps unreadable pictures out)
    shown = public_part(photo)
    return PublicPhoto(
        alt=visible(shown.alt or alt_words(record.title, shown.stage, language(catalogue.config.main_language))),
        stage=shown.stage,
        days_after=days_between(record.finished_on, taken_on(photo, facts)),
        copies=facts.public or _copies_to_come(facts),
        is_described=bool(shown.alt),
    )


# The word of each stage, as photos say it too.
STAGES = {stage: stage.value.replace("-", " ").capitalize() for stage in Stage}


def stage_words(stage: Stage) -> str:
    """Say what a photo shows, within a sentence of the house."""
    return within(say_in("photo", STAGES[stage]))


def alt_words(title: str, stage: Stage | None, spoken: Language) -> str:
    """Give the words for a photo that nobody described."""
    return f"{title}, {spoken.pgettext('photo', STAGES[stage]).lower()}" if stage else title


def _copies_to_come(facts: ImageFacts) -> tuple[Derivative, ...]:
    """Give the copies for the public as they would be: of the sizes of those for the screen, and in no file yet."""
    return tuple(Derivative(copy.width, copy.height, f"{facts.digest}.webp") for copy in facts.screen)


def _credits(record: PieceRecord, rights: Iterable[Rights]) -> tuple[Credit, ...]:
    found = []
    for reference, right in zip(public_part(record).reference, rights, strict=True):
        if not right.counts or not (right.needs_credit or right.is_ai):
            continue
        licence = reference.license if right.needs_credit else None
        found.append(
            Credit(
                creator=_visible_or_none(reference.creator) if right.needs_credit else None,
                source_url=_web_address(reference.source) if right.needs_credit else None,
                licence=plain_license_words(licence) if licence else None,
                licence_url=_web_address(license_url(licence)) if licence else None,
                made_by_model=_visible_or_none(reference.ai_system) if right.is_ai else None,
                is_ai=right.is_ai,
            )
        )
    return tuple(dict.fromkeys(found))


def _web_address(text: str | None) -> str | None:
    return text if text and re.fullmatch(r"https?://[^\s\"'<>]+", text) else None
