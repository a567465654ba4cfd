"""Read every picture once: facts, smaller copies, hashes, findings; through the cache; knows pictures, not pieces."""

import logging
import os
import stat
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

import msgspec
import PIL
import pillow_heif

from archgen.errors import InputError, disk_reason
from archgen.findings import Place
from archgen.images import decode, derivatives, orient
from archgen.languages.house import house, say
from archgen.metadata.picture_file import UnopenedError, open_file
from archgen.picture_facts import copies, remarks
from archgen.picture_facts.facts import Describe, ImageFacts, ImageJob, ImageResult, Role
from archgen.picture_facts.known_pictures import KnownPictures
from archgen.progress import ProgressReporter
from archgen.stencils import drawn_part, stencil_file
from archgen.stencils.vector.area import read_sheet
from archgen.storage import jobs as storage_jobs
from archgen.storage.cache import Cache
from archgen.storage.files import is_inside

STAGE = "images"
VERSION = 14


def read_pictures(  # noqa: PLR0913, PLR0917  one call, from one place
    jobs: Sequence[ImageJob],
    root: Path,
    cache: Cache,
    workers: int,
    progress: ProgressReporter,
    describe: Describe | None = None,
    known: KnownPictures | None = None,
) -> dict[str, ImageResult]:
    """Read all pictures, from the cache where nothing changed; what is known is not even looked at.

    Findings have no piece yet; their file is the job's path. Every blob that a result names is in the cache.
    """
    read = partial(_read, desk=_Run(root, cache, storage_jobs.Budget(decode.MEMORY_BYTES), describe))
    if known:
        known.begin(repr((VERSION, *_read_with(describe))))
    recalled = {job: result for job in jobs if known and (result := known.recall(job))}
    left = [job for job in jobs if job not in recalled]
    with quiet():
        results = progress.track(storage_jobs.run(read, left, workers), len(left), "Reading pictures")
        read_now = dict(zip(left, results, strict=True))
    for job, result in read_now.items():
        if known and result.facts:
            known.keep(job, result, partial(_key, job, result.facts.digest, describe))
    return {job.path: recalled.get(job) or read_now[job] for job in jobs}


@dataclass(frozen=True, slots=True)
class _Run:
    """What all pictures of one run share."""

    root: Path
    cache: Cache
    memory: storage_jobs.Budget
    describe: Describe | None
    folders: dict[str, bool] = field(default_factory=dict)

    def holds(self, folder: str) -> bool:
        """Say whether a folder at or below the root lies there, links followed; each is looked at once."""
        top = os.fspath(self.root)
        if len(folder) <= len(top):
            return folder == top
        if folder not in self.folders:
            is_link = os.path.islink(folder)  # noqa: PTH114  as in _read
            self.folders[folder] = is_inside(Path(folder), self.root) if is_link else self.holds(_parent(folder))
        return self.folders[folder]

    def wanted(self, job: ImageJob) -> copies.WantedCopies:
        """Say what is to be made of a picture."""
        return copies.WantedCopies(self.cache, job.public, job.avif, self.describe)


def _read(job: ImageJob, desk: _Run) -> ImageResult:
    # Paths as plain texts: where nothing changed, looking at the files is all the time there is.
    path = os.path.join(desk.root, job.path)  # noqa: PTH118
    try:
        _check_file(path, desk)
        digest = desk.cache.digest(path)
        key = _key(job, digest, desk.describe)
        result = _stored(desk.cache, key)
        if result is None:
            result = _look(Path(path), job, digest, desk)
            desk.cache.put(key, msgspec.json.encode(result))
    except OSError as error:
        trouble = decode.UnusableError(
            "image.unreadable",
            say("The file cannot be read ({reason}).", reason=disk_reason(error)),
            say("Check that it may be read and that its disk is connected."),
        )
        result = _refused(trouble)
    except decode.UnusableError as trouble:
        result = _refused(trouble)
    except Exception as error:  # no file may keep the others from being read
        result = _refused(remarks.stopped(error))
    return _named(result, job.path)


def _parent(path: str) -> str:
    return os.path.dirname(path)  # noqa: PTH120  as in _read


def _check_file(path: str, desk: _Run) -> None:
    try:
        facts = os.lstat(path)
        mode = facts.st_mode
        is_inside_root = is_inside(Path(path), desk.root) if stat.S_ISLNK(mode) else desk.holds(_parent(path))
        if is_inside_root and stat.S_ISLNK(mode):
            facts = os.stat(path)  # noqa: PTH116  as in _read
            mode = facts.st_mode
    except FileNotFoundError:
        raise decode.UnusableError(
            "image.missing",
            say("There is no such file."),
            say("Put the picture here, or correct its name in piece.toml."),
        ) from None
    if not is_inside_root:
        raise decode.UnusableError(
            "image.outside",
            say("This is a link that leads out of the archive folder, or nowhere."),
            say("Put the picture itself here instead of the link."),
        )
    if not stat.S_ISREG(mode):
        raise decode.UnusableError(
            "image.unreadable",
            say("This is not a file."),
            say("Move it away, and put a picture here if one is missing."),
        )
    decode.check_file_size(facts.st_size)


def _key(job: ImageJob, digest: str, describe: Describe | None) -> str:
    suffix = job.path[job.path.rfind(".") :].lower()
    made = f"{job.public}, {job.avif and job.public}"
    return Cache.key(STAGE, VERSION, digest, job.role.value, made, suffix, *_read_with(describe))


def _read_with(describe: Describe | None) -> tuple[str, str, str]:
    """Give what shapes all results alike."""
    libraries = f"Pillow {PIL.__version__}, pillow_heif {pillow_heif.__version__}"
    # What is said of a picture is kept with it.
    return libraries, describe.name if describe else "", house().state


def _stored(cache: Cache, key: str) -> ImageResult | None:
    """Give a result from the cache, unless it cannot be read or one of its blobs is gone."""
    result = cache.value(key, ImageResult)
    return result if result and cache.has_blobs(result.facts.blobs if result.facts else ()) else None


def _named(result: ImageResult, path: str) -> ImageResult:
    """Write the path into a result, which is stored without since equal files share it."""
    facts = msgspec.structs.replace(result.facts, path=path) if result.facts else None
    return ImageResult(facts, tuple(replace(finding, place=Place(path)) for finding in result.findings))


def _look(path: Path, job: ImageJob, digest: str, desk: _Run) -> ImageResult:
    """Decode one picture and learn everything from it."""
    is_stencil = job.role is Role.STENCIL
    if is_stencil and stencil_file.is_vector(path):
        return _look_at_vector(path, job, digest, desk)
    try:
        with open_file(path) as file:
            factor = derivatives.first_factor(file.width, file.height)
            needed = file.memory_needed(factor, as_gray=is_stencil)
            if is_stencil:
                needed = max(needed, drawn_part.memory_needed(file.width * file.height))
            decode.check_memory(file, needed)
            with desk.memory.hold(needed):
                told = file.told
                rights = file.rights if job.role is Role.REFERENCE else None
                findings = remarks.on_file(file, path.suffix)
                if is_stencil:
                    # Handed over without a name, so that the callee can let it go.
                    made = copies.of_stencil(orient.upright(file.load_gray(), told.orientation), desk.wanted(job))
                else:
                    made = copies.of_photo(file, factor, told.orientation, desk.wanted(job))
    except decode.UnusableError as trouble:
        if isinstance(trouble, UnopenedError) and not trouble.is_certain:
            raise  # not kept
        return _refused(trouble)
    size = orient.upright_size(file.width, file.height, told.orientation)
    facts = _facts(digest, file.file_format, size, made)
    facts = msgspec.structs.replace(facts, taken=told.taken, private=told.private, serials=told.serials)
    facts = msgspec.structs.replace(facts, texts=told.texts, rights=rights)
    return ImageResult(facts, (*findings, *remarks.on_pixels(job.role, made)))


def _look_at_vector(path: Path, job: ImageJob, digest: str, desk: _Run) -> ImageResult:
    """Draw an SVG or PDF stencil, one at a time: its size is not known beforehand."""
    try:
        with desk.memory.hold(decode.MEMORY_BYTES):
            sheet = read_sheet(path)
            made = copies.of_sheet(sheet, desk.wanted(job))
    except InputError as trouble:
        found = remarks.undrawable(str(trouble).removeprefix(f"{path.name}: "))
        if isinstance(trouble, stencil_file.DrawingFailedError) and not trouble.is_certain:
            raise decode.UnusableError(found.code, found.problem, found.remedy) from trouble  # not kept
        return ImageResult(None, (found,))
    facts = _facts(digest, path.suffix[1:4].upper(), sheet.size, made)
    return ImageResult(facts, remarks.on_pixels(job.role, made))


def _facts(digest: str, file_format: str, size: tuple[int, int], made: copies.Copies) -> ImageFacts:
    return ImageFacts(
        path="",
        digest=digest,
        file_format=file_format,
        width=size[0],
        height=size[1],
        marks=made.marks,
        screen=made.screen,
        public=made.public,
        print_copy=made.print_copy,
        description=made.description,
    )


@contextmanager
def quiet() -> Iterator[None]:
    """Keep the libraries' own remarks off the terminal: what matters of them is a finding."""
    handler = logging.NullHandler()
    logger = logging.getLogger("PIL")
    logger.addHandler(handler)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        logger.removeHandler(handler)


def _refused(trouble: decode.UnusableError) -> ImageResult:
    return ImageResult(None, (remarks.unusable(trouble),))
