"""Make the folders of one build one after the other, put them into place together, and know what became of them."""

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from archgen.catalogue import Catalogue
from archgen.findings import Finding, Severity
from archgen.languages.house import say
from archgen.leaks.find import find_leaks, search_made
from archgen.leaks.findings import leak_findings
from archgen.leaks.folder import MadeFile
from archgen.leaks.values.private_values import private_values
from archgen.outputs.added import AddedOutput
from archgen.outputs.artifact import Artifact, Output
from archgen.outputs.not_made import NotMadeError, in_its_place, not_made
from archgen.progress import ProgressReporter
from archgen.publication.decision import Publication
from archgen.storage.cache import Cache
from archgen.storage.jobs import begun, run
from archgen.storage.plain_files import read_plain, remove_any
from archgen.storage.staging import StagedFolder, files_below, stage, swap_all

# Bytes, the place of a file that has them, or what went wrong.
_Content = bytes | str | Exception


class _Plan(NamedTuple):
    """The files of a folder, and where their bytes come from, in the same order."""

    artifacts: Sequence[Artifact]
    contents: Iterator[_Content]


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
    _begun: dict[str, _Plan] = field(default_factory=dict)

    @contextmanager
    def making(self, outputs: Iterable[Output]) -> Iterator[None]:
        """Make the files of folders that are written within the block, while other things are done in it."""
        planned: dict[str, list[Artifact]] = {}
        for output in outputs:
            with suppress(NotMadeError):  # told where the folder is written
                planned[output.folder] = _planned(output)
        ready = {name: self._ready(artifacts) for name, artifacts in planned.items()}
        waiting = [_unready(artifacts, ready[name]) for name, artifacts in planned.items()]
        with begun(self._make, waiting, self.workers) as contents:
            for (name, artifacts), made in zip(planned.items(), contents, strict=True):
                self._begun[name] = _Plan(artifacts, _in_order(ready[name], made))
            yield

    def _ready(self, artifacts: Iterable[Artifact]) -> list[str | None]:
        """Give the files that have the bytes of artifacts already; None for each that has to be made."""
        return [os.fspath(one.source) if one.source else self._kept(one) for one in artifacts]

    def _kept(self, artifact: Artifact) -> str | None:
        return self.cache.get_file(artifact.key) if artifact.key else None

    def _make(self, artifact: Artifact) -> _Content:
        """Make an artifact's bytes, kept as a file that is linked where they have a key; or say what went wrong."""
        assert artifact.make is not None  # noqa: S101 (else there is a source)
        try:
            content = artifact.make()
        except Exception as error:
            return error
        suffix = os.path.splitext(artifact.path)[1]  # noqa: PTH122  thousands of them
        return self.cache.put_file(artifact.key, content, suffix) if artifact.key else content

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
        search = search_made(self._made_files(folder), catalogue, decisions, self.cache)
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

    def _made_files(self, folder: StagedFolder) -> Sequence[MadeFile]:
        return [MadeFile(path, where, self._blob_of(folder, path)) for path, where in sorted(folder.files())]

    def _blob_of(self, folder: StagedFolder, path: str) -> str | None:
        """Give the name of the blob that a file is linked from; None for others."""
        source = folder.sources.get(path, "")
        name = os.path.basename(source)  # noqa: PTH119  thousands of them
        return name if source and source == self.cache.place_of(name) else None

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

    def swap_now(self, folder: StagedFolder, beside: Mapping[str, bytes]) -> None:
        """Put a written folder into place before all others, and the files that tell of it."""
        if swap_all(self.out, [folder], beside):
            self.note(folder.place.name)

    def files_of(self, name: str) -> Set[str]:
        """Give the paths of the files of a folder as it will stand."""
        waiting = self.waiting.get(name)
        return {path for path, _ in waiting.files()} if waiting else files_below(self.out / name)[0].keys()

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
        plan = self._begun.pop(output.folder, None) or self._begin(_planned(output))
        made = zip(*plan, strict=True)
        for artifact, content in self.progress.track(
            made, len(plan.artifacts), say("Writing {folder}", folder=output.folder)
        ):
            if isinstance(content, Exception):
                finding = not_made(output.folder, artifact, content)
                if not may_lack:
                    raise NotMadeError(finding) from content
                self._go_without(folder, artifact, finding)
            elif isinstance(content, str):
                folder.add_copy(artifact.path, content)
            else:
                folder.add(artifact.path, content)
        return folder

    def _begin(self, artifacts: Sequence[Artifact]) -> _Plan:
        ready = self._ready(artifacts)
        return _Plan(artifacts, _in_order(ready, run(self._make, _unready(artifacts, ready), self.workers)))

    def _go_without(self, folder: StagedFolder, artifact: Artifact, finding: Finding) -> None:
        self.findings.append(finding)
        self.missing[f"{folder.place.name}/{artifact.path}"] = finding
        if (content := in_its_place(artifact)) is not None:
            folder.add(artifact.path, content)


def has_leaks(folder: StagedFolder, catalogue: Catalogue) -> bool:
    """Say whether anything private is certain to be in a folder that was written."""
    folder.make_whole()
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


def _unready(artifacts: Iterable[Artifact], ready: Iterable[str | None]) -> list[Artifact]:
    return [artifact for artifact, file in zip(artifacts, ready, strict=True) if file is None]


def _in_order(ready: Iterable[str | None], made: Iterator[_Content]) -> Iterator[_Content]:
    """Give what is ready and what is made in the order of the artifacts."""
    return (next(made) if file is None else file for file in ready)
