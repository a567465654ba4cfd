"""The door for scripts and for other packages: everything a command does, as calls that print nothing.

    from archgen.api import open_archive

    archive = open_archive("my-archive")
    print([piece.title for piece in archive.pieces])

Whatever stops a call is an ArchgenError, whose message says what to do. What is imported here is what may be relied on;
other modules may change with any release.
"""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Unpack

from archgen import build as stages
from archgen.build import Options, Summary
from archgen.catalogue import Catalogue, DoubleGroup, Settled, Twins
from archgen.clock import build_day
from archgen.config import Config
from archgen.errors import ArchgenError, ConfigError, InputError, OutputError, UsageError, WithheldError
from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say
from archgen.outputs.added import PrivateOutput, PublicOutput
from archgen.outputs.archive.answers import Found, Index, SearchResult, make_index
from archgen.outputs.artifact import Artifact
from archgen.outputs.public_pictures import PublicPictures
from archgen.outputs.reprints.print_files import print_files
from archgen.outputs.reprints.working_print import reference_of, registered, working_print
from archgen.outputs.result_file import write_file
from archgen.packing.pack import Pack, PackWishes, make_pack
from archgen.pieces.gauging import gauge_limits
from archgen.pieces.overview import PieceOverview
from archgen.pieces.prints import PrintWishes, piece_job, wanted_print
from archgen.pieces.survey import SurveyedCatalogue, survey
from archgen.printing.reference_pdf import ReferenceJob
from archgen.printing.stencil_plan import Plan, make_plan
from archgen.progress import ProgressReporter, Silent
from archgen.publication.public_catalogue import PublicCatalogue, PublicPhoto, PublicPiece
from archgen.quoting.past_work import past_work
from archgen.quoting.quote import Quote, make_quote
from archgen.quoting.wish import read_wish
from archgen.reading.records import read_records
from archgen.records.find import read_one
from archgen.records.model import Client, InkBatch, Piece, PieceRecord, Stage
from archgen.rules.rule import ArchiveRule, Hit, Rule
from archgen.storage.jobs import default_workers
from archgen.supplies.stock import Product, take_stock
from archgen.tracing.book import BatchBook, BatchEntry, BatchKind, BatchUse
from archgen.tracing.recall import Trace, Wearer, trace_product
from archgen.tracing.recall import trace as trace_batch
from archgen.twins.model import Pair
from archgen.uploading.check import UploadCheck
from archgen.uploading.plan import UploadPlan
from archgen.uploading.upload import chosen_target, looked_at_again, prepared
from archgen.wording.prints import file_name
from archgen.wording.stencils.gauges import Gauged, gauge_piece

__all__ = [
    "ArchgenError",
    "Archive",
    "ArchiveRule",
    "Artifact",
    "BatchEntry",
    "BatchKind",
    "BatchUse",
    "Catalogue",
    "Client",
    "Config",
    "ConfigError",
    "DoubleGroup",
    "Finding",
    "Found",
    "Gauged",
    "Hit",
    "InkBatch",
    "InputError",
    "OutputError",
    "Pack",
    "Pair",
    "Piece",
    "PieceOverview",
    "PieceRecord",
    "Place",
    "Plan",
    "PrivateOutput",
    "Product",
    "ProgressReporter",
    "PublicCatalogue",
    "PublicOutput",
    "PublicPhoto",
    "PublicPictures",
    "PublicPiece",
    "Quote",
    "Reprint",
    "Rule",
    "SearchResult",
    "Settled",
    "Severity",
    "Stage",
    "Summary",
    "SurveyedCatalogue",
    "Trace",
    "Twins",
    "UploadCheck",
    "UploadPlan",
    "Uploaded",
    "UsageError",
    "Wearer",
    "WithheldError",
    "open_archive",
]


@dataclass(frozen=True, slots=True)
class Reprint:
    """A stencil as it will be printed; nothing is written before `save`.

    Check the rule on the printed sheet before the stencil touches skin.

    Attributes:
        name: A name for its file.
        plan: Drawings, sizes and sheets; its warnings are for whoever prints it.
    """

    name: str
    plan: Plan
    _archive: Path
    _beside: ReferenceJob | None

    def save(self, target: Path | str | None = None) -> tuple[Path, ...]:
        """Write the PDF, and the working print as a second one; give where they are.

        Args:
            target: The file; by default the print's own name in ./reprints.

        Raises:
            OutputError: It cannot be written there.
        """
        files = print_files(Path(target or Path("reprints", self.name)), self.plan, self._beside)
        return tuple(write_file(path, content, self._archive) for path, content in files)


@dataclass(frozen=True, slots=True)
class Uploaded:
    """What an upload changes at its place, and what was found there afterwards; None where nothing was sent."""

    plan: UploadPlan
    check: UploadCheck | None = None


@dataclass(frozen=True)
class Archive:
    """An archive folder as it was when it was opened; open it again to see what has changed.

    Attributes:
        folder: The archive folder.
        out: The build folder.
        records: Settings and records as read, without anything about the pictures.
    """

    folder: Path
    out: Path
    records: Catalogue
    _options: Options
    _progress: ProgressReporter = field(default_factory=Silent)

    @property
    def settings(self) -> Config:
        """Give what archive.toml says."""
        return self.records.config

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Give all pieces, newest first; record is None where it cannot be used."""
        return self.records.pieces

    @property
    def clients(self) -> Mapping[str, Client]:
        """Give the clients of clients.toml by their code. They are private: keep them out of what others see."""
        return self.records.clients

    @property
    def batches(self) -> Mapping[str, InkBatch]:
        """Give the bottles of inks.toml by their batch number."""
        return self.records.inks

    @cached_property
    def catalogue(self) -> SurveyedCatalogue:
        """Give everything that is known, with an overview of each piece.

        Pictures are read and compared, and all is checked, at the first use. Nothing is written but the picture cache
        of the build folder, where there is one.
        """
        return stages.audit_archive(self.folder, self.out, self._options, self._progress)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Give everything the checks found."""
        return self.catalogue.findings

    def twins(self) -> Twins:
        """Give the pictures that look nearly the same: all pairs, groups that are a question, what was decided."""
        return self.catalogue.twins

    def build(self, *, may_shrink: bool = False) -> Summary:
        """Build everything; a public folder in which something private is found is kept back.

        Args:
            may_shrink: Whether the portfolio may lose pieces that can't be found any more; else it isn't renewed.

        Raises:
            ArchgenError: The settings, the archive folder or the build folder cannot be used.
        """
        options = replace(self._options, may_shrink=may_shrink)
        return stages.build(self.folder, self.out, options, self._progress)

    def leaks(self, place: Path | str | None = None) -> tuple[Finding, ...]:
        """Say what of this archive is in a folder, a zip or a file that others may see.

        Words that may be chance are warnings; what could not be looked into is an error of its own
        (``privacy.unread``), so that an empty answer means that everything was read.

        Args:
            place: None is the portfolio that was built from this archive.

        Raises:
            UsageError: No portfolio was built from this archive.
            InputError: There is no such place.
        """
        folder = Path(place) if place is not None else None
        return stages.look_for_leaks(self.folder, self.out, folder, self._options, self._progress).findings

    def reprint(
        self,
        piece: str,
        *,
        printer: str | None = None,
        paper: str | None = None,
        tones: int | None = None,
        **wishes: Unpack[PrintWishes],
    ) -> Reprint:
        """Plan to print a stencil again; lengths are in mm.

        Args:
            piece: An id, the beginning of it, or words of the title.
            printer: A printer of the settings; None is the first.
            paper: Such as "A4" or "210 x 297 mm"; None is the printer's.
            tones: Of the working print that lies beside the skin, 5 for instance; None: there is none.
            wishes: Without them the version that went on the skin, once and at its recorded width.

        Raises:
            UsageError: It is not clear which piece or version is meant, or it cannot be printed so.
            InputError: A record or picture cannot be used.
        """
        found = read_one(self.folder, piece, self.settings.archive.units)
        wanted = wanted_print(self.settings, self._options.built_on, printer, paper, **wishes)
        plan = make_plan(piece_job(self.folder, found, wanted))
        beside = None
        if tones is not None:
            reference = reference_of(self.folder, found, wanted.versions, tones)
            beside = working_print(plan, reference, registered(plan, reference))
        return Reprint(file_name(found.id, plan), plan, self.folder, beside)

    def gauge(self, piece: str, *, version: str | None = None, width_mm: float | None = None) -> Gauged:
        """Measure the lines and gaps of a stencil at its printed size.

        Args:
            piece: An id, the beginning of it, or words of the title.
            version: None is the one that went on the skin.
            width_mm: Of the marks; None is the recorded one.

        Raises:
            UsageError: It is not clear which piece or version is meant, or how wide it is.
            InputError: A record or picture cannot be used.
        """
        limits = gauge_limits(self.settings.limits)
        versions = [version] if version else []
        return gauge_piece(
            self.folder, read_one(self.folder, piece, self.settings.archive.units), versions, width_mm, limits
        )

    def pack(self, *pieces: str, stage: Stage | None = None, stencils: bool = False, as_zip: bool = False) -> Pack:
        """Put chosen pieces into one file for others, whose bytes are its `content`; nothing is written.

        Args:
            pieces: An id each, the beginning of one, or words of a title, in the order in which they are shown.
            stage: Only photos of this stage; None: all that may be shown.
            stencils: Whether the stencil that went on the skin comes with each piece.
            as_zip: Pictures beside the page instead of in it.

        Raises:
            UsageError: It is not clear which piece is meant, it may not be shown, or has no such picture.
            WithheldError: Something private is in it, or can't be ruled out.
        """
        wishes = PackWishes(pieces, stage, stencils, as_zip)
        made = make_pack(self.folder, self.out, wishes, self._options, self._progress)
        _refuse_what_is_private(made.findings)
        return made

    def upload(
        self, place: str = "", *, send: bool = False, replace: bool = False, host_key: str | None = None
    ) -> Uploaded:
        """Build, and say what would change where the portfolio goes; with `send` carry it out and look again.

        Args:
            place: As for the command; empty is the one archive.toml names.
            send: Whether anything is sent.
            replace: Also over what was never sent from here.
            host_key: What the host names, for the first visit by sftp.

        Raises:
            UsageError: The place can't be read, or what lies there was not sent from here.
            WithheldError: The portfolio was not renewed, or something private is in it or can't be ruled out.
            OutputError: The place refuses or is away; what is online is whole.
        """
        text, base = (place, Path.cwd()) if place else (self.settings.upload.target or "", self.folder)
        target = chosen_target(text, base, (self.folder, self.out))
        if not self.build().is_whole:
            raise WithheldError(say("The portfolio was not renewed; the findings say why. Nothing was sent."))
        _refuse_what_is_private(self.leaks())

        def trust(_host: str, fingerprint: str) -> bool:
            return fingerprint == host_key

        with prepared(self.out, target, trust) as ready:
            if not send or ready.plan.is_empty:
                return Uploaded(ready.plan)
            if ready.doubts and not replace:
                raise UsageError(" ".join((*ready.doubts, say("Say replace=True if that is what you want."))))
            ready.carry_out(self._progress)
        sent = (*ready.plan.appears, *ready.plan.changes)
        return Uploaded(ready.plan, looked_at_again(ready.site, sent, target, trust, self._progress))

    def quote(self, width_mm: float, height_mm: float, *, styles: Sequence[str] = (), place: str = "") -> Quote:
        """Foretell hours, sittings and price of a piece still to be done, by the artist's own records.

        Args:
            width_mm: On skin.
            height_mm: On skin.
            styles: As the records write them.
            place: In any words; empty is anywhere.

        Returns:
            Its `foretold` is None where too few pieces have hours and a size.

        Raises:
            UsageError: The words for the place mean none, or several.
        """
        wish = read_wish(width_mm, height_mm, styles, place)
        return make_quote(past_work(self.pieces), wish, self.settings.quote, self.records.built_on)

    def stock(self) -> tuple[Product, ...]:
        """Say of every ink and needle how fast it goes, what is open, and what is to be done."""
        return take_stock(BatchBook(self.records), self.records.built_on)

    def find(self, question: str, most: int = 10) -> SearchResult:
        """Find pieces, stencils, clients and batches by words and figures, the best first, as the archive's pages do.

        It goes by the records; what only pictures tell, such as the day of a photo, is found on the built pages.
        """
        return self._index.ask(question, self.records.built_on, most)

    @cached_property
    def _index(self) -> Index:
        return make_index(survey(self.records))

    def trace(self, number: str, kind: BatchKind | None = None) -> Trace:
        """Say on whose skin a batch of ink or needles went and who is still to be told; None looks through all kinds.

        It says what was written down; it does not replace the maker's or the authority's notice.
        """
        return trace_batch(BatchBook(self.records), number, kind)

    def trace_product(self, name: str) -> Trace:
        """Say the same of all batches of a product or maker."""
        return trace_product(BatchBook(self.records), name)


def _refuse_what_is_private(findings: Sequence[Finding]) -> None:
    if errors := [one for one in findings if one.severity is Severity.ERROR]:
        raise WithheldError(
            say(
                "{place}: {problem} {remedy} Nothing left the studio.",
                place=errors[0].place,
                problem=errors[0].problem,
                remedy=errors[0].remedy,
            )
        )


def open_archive(
    folder: Path | str,
    out: Path | str = "build",
    *,
    workers: int | None = None,
    built_on: dt.date | None = None,
    progress: ProgressReporter | None = None,
) -> Archive:
    """Read the settings and records of an archive folder.

    Args:
        folder: The archive folder.
        out: Where a build goes.
        workers: Pictures read side by side; None: as many as there are cores, at most eight.
        built_on: The day that counts as today; None: today, or the day of SOURCE_DATE_EPOCH.
        progress: Is told how far long work has come; None: nobody is.

    Raises:
        InputError: The folder is not an archive.
        ConfigError: archive.toml cannot be used.
        UsageError: SOURCE_DATE_EPOCH is not a number.
    """
    options = Options(workers or default_workers(), built_on or build_day())
    records = read_records(Path(folder), options.built_on)
    return Archive(Path(folder), Path(out), records, options, progress or Silent())
