"""Begin an upload: read where it goes, enter, compare both sides; and look again when it is done."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.progress import ProgressReporter
from archgen.uploading.built import BuiltSite, built_site
from archgen.uploading.carry import Upload
from archgen.uploading.check import UploadCheck, check_place
from archgen.uploading.opening import entered
from archgen.uploading.place import Trust, disk_words
from archgen.uploading.plan import PlaceState, folders_to_look_into, make_plan
from archgen.uploading.sent import SentHere, sent_there
from archgen.uploading.target import Target, TargetKind, parse_target


def chosen_target(text: str, base: Path, private: Iterable[Path]) -> Target:
    """Read a place, which must not hold or lie in any of these folders.

    Raises:
        UsageError: It can't be read, or others would see the archive.
    """
    target = parse_target(text, base)
    if target.kind in (TargetKind.FOLDER, TargetKind.ZIP):
        place = Path(target.address)
        for folder in (one.resolve() for one in private):
            if place.is_relative_to(folder) or (target.kind is TargetKind.FOLDER and folder.is_relative_to(place)):
                raise UsageError(
                    say(
                        "{place} and {folder} lie in one another: what is private would lie beside what "
                        "everybody sees. Choose a folder of its own.",
                        place=place,
                        folder=folder,
                    )
                )
    return target


@contextmanager
def prepared(out: Path, target: Target, trust: Trust, *, only_withdrawals: bool = False) -> Iterator[Upload]:
    """Enter a place and compare what lies there with the portfolio of a build folder.

    Raises:
        UploadError: The place can't be reached or read.
        WithheldError: The portfolio isn't as a build leaves it.
        UsageError: The engine isn't installed.
    """
    with disk_words(str(out)):
        site = built_site(out)
    here = SentHere(out, target)
    with entered(target, trust) as place:
        there, is_broken = sent_there(place)
        remembered = here.read()
        sizes = place.sizes(folders_to_look_into(site, there, remembered))
        known = PlaceState(there, remembered, sizes, is_broken)
        plan = make_plan(site, known)
        yield Upload(target, place, site, known, here, plan.withdrawing() if only_withdrawals else plan)


def looked_at_again(
    site: BuiltSite, paths: Iterable[str], target: Target, trust: Trust, progress: ProgressReporter
) -> UploadCheck:
    """Enter a place anew, and look whether everything there is as it was built; `paths` are compared byte by byte.

    Raises:
        UploadError: The place can't be reached or read.
    """
    with entered(target, trust) as place:
        return check_place(place, site, paths, progress)
