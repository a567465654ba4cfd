"""What every page of the private archive is made from: the catalogue, who stands on which page, where files are."""

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from urllib.parse import quote

from archgen.clock import printed
from archgen.findings import Finding, Place
from archgen.languages.house import say, say_count
from archgen.limbs.sleeve import shares_a_limb
from archgen.outputs.site_pages import PagePicture, file_name, file_names, picture
from archgen.pieces.elsewhere import UseElsewhere
from archgen.pieces.followup import Due, due, due_now
from archgen.pieces.overview import PieceOverview
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.model import Piece
from archgen.storage.files import digest_bytes
from archgen.tracing.book import BatchBook, days_of
from archgen.tracing.recall import Trace, recalls
from archgen.twins.model import Relation
from archgen.units import date_words
from archgen.values.frozen import Value
from archgen.wording.batches import days_words
from archgen.wording.likenesses import pair_words
from archgen.wording.questions import SEVERITY_WORDS

NOW = "data/now.css"
# "references/owl.jpg (CC-BY-4.0): The licence leaves something out."
_ABOUT = re.compile(r"\A(?:photos|references|stencils)/([^:]+?): (?=\S)")
_FOLDER = re.compile(r"(?<![\w/])(?:photos|references|stencils)/(?=[^\s/]+\.\w)")


@dataclass(frozen=True, slots=True)
class HeadLink:
    """One of the places in the head of every page."""

    href: str
    words: str
    count: int = field(repr=False)


@dataclass(frozen=True, slots=True)
class Site:
    """What every page says; no page is made anew for a count or a day, which stand in a style sheet beside them."""

    title: str
    language: str
    places: tuple[HeadLink, ...]
    read_on: str = field(repr=False)

    def now(self) -> bytes:
        """Give that style sheet: how many there are of what, and the day on which the archive was read."""
        said = [(f'.n[data-of="{place.words}"]', str(place.count)) for place in self.places]
        lines = (f'{where}::after {{ content: "{text}"; }}\n' for where, text in (*said, (".read-on", self.read_on)))
        return "".join(lines).encode()


def without_folders(sentence: str) -> str:
    """Call pictures by their names, not by where they lie."""
    return _FOLDER.sub("", sentence)


class PageProblem(Value, frozen=True):
    """A finding as shown: mark shape, where, what, what to do."""

    shape: str
    where: str
    href: str
    problem: str
    remedy: str

    @property
    def about(self) -> str:
        """Give the name of the picture that the sentence begins with; empty for none."""
        match = _ABOUT.match(self.problem)
        return match[1] if match else ""

    @property
    def said(self) -> str:
        """Give the sentence without it; other pictures are called by their names, not by where they lie."""
        said = without_folders(_ABOUT.sub("", self.problem))
        return said[:1].upper() + said[1:] if self.about else said


class PieceOnBatch(Value, frozen=True):
    """A piece with its wearer."""

    dates: str
    client: str
    client_href: str
    title: str
    href: str


@dataclass(frozen=True)
class Context:
    """The catalogue with what the pages look up again and again.

    Attributes:
        originals: The way from the site's folder to the archive folder, or its address.
    """

    catalogue: SurveyedCatalogue
    originals: str

    @property
    def overviews(self) -> Mapping[str, PieceOverview]:
        """Give what follows from each piece, by its id."""
        return self.catalogue.overviews

    @cached_property
    def piece_pages(self) -> Mapping[str, str]:
        """Give the page of each piece id."""
        return {text: f"pieces/{name}.html" for text, name in file_names(self.overviews).items()}

    @cached_property
    def by_client(self) -> Mapping[str, tuple[PieceOverview, ...]]:
        """Give the pieces of each client, newest first, however the code is written; some of the register have none."""
        found: dict[str, list[PieceOverview]] = {code: [] for code in self.catalogue.clients}
        for overview in self.overviews.values():
            if overview.record and overview.record.client:
                found.setdefault(self.catalogue.people.code_of(overview.record.client), []).append(overview)
        return {code: tuple(found[code]) for code in sorted(found)}

    @cached_property
    def days_of_pages(self) -> Mapping[str, dt.date | None]:
        """Give the day of each piece by its page."""
        return {self.piece_pages[overview.id]: overview.finished_on for overview in self.overviews.values()}

    @cached_property
    def without_client(self) -> int:
        """Count the pieces whose record names no client."""
        return sum(piece.record is not None and piece.record.client is None for piece in self.catalogue.pieces)

    @cached_property
    def client_pages(self) -> Mapping[str, str]:
        """Give the page of each client by every way in which the code is written."""
        pages = {text: f"clients/{name}.html" for text, name in file_names(self.by_client).items()}
        return {text: pages[self.catalogue.people.code_of(text)] for text in (*pages, *self.catalogue.people.spellings)}

    @cached_property
    def sleeve_pages(self) -> Mapping[str, str]:
        """Give the page with the limbs of each client who has several pieces on one, by the code."""
        shared = (code for code, pieces in self.by_client.items() if len(pieces) > 1 and shares_a_limb(pieces))
        return {code: self.client_pages[code].replace("clients/", "sleeves/", 1) for code in shared}

    @cached_property
    def due(self) -> tuple[Due, ...]:
        """Give what is to be done after the pieces, the most urgent first."""
        return due(overview.follow_up for overview in self.overviews.values())

    @cached_property
    def book(self) -> BatchBook:
        """Give all batches, ready to be looked up."""
        return BatchBook(self.catalogue)

    @cached_property
    def batches(self) -> tuple[str, ...]:
        """List the numbers of all inks and needles and of the register, one spelling each."""
        return tuple(sorted(set(self._batch_of_spelling.values())))

    @cached_property
    def _batch_of_spelling(self) -> Mapping[str, str]:
        """Give for each number as written the spelling it is shown under."""
        return {number: self.book.name_of(number) for number in self.book.numbers}

    @cached_property
    def batch_pages(self) -> Mapping[str, str]:
        """Give the page of each number, however written."""
        names = file_names(self.batches)
        return {text: f"batches/{names[shown]}.html" for text, shown in self._batch_of_spelling.items()}

    @cached_property
    def on_batches(self) -> Mapping[str, PieceOnBatch]:
        """Give the line of each piece by its id: it stands on the pages of its batches and of all that are near."""
        return {piece.id: self._on_batches(piece) for piece in self.catalogue.pieces}

    def _on_batches(self, piece: Piece) -> PieceOnBatch:
        record = piece.record
        client = self.catalogue.people.code_of(record.client) if record and record.client else ""
        return PieceOnBatch(
            dates=days_words(days_of(piece)),
            client=client,
            client_href="../" + self.client_pages[client] if client else "",
            title=piece.title,
            href="../" + self.piece_pages[piece.id],
        )

    def batch_pages_of(self, written: str | None) -> tuple[tuple[str, str], ...]:
        """Give what a field for a number says and the pages: each number with its own; without a number no page."""
        numbers = self.book.read(written).numbers
        if len(numbers) > 1:
            return tuple((number, self.batch_pages[number]) for number in numbers)
        return ((written, self.batch_pages[numbers[0]] if numbers else ""),) if written else ()

    @cached_property
    def recalls(self) -> Mapping[str, Trace]:
        """Give the recalls of the register by the number they are shown under."""
        return {recall.numbers[0]: recall for recall in recalls(self.book)}

    def pieces_to_tell(self, batch: str) -> frozenset[str]:
        """Give the ids of the pieces whose wearers are still to be told of the recall of a batch."""
        recall = self.recalls.get(self.book.name_of(batch))
        return frozenset(use.piece.id for wearer in recall.to_tell for use in wearer.uses) if recall else frozenset()

    @cached_property
    def site(self) -> Site:
        """Give what every page says."""
        catalogue = self.catalogue
        places = (
            HeadLink("index.html", say("Pieces"), len(catalogue.pieces)),
            HeadLink("stencils.html", say("Stencils"), sum(len(piece.stencils) for piece in catalogue.pieces)),
            HeadLink("clients.html", say("Clients"), len(self.by_client)),
            HeadLink("batches.html", say("Batches"), len(self.batches)),
            HeadLink("doubles.html", say("Doubles"), len(catalogue.twins.doubles)),
            HeadLink("checks.html", say("Questions"), len(catalogue.findings)),
            HeadLink("followup.html", say("Follow-up"), due_now(self.due)),
        )
        settings = catalogue.config.archive
        return Site(settings.title, settings.language, places, date_words(printed(catalogue.built_on)))

    @cached_property
    def digest(self) -> str:
        """Give a digest of what is the same on the pages of all pieces; pages are found by the names they would have.

        Only a page that had to get another name, since two differed in their capitals alone, is part of it.
        """
        odd = {text: page for text, page in self.piece_pages.items() if page != f"pieces/{file_name(text)}.html"}
        return digest_bytes(repr(self.site), repr(self.catalogue.config), self.originals, repr(odd))

    @property
    def units(self) -> str:
        """Give the unit lengths are shown in."""
        return self.catalogue.config.archive.units

    def original(self, path: str, depth: int = 0) -> str:
        """Give the address of a file of the archive folder, from a page so many folders down."""
        address = f"{self.originals}/{quote(path)}"
        return address if "://" in self.originals else "../" * depth + address


def thumbnail(overview: PieceOverview, alt: str = "", wanted_px: int = 160) -> PagePicture | None:
    """Give the small picture that stands for a piece; None without a readable photo."""
    cover = overview.photos.cover
    return picture(cover.facts.screen, alt, wanted_px=wanted_px) if cover and cover.facts else None


class AlsoUsed(Value, frozen=True):
    """Another piece that uses the same drawing or reference: page from the site's folder, title, how it differs."""

    href: str
    title: str
    words: str


def also_used(context: Context, uses: Iterable[UseElsewhere]) -> tuple[AlsoUsed, ...]:
    """Say which other pieces use a stencil or reference."""
    return tuple(
        AlsoUsed(
            context.piece_pages[use.piece_id],
            use.title,
            "" if use.pair.relation is Relation.IDENTICAL else pair_words(use.pair, use.path, say("this one")),
        )
        for use in uses
    )


def pieces_words(number: int) -> str:
    """Write "1 piece"."""
    return say_count("{number} piece", "{number} pieces", number)


def problem(context: Context, finding: Finding, depth: int) -> PageProblem:
    """Make a finding ready to be shown on a page so many folders down."""
    piece = context.catalogue.piece_at(finding.place.file)
    name = finding.place.file.removeprefix(f"{piece.folder}/") if piece else finding.place.file
    short = Place(name, finding.place.line)
    return PageProblem(
        shape=SEVERITY_WORDS[finding.severity].shape,
        where=str(short),
        href=context.original(finding.place.file, depth),
        problem=finding.problem,
        remedy=finding.remedy,
    )
