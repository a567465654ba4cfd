"""The inbox in memory: what lies in its folder, the plan of it, and what the artist said otherwise.

The plan is worked out beside the pages, which show the one before until the new one is there. What is filed is known by
its bytes, so it leaves the inbox by itself and comes back when the filing is taken back.
"""

import datetime as dt
import threading
import traceback
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from archgen.doubles.stored import DESCRIBE
from archgen.errors import ArchgenError
from archgen.intake.plan import FiledAlready, IntakePlan, PlannedGroup, PlannedPicture, What
from archgen.intake.propose import IntakeTools, propose_intake
from archgen.intake.sources import gather
from archgen.languages.house import say
from archgen.picture_facts.facts import ImageFacts, ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.pieces.survey import SurveyedCatalogue
from archgen.progress import Silent
from archgen.storage.cache import Cache

CACHE = "cache/intake"
# Pictures arrive one after the other: the plan begins when none came for this long.
SETTLE_SECONDS = 0.6
Listing = tuple[tuple[str, int, int], ...]


@dataclass
class Said:
    """What the artist said about pictures, by their keys; it lasts as long as the desk is open.

    Attributes:
        what: What a picture is.
        group: The group it belongs to; "own" for one of its own.
        not_there: Groups that do not belong to the piece they were proposed for.
    """

    what: dict[str, What] = field(default_factory=dict)
    group: dict[str, str] = field(default_factory=dict)
    not_there: set[str] = field(default_factory=set)


@dataclass(frozen=True)
class InboxTools:
    """What the inbox works with.

    Attributes:
        folder: Where the pictures lie.
        out: The build folder.
        archive: Gives the archive as read last.
        cache: The cache of the archive's own pictures.
    """

    folder: Path
    out: Path
    archive: Callable[[], SurveyedCatalogue]
    cache: Cache
    workers: int


class InboxState:
    """One inbox: its folder, its plan, what was said."""

    def __init__(self, tools: InboxTools) -> None:
        self.folder = tools.folder
        self.said = Said()
        self.trouble = ""
        self._tools = tools
        self._cache = Cache(tools.out / CACHE)
        self._plan = IntakePlan("", 0)
        self._facts: dict[tuple[str, Role], ImageFacts] = {}
        self._listing: Listing = ()
        self._lock = threading.Lock()
        self._work = threading.Event()
        self._is_planning = False
        threading.Thread(target=self._run, name="inbox", daemon=True).start()

    @property
    def blobs(self) -> Path:
        """Give the folder of the small copies."""
        return self._cache.blobs

    @property
    def is_planning(self) -> bool:
        """Say whether a plan is being worked out."""
        return self._is_planning or self._work.is_set()

    def look(self) -> None:
        """Look whether the folder holds other files than the plan knows, and plan again when it does."""
        listing = _listing(self.folder)
        with self._lock:
            if listing == self._listing:
                return
            self._listing = listing
        self._work.set()

    def facts_of(self, picture: PlannedPicture) -> ImageFacts | None:
        """Give what a filed copy of the picture will be found to hold; None where it cannot be read.

        It is read now where nobody did yet: a form may be opened and sent before the inbox came to its stencil, and
        what the artist says a picture is can be another thing than what it was read as.
        """
        self._read_ahead((picture,))
        return self._facts.get(_read_as(picture))

    def groups(self) -> tuple[PlannedGroup, ...]:
        """Give the groups as they are with what was said, without what is filed."""
        filed = {facts.digest for facts in self._tools.archive().facts.values()}
        return tuple(_waiting(_moved(self._plan.groups, self.said), self.said, filed))

    def group(self, key: str) -> PlannedGroup | None:
        """Find a group that waits."""
        return next((group for group in self.groups() if group.key == key), None)

    def filed_already(self) -> tuple[FiledAlready, ...]:
        """Give what was in the archive before it was dropped here; a copy that was kept too is in it now."""
        filed = {facts.digest for facts in self._tools.archive().facts.values()}
        return tuple(one for one in self._plan.filed if one.is_same_file or one.picture.digest not in filed)

    @property
    def plan(self) -> IntakePlan:
        """Give the plan as it was worked out."""
        return self._plan

    def waiting(self) -> int:
        """Count the pictures that wait."""
        return sum(len(group.pictures) for group in self.groups()) + sum(
            not one.is_same_file for one in self.filed_already()
        )

    def _run(self) -> None:
        while True:
            self._work.wait()
            self._is_planning = True
            while self._work.is_set():
                self._work.clear()
                threading.Event().wait(SETTLE_SECONDS)
            try:
                self._make_plan()
                # The measure of a stencil is offered in the form, so stencils come first.
                self._read_ahead(one for one in self._plan.pictures if one.guess.what.role is Role.STENCIL)
                self.trouble = ""
                self._is_planning = False
                self._read_ahead(self._plan.pictures)
            except ArchgenError as error:
                self.trouble = str(error)
            except Exception:  # the next picture that is dropped must find somebody at work
                traceback.print_exc()
                self.trouble = say(
                    "These pictures could not be sorted: a mistake in archgen. They lie in the inbox, unchanged."
                )
            finally:
                self._is_planning = False

    def _make_plan(self) -> None:
        if not self.folder.is_dir():
            self._plan = IntakePlan("", 0)
            return
        catalogue = self._tools.archive()
        with gather([self.folder], catalogue.config.root) as found:
            tools = IntakeTools(catalogue, self._tools.cache, self._cache, self._tools.workers, Silent())
            self._plan = propose_intake(found, tools)
        self._cache.save()

    def _read_ahead(self, pictures: Iterable[PlannedPicture]) -> None:
        """Make what the pages need of each picture now, so that a save is not followed by waiting."""
        jobs: dict[tuple[str, Role], ImageJob] = {}
        for picture in pictures:
            read_as = _read_as(picture)
            known = self._facts.get(read_as)
            if known is not None and self._tools.cache.has_blobs(known.blobs):
                continue
            try:
                path = picture.source.relative_to(self.folder).as_posix()
            except ValueError:
                continue
            jobs[read_as] = ImageJob(path, read_as[1])
        if not jobs:
            return
        results = read_pictures(
            list(jobs.values()), self.folder, self._tools.cache, self._tools.workers, Silent(), DESCRIBE
        )
        for read_as, job in jobs.items():
            if facts := results[job.path].facts:
                self._facts[read_as] = facts


def _read_as(picture: PlannedPicture) -> tuple[str, Role]:
    """Give a picture's bytes and what it is read as: of a stencil other things are looked at than of a photo."""
    return picture.digest, picture.guess.what.role or Role.REFERENCE


def _listing(folder: Path) -> Listing:
    """List what lies in a folder and below it, hidden files left out."""
    found = []
    for path in sorted(folder.rglob("*")) if folder.is_dir() else ():
        try:
            if path.is_file() and not path.name.startswith("."):
                facts = path.stat()
                found.append((str(path), facts.st_size, facts.st_mtime_ns))
        except OSError:
            continue
    return tuple(found)


def _moved(groups: Iterable[PlannedGroup], said: Said) -> tuple[PlannedGroup, ...]:
    """Put pictures into the groups the artist named."""
    there = {group.key: list(group.pictures) for group in groups}
    own: dict[str, list[PlannedPicture]] = {}
    for group in groups:
        for picture in group.pictures:
            target = said.group.get(picture.key)
            if target in (None, group.key) or (target not in there and target != "own"):
                continue
            there[group.key].remove(picture)
            if target == "own":
                own[f"own-{picture.key[:6]}"] = [picture]
            else:
                there[str(target)].append(picture)
    by_key: Mapping[str, PlannedGroup] = {group.key: group for group in groups}
    kept = [
        replace(by_key[key], pictures=tuple(pictures), day=by_key[key].day or _day_of(pictures))
        for key, pictures in there.items()
        if pictures
    ]
    first = next(iter(by_key.values()), None)
    alone = [_own_group(first, key, pictures) for key, pictures in own.items() if first]
    return (*kept, *alone)


def _day_of(pictures: Iterable[PlannedPicture]) -> dt.date | None:
    """Give the last day of the photos, for a group that had none before they came to it."""
    return max((one.day for one in pictures if one.day and one.guess.what.role is Role.PHOTO), default=None)


def _own_group(like: PlannedGroup, key: str, pictures: list[PlannedPicture]) -> PlannedGroup:
    day = pictures[0].day
    return replace(
        like,
        key=key,
        title=say("New piece"),
        day=day,
        pictures=tuple(pictures),
        proposals=(),
        questions=(),
    )


def _waiting(groups: Iterable[PlannedGroup], said: Said, filed: set[str]) -> Iterable[PlannedGroup]:
    for group in groups:
        if not any(picture.digest not in filed for picture in group.pictures):
            continue
        pictures = tuple(
            picture.taken_for(said.what[picture.key]) if picture.key in said.what else picture
            for picture in group.pictures
            if picture.digest not in filed
        )
        yield replace(group, pictures=pictures, day=group.day or _day_of(pictures))
