"""Run the stages of a build in order: the only module that knows the order."""

import datetime as dt
import gc
import time
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from archgen.catalogue import Catalogue
from archgen.clock import build_day
from archgen.config import read_config
from archgen.doubles.find import find_twins
from archgen.doubles.stored import DESCRIBE
from archgen.findings import Finding, Severity
from archgen.leaks.private_values import private_values
from archgen.leaks.search import find_leaks, leak_findings
from archgen.outputs.added import AddedOutput
from archgen.outputs.artifact import Artifact, Output
from archgen.outputs.portfolio.theme import portfolio_theme
from archgen.outputs.registry import added_private_outputs, extension_findings, private_outputs, public_outputs
from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.pieces.gauging import gauge_archive
from archgen.pieces.survey import SurveyedCatalogue, survey
from archgen.progress import ProgressReporter
from archgen.records.memory import Memory
from archgen.records.model import Piece
from archgen.records.reader import check_archive, read_archive
from archgen.rules.runner import run_added_rules, run_rules
from archgen.storage.cache import Cache
from archgen.storage.jobs import default_workers, keep_memory_low, run
from archgen.storage.staging import MARKER, StagedFolder, output_folder, stage


@dataclass(frozen=True)
class Options:
    """How to build: worker threads, the day it is built on."""

    workers: int = field(default_factory=default_workers)
    built_on: dt.date = field(default_factory=build_day)


@dataclass(frozen=True)
class Summary:
    """What a build did.

    Attributes:
        changed: Folders that were replaced because something in them changed.
        withheld: Public folders that were kept back because something private was found in them.
        added: Folders that other packages made.
    """

    catalogue: SurveyedCatalogue
    out: Path
    changed: tuple[str, ...]
    withheld: tuple[str, ...]
    added: tuple[str, ...]
    seconds: float

    @property
    def unusable(self) -> tuple[Finding, ...]:
        """Give the findings for which something is missing from the result."""
        return tuple(f for f in self.catalogue.findings if f.severity is Severity.ERROR and is_unusable(f))


def is_unusable(finding: Finding) -> bool:
    """Say whether a finding means that a record or picture could not be used at all."""
    return finding.code.startswith(("record.", "image.", "privacy."))


def read_catalogue(
    root: Path, cache: Cache, options: Options, progress: ProgressReporter, *, gauged: bool = False
) -> SurveyedCatalogue:
    """Read settings, records and pictures, work out what follows from each piece, and check it.

    With `gauged` the stencils are measured too, as the pages and sheets of a build show them.

    Raises:
        ConfigError: archive.toml cannot be used.
        InputError: The folder is not an archive.
    """
    memory = Memory(cache.folder / "records.json")
    catalogue = read_records(root, options.built_on, memory)
    memory.save()
    jobs = list(picture_jobs(catalogue.pieces))
    results = read_pictures(jobs, root, cache, options.workers, progress, DESCRIBE)
    facts = {path: result.facts for path, result in results.items() if result.facts}
    found = [_of_its_piece(f) for result in results.values() for f in result.findings]
    catalogue = replace(catalogue, facts=facts, findings=(*catalogue.findings, *found))
    catalogue = replace(catalogue, twins=find_twins(catalogue, cache, progress))
    if gauged:
        catalogue = gauge_archive(catalogue, cache, options.workers, progress)
    with _nothing_circular():
        surveyed = survey(catalogue)
        # What a rule of another package finds may keep a piece in, so it comes before the decision that counts.
        if added := run_added_rules(surveyed):
            surveyed = survey(replace(catalogue, findings=(*catalogue.findings, *added)))
        findings = (*surveyed.findings, *run_rules(surveyed), *extension_findings())
        return replace(surveyed, findings=tuple(sorted(set(findings), key=lambda f: f.sort_key)))


def read_records(root: Path, built_on: dt.date, memory: Memory | None = None) -> Catalogue:
    """Read settings and records only: what needs no picture is answered at once.

    Raises:
        ConfigError: archive.toml cannot be used.
        InputError: The folder is not an archive.
    """
    config = read_config(root)
    with _nothing_circular():
        archive = read_archive(root, memory)
    return Catalogue(
        config=config,
        pieces=archive.pieces,
        inks=archive.inks,
        ink_lines=archive.ink_lines,
        clients=archive.clients,
        facts={},
        findings=archive.findings,
        built_on=built_on,
        texts=archive.texts,
        decisions=archive.decisions,
        decision_lines=archive.decision_lines,
        supplies=archive.supplies,
        boxes=archive.boxes,
        told=archive.told,
    )


@contextmanager
def _nothing_circular() -> Iterator[None]:
    """Look for no circles to clear away while only records and findings are made, which have none.

    The looking took a tenth of the processor time of an audit of 6,000 pieces (tests/bench/bench_audit.py).
    """
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def build(root: Path, out: Path, options: Options, progress: ProgressReporter) -> Summary:
    """Build everything below out and leave the archive folder as it is.

    Raises:
        ArchgenError: The settings, the archive folder or the build folder cannot be used.
    """
    started = time.monotonic()
    keep_memory_low()
    # What stops a build comes before a build folder is made.
    portfolio_theme(read_config(root))
    check_archive(root)
    with output_folder(out, root):
        cache = Cache(out / "cache")
        catalogue = read_catalogue(root, cache, options, progress, gauged=True)
        folders = _Folders(out, cache, options.workers, progress)
        for output in public_outputs(catalogue, cache.blobs):
            folders.publish(output, catalogue)
        for output in added_private_outputs(catalogue, cache.blobs):
            folders.replace(output)
        catalogue = replace(catalogue, findings=(*catalogue.findings, *folders.findings))
        for output in private_outputs(catalogue, cache.blobs, out):
            folders.replace(output)
        cache.prune(_blobs_in_use(catalogue))
        cache.save()
    return Summary(
        catalogue,
        out,
        changed=tuple(folders.changed),
        withheld=tuple(folders.withheld),
        added=tuple(folders.added),
        seconds=time.monotonic() - started,
    )


def _blobs_in_use(catalogue: Catalogue) -> Iterable[str]:
    for facts in catalogue.facts.values():
        yield from facts.blobs
    for gauge in catalogue.gauges.values():
        yield from gauge.blobs


def audit_archive(root: Path, out: Path, options: Options, progress: ProgressReporter) -> SurveyedCatalogue:
    """Read and check everything; write nothing but the picture cache of a build folder, where there is one.

    Raises:
        ArchgenError: The settings or the archive folder cannot be used.
    """
    with ExitStack() as stack:
        folder = out if (out / MARKER).is_file() else Path(stack.enter_context(TemporaryDirectory()))
        cache = Cache(folder / "cache")
        catalogue = read_catalogue(root, cache, options, progress)
        cache.save()
        return catalogue


def picture_jobs(pieces: Iterable[Piece]) -> Iterable[ImageJob]:
    """List every picture of the archive; public copies only where the record asks for publication."""
    for piece in pieces:
        record = piece.record
        wanted = (
            {f"{piece.folder}/{p.file}" for p in record.photo if p.may_publish} if record and record.publish else set()
        )
        for path in piece.photos:
            yield ImageJob(path, Role.PHOTO, path in wanted)
        for path in piece.stencils:
            yield ImageJob(path, Role.STENCIL)
        for path in piece.references:
            yield ImageJob(path, Role.REFERENCE)


@dataclass
class _Folders:
    """The folders of one build, made one after the other, and what became of them."""

    out: Path
    cache: Cache
    workers: int
    progress: ProgressReporter
    changed: list[str] = field(default_factory=list)
    withheld: list[str] = field(default_factory=list)
    added: list[str] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def publish(self, output: Output, catalogue: Catalogue) -> None:
        """Put a folder for others into place unless something private is found in it."""
        folder = self._staged(output)
        if folder is None:
            return
        found = leak_findings(find_leaks(folder.staging, private_values(catalogue)), output.folder)
        self.findings += found
        if any(finding.severity is Severity.ERROR for finding in found):
            self.withheld.append(output.folder)
            folder.discard()
        elif folder.swap():
            self.changed.append(output.folder)

    def replace(self, output: Output) -> None:
        """Put a folder that stays in the studio into place."""
        folder = self._staged(output)
        if folder is not None and folder.swap():
            self.changed.append(output.folder)

    def _staged(self, output: Output) -> StagedFolder | None:
        """Write a folder beside its place; None, and a finding, when another package's output fails."""
        if not isinstance(output, AddedOutput):
            return self._write(output)
        try:
            folder = self._write(output)
        except Exception as error:
            self.findings.append(output.origin.failure("output", error))
            return None
        self.added.append(output.folder)
        return folder

    def _write(self, output: Output) -> StagedFolder:
        folder = stage(self.out, output.folder)
        artifacts = list(output.artifacts())
        contents = run(partial(_content, cache=self.cache), artifacts, self.workers)
        made = zip(artifacts, contents, strict=True)
        for artifact, content in self.progress.track(made, len(artifacts), f"Writing {output.folder}"):
            if content is not None:
                folder.add(artifact.path, content)
            elif artifact.source is not None:
                folder.add_copy(artifact.path, artifact.source)
        return folder


def _content(artifact: Artifact, cache: Cache) -> bytes | None:
    """Give an artifact's bytes, kept ones where there are any; None for a copy."""
    if artifact.make is None:
        return None
    content = cache.get(artifact.key) if artifact.key else None
    if content is None:
        content = artifact.make()
        if artifact.key:
            cache.put(artifact.key, content)
    return content


def _of_its_piece(finding: Finding) -> Finding:
    parts = finding.place.file.split("/")
    return replace(finding, piece=parts[1]) if parts[0] == "pieces" and len(parts) > 1 else finding
