"""What is held about one person, in plain values: for a page to read and as data for another program.

Left out: references and stencils (drawings of the artist's and of others), drafts in notes.md, and sentences that name
somebody else, which are marked where they stood.
"""

import datetime as dt
import itertools
from collections.abc import Container
from dataclasses import dataclass, field

from archgen.catalogue import Catalogue
from archgen.holdings.person import ClientRecords, without_others
from archgen.leaks.search import LeakSearch
from archgen.records.model import Photo, Piece, PieceRecord
from archgen.supplies.made_of import MadeOf, made_of
from archgen.values.frozen import Value
from archgen.wording.pieces import SITTING_WORDS, STAGE_WORDS, placement_words


class HeldSitting(Value, frozen=True):
    """A visit."""

    kind: str
    date: dt.date | None
    hours: float | None
    note: str | None


class HeldMaterial(Value, frozen=True):
    """An ink or needle that went into the skin; `recalled` is the day its batch was called back."""

    what: str
    name: str | None
    maker: str | None
    batch: str | None
    expiry: dt.date | None = None
    recalled: dt.date | None = None


class HeldPhoto(Value, frozen=True):
    """A photo, by its place in the bundle."""

    file: str
    stage: str
    taken: dt.date | None


class HeldPiece(Value, frozen=True):
    """A piece and what is recorded of it; `papers` are those they signed, by their place in the bundle.

    Attributes:
        stencil: How the stencil stayed on their skin.
        release_scope: Where photos may be shown, as they agreed.
        claims: Whether all that went into it is recorded as what the studio tells of, such as vegan.
    """

    title: str
    finished: dt.date | None
    styles: tuple[str, ...]
    subjects: tuple[str, ...]
    placement: str | None
    placement_note: str | None
    girth_mm: float | None
    width_mm: float | None
    height_mm: float | None
    stencil: tuple[str, ...]
    sittings: tuple[HeldSitting, ...]
    healing: tuple[HeldSitting, ...]
    materials: tuple[HeldMaterial, ...]
    release: str
    release_date: dt.date | None
    release_scope: tuple[str, ...]
    release_expires: dt.date | None
    release_withdrawn: dt.date | None
    release_note: str | None
    charged: float | None
    deposit: float | None
    photos: tuple[HeldPhoto, ...]
    papers: tuple[str, ...]
    claims: tuple[MadeOf, ...] = ()


class Held(Value, frozen=True):
    """All that is held.

    Attributes:
        as_of: The day it was gathered.
        register: What clients.toml says, by what it is.
        told: What they were told about recalls: batch, day, how.
        designs: What is held for them: the title, until when, what is noted.
        care: The studio's words about care.
        left_out: How many sentences about somebody else were left out.
    """

    code: str
    as_of: dt.date
    register: tuple[tuple[str, str], ...]
    pieces: tuple[HeldPiece, ...]
    told: tuple[tuple[str, dt.date | None, str | None], ...]
    designs: tuple[tuple[str, dt.date | None, str | None], ...]
    care: str | None
    currency: str | None
    left_out: int


class Originals(Value, frozen=True):
    """Where in the archive photos and papers are, by their place in the bundle."""

    photos: dict[str, str]
    papers: dict[str, str]


def gather_held(catalogue: Catalogue, person: ClientRecords, search: LeakSearch) -> tuple[Held, Originals]:
    """Gather what is held; `search` knows by what everybody else can be known."""
    gathering = _Gathering(catalogue, search)
    client = person.client
    register = (
        (("Name", client.name), ("Contact", client.contact), ("Note", client.note), ("Notes", client.notes))
        if client
        else ()
    )
    register_said = tuple((label, text) for label, raw in register if (text := gathering.told(raw)))
    pieces = tuple(gathering.piece(piece, piece.record) for piece in person.pieces if piece.record)
    designs = tuple(
        (said.title, said.until, gathering.told(said.note)) for one in person.designs if (said := one.record)
    )
    held = Held(
        code=person.code,
        as_of=dt.date.fromordinal(catalogue.built_on.toordinal()),
        register=register_said,
        pieces=pieces,
        told=tuple((one.batch, one.date, one.how) for one in person.told),
        designs=designs,
        care=catalogue.texts.get("care"),
        currency=catalogue.config.portfolio.currency,
        left_out=gathering.left_out,
    )
    return held, Originals(gathering.photos, gathering.papers)


@dataclass
class _Gathering:
    """What has been gathered so far: names of files that are taken, sentences left out."""

    catalogue: Catalogue
    search: LeakSearch
    left_out: int = 0
    photos: dict[str, str] = field(default_factory=dict)
    papers: dict[str, str] = field(default_factory=dict)

    def told(self, text: str | None) -> str | None:
        """Give a text without sentences about others."""
        if not text or not text.strip():
            return None
        kept, left_out = without_others(text, self.search)
        self.left_out += left_out
        return kept

    def piece(self, piece: Piece, record: PieceRecord) -> HeldPiece:
        day = record.finished_on.isoformat() if record.finished_on else "undated"
        release = record.release
        return HeldPiece(
            title=self.told(record.title) or "",
            finished=record.finished_on,
            styles=tuple(said for one in record.styles if (said := self.told(one))),
            subjects=tuple(said for one in record.subjects if (said := self.told(one))),
            placement=placement_words(record.placement),
            placement_note=self.told(record.placement.note),
            girth_mm=_plain(record.placement.girth),
            width_mm=_plain(record.size.width),
            height_mm=_plain(record.size.height),
            stencil=tuple(said for one in record.stencil if one.applied and (said := self.told(one.held))),
            sittings=tuple(
                HeldSitting(SITTING_WORDS[one.kind], one.date, _plain(one.hours), self.told(one.note))
                for one in record.sitting
            ),
            healing=tuple(HeldSitting("Healing", one.date, None, self.told(one.note)) for one in record.healing),
            materials=tuple(self._materials(record)),
            release=release.status.value,
            release_date=release.date,
            release_scope=release.scope,
            release_expires=release.expires,
            release_withdrawn=release.withdrawn,
            release_note=self.told(release.note),
            charged=record.price.charged,
            deposit=record.price.deposit,
            photos=tuple(self._photo(piece, path, record, day) for path in piece.photos),
            papers=(self._paper(piece, release.file),) if release.file and release.file not in piece.missing else (),
            claims=tuple(made_of(piece, self.catalogue, claim) for claim in self.catalogue.config.claims.tell),
        )

    def _materials(self, record: PieceRecord) -> list[HeldMaterial]:
        found = []
        for written in record.ink:
            ink, bottle = self.catalogue.described(written), self.catalogue.bottle(written.batch)
            recalled = bottle.recalled if bottle else None
            found.append(HeldMaterial("Ink", ink.name, ink.maker, ink.batch, ink.expiry, recalled))
        found += [HeldMaterial("Needle", one.code, None, one.batch, one.expiry) for one in record.needle]
        return found

    def _photo(self, piece: Piece, path: str, record: PieceRecord, day: str) -> HeldPhoto:
        said = next((one for one in record.photo if f"{piece.folder}/{one.file}" == path), Photo(file=path))
        stage = STAGE_WORDS[said.stage]
        file = _free(f"photos/{day}-{stage.lower().replace(' ', '-')}", ".jpg", self.photos)
        self.photos[file] = path
        return HeldPhoto(file, stage, said.taken)

    def _paper(self, piece: Piece, written: str) -> str:
        suffix = f".{written.rpartition('.')[2].lower()}" if "." in written else ""
        file = _free("papers/release", suffix, self.papers)
        self.papers[file] = f"{piece.folder}/{written}"
        return file


def _free(stem: str, suffix: str, taken: Container[str]) -> str:
    """Give a plain name of our own: what the artist called a file may name somebody."""
    return next(name for number in itertools.count(1) if (name := f"{stem}-{number}{suffix}") not in taken)


def _plain(measure: float | None) -> float | None:
    return None if measure is None else float(measure)
