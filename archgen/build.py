"""Run the stages of a build in order: the only module that knows the order."""

import datetime as dt
import os
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

import msgspec

from archgen.catalogue import Catalogue
from archgen.clock import WatchedDay, build_day
from archgen.config import Config
from archgen.doubles.find import find_twins
from archgen.doubles.stored import DESCRIBE
from archgen.errors import UsageError
from archgen.findings import Finding, Severity, may_go_right
from archgen.languages.house import say
from archgen.leaks.find import FolderSearch, search_folder
from archgen.leaks.findings import leak_findings
from archgen.leaks.folder import check_place
from archgen.outputs.folders import OutputFolders
from archgen.outputs.known_keys import KnownKeys
from archgen.outputs.not_made import telling
from archgen.outputs.portfolio.leaving import telling_what_left, usable_theme, write_what_left
from archgen.outputs.portfolio.publishing import PortfolioPublisher
from archgen.outputs.portfolio.reach import check_nothing_vanished, check_pieces_are_there, decisions_about
from archgen.outputs.portfolio.standing import StandingPortfolio
from archgen.outputs.registry import (
    added_private_outputs,
    archive_output,
    extension_findings,
    printed_outputs,
    public_outputs,
)
from archgen.picture_facts.facts import ImageJob
from archgen.picture_facts.jobs import mark_job, picture_jobs
from archgen.picture_facts.known_pictures import KnownPictures
from archgen.picture_facts.known_stencils import keep_stencils
from archgen.picture_facts.stage import read_pictures
from archgen.pieces.gauging import gauge_archive, lay_archive
from archgen.pieces.survey import SurveyedCatalogue, survey
from archgen.progress import ProgressReporter
from archgen.publication.decision import decide_all, waiting_for_copies
from archgen.publication.public_catalogue import publish
from archgen.reading.records import nothing_circular, read_records, records_under
from archgen.records.memory import memory_in
from archgen.records.reader import check_archive
from archgen.rules.runner import run_added_rules, run_rules
from archgen.sealing.silent_changes import silent_changes
from archgen.storage.build_folder import MARKER, is_built_from, remember_archive
from archgen.storage.cache import Cache
from archgen.storage.interrupts import finishing_first
from archgen.storage.jobs import default_workers, keep_memory_low
from archgen.storage.scratch import clear_scratch
from archgen.storage.staging import finish_stopped_swap, is_desk_open, output_folder
from archgen.storage.tree_state import TreeState

AnyCatalogue = TypeVar("AnyCatalogue", bound=Catalogue)


@dataclass(frozen=True)
class Options:
    """How to build.

    Attributes:
        workers: Threads.
        built_on: The day it is built on.
        may_shrink: Whether the portfolio may lose pieces that can't be found any more.
        looked: How the folders of the pieces stand, where somebody looked just before.
        tidy: Whether what the build did not need leaves the cache; None: unless a desk is open, whose pictures that
            wait to be filed lie there too.
        before_change: Called before anything changes beside the cache; it may wait, and give the build up by raising.
    """

    workers: int = field(default_factory=default_workers)
    built_on: dt.date = field(default_factory=build_day)
    may_shrink: bool = False
    tidy: bool | None = None
    looked: Mapping[str, TreeState] | None = None
    before_change: Callable[[], None] = lambda: None


@dataclass(frozen=True)
class LeakReport:
    """What of an archive, whose settings these are, is in a place."""

    place: Path
    config: Config
    search: FolderSearch
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Summary:
    """What a build did.

    Attributes:
        changed: Folders that were replaced because something in them changed.
        withheld: Public folders that were kept back because something private was found in them.
        missing: Pieces of the portfolio that can't be found any more, so that it wasn't renewed.
        taken_out: Pieces that had to leave the portfolio's pages at once.
        added: Folders that other packages made.
        beside: Folders of the artist's own looks.
    """

    catalogue: SurveyedCatalogue
    out: Path
    changed: tuple[str, ...]
    withheld: tuple[str, ...]
    missing: tuple[str, ...]
    taken_out: tuple[str, ...]
    added: tuple[str, ...]
    beside: tuple[Path, ...]
    seconds: float

    @property
    def is_whole(self) -> bool:
        """Say whether everything was renewed."""
        return not (self.withheld or self.missing)

    @property
    def is_steady(self) -> bool:
        """Say whether the same would come out again: all was renewed, and nothing went wrong that may go right."""
        return self.is_whole and not any(map(may_go_right, self.catalogue.findings))

    @property
    def same_days(self) -> tuple[dt.date, dt.date]:
        """Give the first and the last day on which the same comes out, but for the lines that name the day."""
        day = self.catalogue.built_on
        return day.same_days if isinstance(day, WatchedDay) else (day, day)

    @property
    def unusable(self) -> tuple[Finding, ...]:
        """Give the findings for which something is missing from the result."""
        return tuple(f for f in self.catalogue.findings if f.severity is Severity.ERROR and is_unusable(f))


def is_unusable(finding: Finding) -> bool:
    """Say whether a finding means that a record or picture could not be used at all."""
    return finding.code.startswith(("record.", "image.", "output.", "privacy."))


def read_catalogue(
    root: Path, cache: Cache, options: Options, progress: ProgressReporter, *, gauged: bool = False
) -> SurveyedCatalogue:
    """Read settings, records and pictures, work out what follows from each piece, and check it.

    With `gauged` the stencils are measured too, as the pages and sheets of a build show them.

    Raises:
        ConfigError: archive.toml cannot be used.
        InputError: The folder is not an archive.
    """
    memory = memory_in(cache.folder)
    records = read_records(root, options.built_on, memory, options.looked)
    memory.save()
    return complete(records, KnownPictures(cache, memory.states), options, progress, gauged=gauged)


def complete(
    catalogue: Catalogue, known: KnownPictures, options: Options, progress: ProgressReporter, *, gauged: bool
) -> SurveyedCatalogue:
    """Read the pictures beside the records, work out what follows from each piece, and check it."""
    cache = known.cache
    # What the records alone keep in needs no copies for the public, which take longer than all else.
    public = set(waiting_for_copies(catalogue, decide_all(catalogue)))
    jobs = list(picture_jobs(catalogue.to_show, public, avif=catalogue.config.portfolio.avif))
    catalogue = with_pictures(catalogue, jobs, cache, options, progress, known)
    catalogue = replace(catalogue, twins=find_twins(catalogue, cache, progress))
    catalogue = _with_mark(catalogue, cache, options, progress)
    if gauged:
        catalogue = gauge_archive(catalogue, cache, options.workers, progress)
        catalogue = lay_archive(catalogue, cache, options.workers, progress)
    surveyed = checked(catalogue)
    # A picture's own file may have said what lets a piece be shown.
    waiting = catalogue.facts.keys() & set(waiting_for_copies(surveyed, surveyed.publications)) - public
    if late := [msgspec.structs.replace(job, public=True) for job in jobs if job.path in waiting]:
        surveyed = checked(with_pictures(catalogue, late, cache, options, progress, known))
    known.save()
    return surveyed


def with_pictures(  # noqa: PLR0913, PLR0917  as `read_pictures`
    catalogue: AnyCatalogue,
    jobs: Sequence[ImageJob],
    cache: Cache,
    options: Options,
    progress: ProgressReporter,
    known: KnownPictures | None = None,
) -> AnyCatalogue:
    """Add what was found in these pictures."""
    results = read_pictures(jobs, catalogue.config.root, cache, options.workers, progress, DESCRIBE, known)
    facts = {path: result.facts for path, result in results.items() if result.facts}
    found = [catalogue.of_its_piece(f) for result in results.values() for f in result.findings]
    return replace(catalogue, facts={**catalogue.facts, **facts}, findings=(*catalogue.findings, *found))


def _with_mark(catalogue: Catalogue, cache: Cache, options: Options, progress: ProgressReporter) -> Catalogue:
    """Add the picture that is the site's sign, where the settings name one."""
    job = mark_job(catalogue.config)
    if job is None:
        return catalogue
    result = read_pictures([job], catalogue.config.root, cache, options.workers, progress)[job.path]
    return replace(catalogue, mark=result.facts, findings=(*catalogue.findings, *result.findings))


def checked(catalogue: Catalogue) -> SurveyedCatalogue:
    """Work out what follows from each piece of a catalogue that is read, and run the rules."""
    with nothing_circular():
        surveyed = survey(catalogue)
        # What a rule of another package finds may keep a piece in, so it comes before the decision that counts.
        if added := run_added_rules(surveyed):
            surveyed = survey(replace(catalogue, findings=(*catalogue.findings, *added)))
        findings = (*surveyed.findings, *run_rules(surveyed), *extension_findings())
        return replace(surveyed, findings=tuple(sorted(set(findings), key=lambda f: f.sort_key)))


def build(root: Path, out: Path, options: Options, progress: ProgressReporter) -> Summary:
    """Build everything below out and leave the archive folder as it is.

    Raises:
        ArchgenError: The settings, the archive folder or the build folder cannot be used.
    """
    started = time.monotonic()
    keep_memory_low()
    clear_scratch()
    options = replace(options, built_on=WatchedDay.of(options.built_on))
    # What stops a build comes before a build folder is made.
    theme = usable_theme(root, out, options.workers, partial(records_under, built_on=options.built_on))
    check_archive(root)
    with output_folder(out, root):
        cache = Cache(out / "cache")
        folders = OutputFolders(out, cache, options.workers, progress, options.before_change)
        portfolio = PortfolioPublisher(StandingPortfolio(out), folders, theme)
        with telling_what_left(portfolio):
            catalogue = _build_folders(root, portfolio, options, progress)
        if options.tidy if options.tidy is not None else not is_desk_open(out):
            cache.prune(_blobs_in_use(catalogue))
        cache.save()
    return Summary(
        catalogue,
        out,
        changed=tuple(folders.changed),
        withheld=tuple(folders.withheld),
        missing=portfolio.missing,
        taken_out=tuple(portfolio.taken_out),
        added=tuple(folders.added),
        beside=theme.own_folders,
        seconds=time.monotonic() - started,
    )


def _build_folders(
    root: Path, portfolio: PortfolioPublisher, options: Options, progress: ProgressReporter
) -> SurveyedCatalogue:
    folders, standing = portfolio.folders, portfolio.standing
    memory = memory_in(folders.cache.folder)
    # What the records alone forbid leaves first, whatever comes of the rest; it needs no room on the disk.
    with finishing_first():
        records = read_records(root, options.built_on, memory, options.looked)
        check_pieces_are_there(records, standing, may_shrink=options.may_shrink)
        portfolio.take_out(records, decisions_about(records, standing))
    memory.save()
    remember_archive(folders.out, root)
    catalogue = complete(records, KnownPictures(folders.cache, memory.states), options, progress, gauged=True)
    keep_stencils(folders.cache, root, catalogue.facts)
    folders.cache.read_again(os.path.join(root, path) for path in catalogue.facts)  # noqa: PTH118  thousands of them
    found = (*catalogue.findings, *silent_changes(catalogue, folders.out, folders.cache))
    catalogue = replace(catalogue, findings=tuple(sorted(found, key=lambda f: f.sort_key)))
    check_nothing_vanished(catalogue)
    # What the pictures forbid, too: what follows takes its time, and comes into place all at once.
    portfolio.take_out(catalogue, catalogue.publications)
    blobs = folders.cache.blobs
    keys = KnownKeys(folders.cache.folder / "keys.json")
    printed = printed_outputs(catalogue, blobs, keys)
    with folders.making(printed):
        _renew_portfolio(portfolio, catalogue, may_shrink=options.may_shrink)
        for output in (*added_private_outputs(catalogue, blobs), *printed):
            folders.replace(output)
    findings, state = catalogue.findings, standing.state_in(folders.files_of(standing.folder.name))
    catalogue = replace(catalogue, findings=(*findings, *folders.findings), portfolio=state)
    folders.replace(archive_output(telling(catalogue, folders.missing), blobs, folders.out, keys))
    # Prints are drawn from the archive's own files: what went away meanwhile is no reason to lose one.
    check_nothing_vanished(catalogue)
    folders.commit()
    keys.save()
    write_what_left(portfolio, catalogue.config.portfolio.url)
    return replace(catalogue, findings=(*findings, *folders.findings))


def _renew_portfolio(portfolio: PortfolioPublisher, catalogue: SurveyedCatalogue, *, may_shrink: bool) -> None:
    """Make the public folders; what they are made of is not kept while the archive is made."""
    published = publish(catalogue, catalogue.publications, catalogue.fresh_on_healed)
    outputs = public_outputs(catalogue, published.catalogue, portfolio.folders.cache.blobs)
    portfolio.renew(outputs, published, catalogue, may_shrink=may_shrink)


def _blobs_in_use(catalogue: Catalogue) -> Iterable[str]:
    for facts in catalogue.facts.values():
        yield from facts.blobs
    for gauge in catalogue.gauges.values():
        yield from gauge.blobs
    for pair in catalogue.overlays.values():
        yield from pair.blobs
    for laid in catalogue.laid.values():
        yield from laid.blobs
    yield from catalogue.mark.blobs if catalogue.mark else ()


def audit_archive(root: Path, out: Path, options: Options, progress: ProgressReporter) -> SurveyedCatalogue:
    """Read and check everything; write nothing but the picture cache of a build folder, where there is one.

    Raises:
        ArchgenError: The settings or the archive folder cannot be used.
    """
    options = replace(options, built_on=WatchedDay.of(options.built_on))
    with picture_cache(out) as cache:
        catalogue = read_catalogue(root, cache, options, progress)
        cache.save()
        return catalogue


@contextmanager
def picture_cache(out: Path) -> Iterator[Cache]:
    """Give the picture cache of a build folder; one for the moment where there is none."""
    finish_stopped_swap(out)
    with ExitStack() as stack:
        folder = out if (out / MARKER).is_file() else Path(stack.enter_context(TemporaryDirectory()))
        yield Cache(folder / "cache")


def look_for_leaks(
    root: Path, out: Path, place: Path | None, options: Options, progress: ProgressReporter
) -> LeakReport:
    """Say what of an archive is in a folder, a zip or a file; None is the portfolio that was built from it.

    Raises:
        UsageError: No portfolio was built from this archive.
        InputError: There is no such place.
    """
    is_ours = place is None
    if place is None:
        place = out / "portfolio"
        if not place.is_dir() or not is_built_from(out, root):
            raise UsageError(
                say(
                    "{place} is not a portfolio built from {root}. Name the folder to look through, or build "
                    "first: archgen build --archive {root} --out {out}",
                    place=place,
                    root=root,
                    out=out,
                )
            )
    check_place(place)
    with picture_cache(out) as cache:
        catalogue = read_catalogue(root, cache, options, progress)
        cache.save()
        search = search_folder(place, catalogue, catalogue.publications, cache)
    findings = leak_findings(search.leaks, place.as_posix(), is_ours=is_ours)
    return LeakReport(place, catalogue.config, search, findings)
