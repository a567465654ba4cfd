"""What every page of the private archive is made from: the catalogue, who stands on which page, where files are."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from urllib.parse import quote

from archgen.catalogue import Catalogue
from archgen.doubles.pairs import twins_elsewhere
from archgen.findings import Finding, Place, Severity
from archgen.outputs.site_pages import PagePicture, file_names, picture
from archgen.picture_facts.facts import ImageFacts
from archgen.pieces.followup import Due, due
from archgen.publication.decision import Publication, decide_publication
from archgen.records.model import Photo, Piece, Stage
from archgen.records.vocabulary.lots import lot_keys
from archgen.tracing.recall import LotBook
from archgen.twins.model import Relation
from archgen.units import date_words
from archgen.wording.likenesses import pair_words
from archgen.wording.pieces import count_words


@dataclass(frozen=True, slots=True)
class HeadLink:
    """One of the six places in the head of every page."""

    href: str
    words: str
    count: int


@dataclass(frozen=True, slots=True)
class Site:
    """What every page says."""

    title: str
    language: str
    places: tuple[HeadLink, ...]
    read_on: str


@dataclass(frozen=True, slots=True)
class PageProblem:
    """A finding as shown: mark shape, where, what, what to do."""

    shape: str
    code: str
    where: str
    href: str
    problem: str
    remedy: str


@dataclass(frozen=True)
class Context:
    """The catalogue with what the pages look up again and again.

    Attributes:
        originals: The way from the site's folder to the archive folder, or its address.
    """

    catalogue: Catalogue
    originals: str

    @cached_property
    def publications(self) -> Mapping[str, Publication]:
        """Give what may be public of each piece."""
        return {piece.id: decide_publication(piece, self.catalogue) for piece in self.catalogue.pieces}

    @cached_property
    def by_id(self) -> Mapping[str, Piece]:
        """Give the pieces by id."""
        return {piece.id: piece for piece in self.catalogue.pieces}

    @cached_property
    def piece_pages(self) -> Mapping[str, str]:
        """Give the page of each piece id."""
        return {text: f"pieces/{name}.html" for text, name in file_names(self.by_id).items()}

    @cached_property
    def neighbours(self) -> Mapping[str, tuple[Piece | None, Piece | None]]:
        """Give the newer and the older piece of each piece, in the order of the home page."""
        pieces = sorted(self.catalogue.pieces, key=lambda piece: piece.record is None)
        around = [None, *pieces, None]
        return {piece.id: (around[place], around[place + 2]) for place, piece in enumerate(pieces)}

    @cached_property
    def clients(self) -> tuple[str, ...]:
        """List the client codes of all pieces and of the register."""
        used = {piece.record.client for piece in self.catalogue.pieces if piece.record and piece.record.client}
        return tuple(sorted(used | set(self.catalogue.clients)))

    @cached_property
    def pieces_by_client(self) -> Mapping[str, tuple[Piece, ...]]:
        """Give the pieces of each client code, newest first."""
        found: dict[str, list[Piece]] = {}
        for piece in self.catalogue.pieces:
            if piece.record and piece.record.client:
                found.setdefault(piece.record.client, []).append(piece)
        return {code: tuple(pieces) for code, pieces in found.items()}

    @cached_property
    def client_pages(self) -> Mapping[str, str]:
        """Give the page of each client code."""
        return {text: f"clients/{name}.html" for text, name in file_names(self.clients).items()}

    @cached_property
    def due(self) -> tuple[Due, ...]:
        """Give what is to be done after the pieces, the most urgent first."""
        return due(self.catalogue)

    @cached_property
    def lots(self) -> LotBook:
        """Give all lots, ready to be looked up."""
        return LotBook(self.catalogue)

    @cached_property
    def batches(self) -> tuple[str, ...]:
        """List the lot numbers of all inks and needles and of the register, one spelling each."""
        return tuple(sorted(set(self._batch_of_spelling.values())))

    @cached_property
    def _batch_of_spelling(self) -> Mapping[str, str]:
        """Give for each number as written the spelling it is shown under: the register's, else the commonest."""
        spellings: dict[str, list[str]] = {}
        for number in self.lots.numbers:
            spellings.setdefault(lot_keys(number)[0], []).append(number)
        uses, inks = self.lots.uses_by_lot, self.catalogue.inks
        return {
            number: min(same, key=lambda text: (text not in inks, -len(uses.get(text, ())), text))
            for same in spellings.values()
            for number in same
        }

    @cached_property
    def batch_pages(self) -> Mapping[str, str]:
        """Give the page of each lot number, however written."""
        names = file_names(self.batches)
        return {text: f"batches/{names[shown]}.html" for text, shown in self._batch_of_spelling.items()}

    @cached_property
    def site(self) -> Site:
        """Give what every page says."""
        catalogue = self.catalogue
        places = (
            HeadLink("index.html", "Pieces", len(catalogue.pieces)),
            HeadLink("stencils.html", "Stencils", sum(len(piece.stencils) for piece in catalogue.pieces)),
            HeadLink("clients.html", "Clients", len(self.clients)),
            HeadLink("batches.html", "Batches", len(self.batches)),
            HeadLink("doubles.html", "Doubles", len(catalogue.twins.doubles)),
            HeadLink("checks.html", "Checks", len(catalogue.findings)),
        )
        settings = catalogue.config.archive
        return Site(settings.title, settings.language, places, date_words(catalogue.built_on))

    @property
    def units(self) -> str:
        """Give the unit lengths are shown in."""
        return self.catalogue.config.archive.units

    def original(self, path: str, depth: int = 0) -> str:
        """Give the address of a file of the archive folder, from a page so many folders down."""
        address = f"{self.originals}/{quote(path)}"
        return address if "://" in self.originals else "../" * depth + address

    def facts(self, piece: Piece, file: str) -> ImageFacts | None:
        """Give the facts of a file named in a record."""
        return self.catalogue.picture(piece, file)

    def cover(self, piece: Piece) -> Photo | None:
        """Choose the photo that stands for a piece: its cover, else healed, else fresh, the best of a moment."""
        photos = [photo for photo in photos_of(piece) if self.facts(piece, photo.file)]
        order = {Stage.HEALED: 0, Stage.FRESH: 1, None: 2, Stage.IN_PROGRESS: 3}
        later = self._later_frames

        def rank(photo: Photo) -> tuple[bool, int, bool]:
            return not photo.cover, order[photo.stage], f"{piece.folder}/{photo.file}" in later

        return min(photos, key=rank, default=None)

    @cached_property
    def _later_frames(self) -> frozenset[str]:
        """Give the photos of a moment that has a better one."""
        return frozenset(path for moment in self.catalogue.twins.moments for path in moment[1:])

    def thumbnail(self, piece: Piece, alt: str = "", wanted_px: int = 160) -> PagePicture | None:
        """Give the small picture that stands for a piece; None without a readable photo."""
        photo = self.cover(piece)
        facts = self.facts(piece, photo.file) if photo else None
        return picture(facts.screen, alt, wanted_px=wanted_px) if facts else None


@dataclass(frozen=True, slots=True)
class AlsoUsed:
    """Another piece that uses the same drawing or reference: page from the site's folder, title, how it differs."""

    href: str
    title: str
    words: str


def also_used(context: Context, path: str) -> tuple[AlsoUsed, ...]:
    """List the other pieces that use a stencil or reference, each once."""
    found: dict[str, AlsoUsed] = {}
    for other, pair in twins_elsewhere(path, context.catalogue):
        piece = context.by_id.get(other.split("/")[1])
        if piece and piece.id not in found:
            words = "" if pair.relation is Relation.IDENTICAL else pair_words(pair, other, "this one")
            found[piece.id] = AlsoUsed(context.piece_pages[piece.id], piece.title, words)
    return tuple(found[key] for key in sorted(found))


def photos_of(piece: Piece) -> tuple[Photo, ...]:
    """List the photos of the record, then those only found in the folder."""
    named = piece.record.photo if piece.record else ()
    known = {f"{piece.folder}/{photo.file}" for photo in named}
    prefix = len(piece.folder) + 1
    return named + tuple(Photo(file=path[prefix:]) for path in piece.photos if path not in known)


def photo_alt(piece: Piece, photo: Photo) -> str:
    """Give the words for those who do not see a photo."""
    if photo.alt:
        return photo.alt
    stage = {Stage.HEALED: "healed", Stage.FRESH: "fresh", Stage.IN_PROGRESS: "in progress"}
    return f"{piece.title}, {stage[photo.stage]}" if photo.stage else piece.title


def pieces_words(number: int) -> str:
    """Write "1 piece"."""
    return count_words(number, "piece")


def problem(context: Context, finding: Finding, depth: int) -> PageProblem:
    """Make a finding ready to be shown on a page so many folders down."""
    shapes = {Severity.ERROR: "check-stop", Severity.WARNING: "check-ask", Severity.NOTE: "check-note"}
    short = Place(finding.place.file.removeprefix(f"pieces/{finding.piece}/"), finding.place.line)
    return PageProblem(
        shape=shapes[finding.severity],
        code=finding.code,
        where=str(short),
        href=context.original(finding.place.file, depth),
        problem=finding.problem,
        remedy=finding.remedy,
    )
