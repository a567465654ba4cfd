"""Make the bundle of one person, and look through it for anybody else before it leaves the studio."""

from pathlib import Path
from tempfile import TemporaryDirectory

from archgen.build import Options, picture_cache
from archgen.catalogue import Catalogue
from archgen.doubles.stored import DESCRIBE
from archgen.findings import Finding
from archgen.holdings.held import Held, Originals, gather_held
from archgen.holdings.person import ClientRecords, find_person, values_of_others
from archgen.languages.house import say
from archgen.leaks.find import find_leaks
from archgen.leaks.findings import leak_findings
from archgen.leaks.search import LeakSearch
from archgen.outputs.client_bundle import bundle_files
from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.progress import ProgressReporter
from archgen.reading.records import recall_records
from archgen.storage.cache import Cache
from archgen.storage.files import is_inside
from archgen.storage.plain_files import read_plain
from archgen.values.frozen import Value


class Bundle(Value, frozen=True):
    """Files ready to be written.

    Attributes:
        missing: Photos and papers that could not be read, by their place in the archive.
        findings: What in it names somebody else; then it must not be handed out.
    """

    held: Held
    files: dict[str, bytes]
    missing: tuple[str, ...]
    findings: tuple[Finding, ...]


def make_bundle(root: Path, out: Path, typed: str, options: Options, progress: ProgressReporter) -> Bundle:
    """Make one; nothing is written but the picture cache of the build folder, where there is one.

    Raises:
        UsageError: Nobody has that code.
        ArchgenError: The settings or the archive folder cannot be used.
    """
    catalogue = recall_records(root, out, options.built_on)
    person = find_person(catalogue, typed)
    others = values_of_others(catalogue, person)
    held, originals = gather_held(catalogue, person, LeakSearch(others))
    with picture_cache(out) as cache:
        pictures, missing = _pictures(originals, root, cache, options, progress)
        cache.save()
    files = bundle_files(held, pictures, catalogue.config)
    with TemporaryDirectory() as folder:
        for path, content in files.items():
            place = Path(folder, path)
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(content)
        leaks = [leak for leak in find_leaks(Path(folder), others) if leak.value is not None]
    return Bundle(held, files, missing, leak_findings(leaks, say("the bundle")))


def person_of(root: Path, out: Path, typed: str, options: Options) -> tuple[ClientRecords, Catalogue]:
    """Find a client and the records.

    Raises:
        UsageError: Nobody has that code.
        ArchgenError: The settings or the archive folder cannot be used.
    """
    catalogue = recall_records(root, out, options.built_on)
    return find_person(catalogue, typed), catalogue


def _pictures(
    originals: Originals, root: Path, cache: Cache, options: Options, progress: ProgressReporter
) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """Copy photos without what cameras write into them, and papers as they are."""
    files, missing = {}, []
    jobs = [ImageJob(path, Role.PHOTO) for path in originals.photos.values()]
    results = read_pictures(jobs, root, cache, options.workers, progress, DESCRIBE)
    for file, path in originals.photos.items():
        if facts := results[path].facts:
            files[file] = (cache.blobs / max(facts.screen, key=lambda one: one.width).blob).read_bytes()
        else:
            missing.append(path)
    for file, path in originals.papers.items():
        try:
            if not is_inside(root / path, root):
                raise OSError
            files[file] = read_plain(root / path)
        except OSError:
            missing.append(path)
    return files, tuple(missing)
