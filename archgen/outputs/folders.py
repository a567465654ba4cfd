"""Make the folders of one build one after the other, put them into place together, and know what became of them."""

import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.findings import Finding, Severity
from archgen.leaks.find import find_leaks, search_folder
from archgen.leaks.findings import leak_findings
from archgen.leaks.values.private_values import private_values
from archgen.outputs.added import AddedOutput
from archgen.outputs.artifact import Artifact, Output
from archgen.outputs.not_made import NotMadeError, in_its_place, not_made
from archgen.progress import ProgressReporter
from archgen.publication.decision import Publication
from archgen.storage.cache import Cache
from archgen.storage.jobs import begun, run
from archgen.storage.plain_files import read_plain, remove_any
from archgen.storage.staging import StagedFolder, stage, swap_all

# Nobody edits them, and they are large: kept once, and linked into their folder without being read.
_PRINTS = ".pdf"


@dataclass
class OutputFolders:
    """The folders below a build folder.

    Attributes:
        before_change: Called before anything in them changes; it may give the build up by raising.
        changed: Folders that were replaced because something in them changed.
        withheld: Public folders that were kept back because something private was found in them.
        added: Folders that other packages made.
        missing: Files that could not be made, by their path in the build folder.
        waiting: Folders that are written and not yet in place.
        beside: Files that come into place with them, by name.
    """

    out: Path
    cache: Cache
    workers: int
    progress: ProgressReporter
    before_change: Callable[[], None] = lambda: None
    changed: list[str] = field(default_factory=list)
    withheld: list[str] = field(default_factory=list)
    added: list[str] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    missing: dict[str, Finding] = field(default_factory=dict)
    waiting: dict[str, StagedFolder] = field(default_factory=dict)
    beside: dict[str, bytes] = field(default_factory=dict)
    _begun: dict[str, tuple[list[Artifact], Iterator[bytes | Path | Exception | None]]] = field(default_factory=dict)

    @contextmanager
    def making(self, outputs: Iterable[Output]) -> Iterator[None]:
        """Make the files of folders that are written within the block, while other things are done in it."""
        planned: dict[str, list[Artifact]] = {}
        for output in outputs:
            with suppress(NotMadeError):  # told where the folder is written
                planned[output.folder] = _planned(output)
        with begun(partial(_content, cache=self.cache), list(planned.values()), self.workers) as contents:
            self._begun = dict(zip(planned, zip(planned.values(), contents, strict=True), strict=True))
            yield

    def publish(
        self,
        output: Output,
        catalogue: Catalogue,
        decisions: Mapping[str, Publication],
        before: Callable[[], None] | None = None,
    ) -> bool:
        """Put a folder for others into place unless something private is found in it; say whether it is there.

        `before` is called when it is certain that it will be.
        """
        folder = self._attempt(output)
        if folder is None:
            self.withheld += [] if isinstance(output, AddedOutput) else [output.folder]
            return False
        search = search_folder(folder.staging, catalogue, decisions, self.cache)
        found = leak_findings(search.leaks, output.folder)
        self.findings += found
        if any(finding.severity is Severity.ERROR for finding in found):
            self.withheld.append(output.folder)
            folder.discard()
            return False
        if before:
            before()
        self.waiting[output.folder] = folder
        return True

    def replace(self, output: Output) -> None:
        """Put a folder that stays in the studio into place."""
        folder = self._attempt(output, may_lack=not isinstance(output, AddedOutput))
        if folder is not None:
            self.waiting[output.folder] = folder

    def remove(self, name: str) -> None:
        """Take a folder away that could not be renewed."""
        if os.path.lexists(self.out / name):
            remove_any(self.out / name)
            self.note(name)

    def swap_now(self, folder: StagedFolder) -> None:
        """Put a written folder into place on its own, before all others."""
        if folder.swap():
            self.note(folder.place.name)

    def where(self, name: str) -> Path:
        """Give the folder as it will stand: beside its place while it waits."""
        waiting = self.waiting.get(name)
        return waiting.staging if waiting else self.out / name

    def commit(self) -> None:
        """Put all folders that wait into place, and the files that tell of them: all, or none."""
        self.before_change()
        files = {name: content for name, content in self.beside.items() if not self._reads(name, content)}
        for name in swap_all(self.out, list(self.waiting.values()), files):
            self.note(name)
        self.waiting.clear()
        self.beside.clear()

    def _reads(self, name: str, content: bytes) -> bool:
        try:
            return read_plain(self.out / name) == content
        except OSError:
            return False

    def note(self, name: str) -> None:
        """Note that something in a folder changed."""
        if name not in self.changed:
            self.changed.append(name)

    def _attempt(self, output: Output, *, may_lack: bool = False) -> StagedFolder | None:
        """Write a folder beside its place; None, and a finding, when it fails as a whole."""
        if not isinstance(output, AddedOutput):
            try:
                return self.write(output, may_lack=may_lack)
            except NotMadeError as failure:
                self.findings.append(failure.finding)
                return None
        try:
            folder = self.write(output)
        except Exception as error:
            self.findings.append(output.origin.failure("output", error))
            return None
        self.added.append(output.folder)
        return folder

    def write(self, output: Output, *, may_lack: bool = False) -> StagedFolder:
        """Write a folder beside its place; where it may lack a file, one that cannot be made is told of.

        Raises:
            NotMadeError: A file could not be made, or the list of them.
            OSError: The disk cannot be written.
        """
        folder = stage(self.out, output.folder, self.cache.digest)
        if output.folder in self._begun:
            artifacts, contents = self._begun.pop(output.folder)
        else:
            artifacts = _planned(output)
            contents = run(partial(_content, cache=self.cache), artifacts, self.workers)
        made = zip(artifacts, contents, strict=True)
        for artifact, content in self.progress.track(made, len(artifacts), f"Writing {output.folder}"):
            if isinstance(content, Exception):
                finding = not_made(output.folder, artifact, content)
                if not may_lack:
                    raise NotMadeError(finding) from content
                self._go_without(folder, artifact, finding)
            elif isinstance(content, Path):
                folder.add_copy(artifact.path, content)
            elif content is not None:
                folder.add(artifact.path, content)
        return folder

    def _go_without(self, folder: StagedFolder, artifact: Artifact, finding: Finding) -> None:
        self.findings.append(finding)
        self.missing[f"{folder.place.name}/{artifact.path}"] = finding
        if (content := in_its_place(artifact)) is not None:
            folder.add(artifact.path, content)


def has_leaks(folder: StagedFolder, catalogue: Catalogue) -> bool:
    """Say whether anything private is certain to be in a folder that was written."""
    found = leak_findings(find_leaks(folder.staging, private_values(catalogue)), folder.place.name)
    return any(finding.severity is Severity.ERROR for finding in found)


def _planned(output: Output) -> list[Artifact]:
    """List the files of a folder.

    Raises:
        NotMadeError: That could not be done.
    """
    try:
        return list(output.artifacts())
    except Exception as error:
        raise NotMadeError(not_made(output.folder, Artifact("index.html"), error)) from error


def _content(artifact: Artifact, cache: Cache) -> bytes | Path | Exception | None:
    """Give an artifact's bytes, or the file that has them, kept ones where there are any; or what went wrong."""
    if artifact.make is None:
        return artifact.source
    is_print = artifact.path.endswith(_PRINTS)
    if artifact.key and (kept := cache.get_file(artifact.key) if is_print else cache.get(artifact.key)):
        return kept
    try:
        content = artifact.make()
    except Exception as error:
        return error
    if artifact.key and is_print:
        return cache.put_file(artifact.key, content, _PRINTS)
    if artifact.key:
        cache.put(artifact.key, content)
    return content
