"""What the desk holds in memory: the archive as read, how far the first reading is, what a build still has to do."""

import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from archgen.build import Options, read_catalogue
from archgen.clock import build_day
from archgen.desk.inbox.waiting import InboxState, InboxTools
from archgen.desk.rereading import read_again
from archgen.desk.shown import ShownArchive
from archgen.errors import ArchgenError
from archgen.languages.house import say
from archgen.outputs.portfolio.standing import StandingPortfolio
from archgen.pieces.survey import SurveyedCatalogue
from archgen.progress import ProgressReporter, Silent
from archgen.storage.cache import Cache
from archgen.storage.staging import output_folder

T = TypeVar("T")


@dataclass
class SharedProgress:
    """How far the first reading is, told to the terminal and kept for the page that waits for it."""

    behind: ProgressReporter
    what: str = field(default_factory=lambda: say("Looking at the folder"))
    done: int = 0
    total: int = 0

    def track(self, items: Iterable[T], total: int, what: str) -> Iterator[T]:
        """Pass the items on, counting them."""
        self.what, self.done, self.total = what, 0, total
        for item in self.behind.track(items, total, what):
            yield item
            self.done += 1

    @contextmanager
    def counter(self, what: str) -> Iterator[Callable[[int, int], None]]:
        """Give a function that is told how much is done."""
        self.what, self.done, self.total = what, 0, 0
        with self.behind.counter(what) as count:

            def told(done: int, total: int) -> None:
                self.done, self.total = done, total
                count(done, total)

            yield told


@dataclass(frozen=True, slots=True)
class SavedChange:
    """What a save wrote.

    Attributes:
        folder: The piece's folder, relative to the archive folder.
        tables: The lines, table by table.
        copied: How many pictures were copied.
        file: The file the lines stand in, relative to the archive folder.
    """

    folder: str
    tables: tuple[str, ...]
    copied: int
    file: str


@dataclass
class DeskState:
    """The archive of one desk.

    Attributes:
        out: The build folder, which holds the picture copies and the versions before.
        shown: The archive as read last; None until the first reading is done.
        trouble: Why it could not be read.
        inbox: The pictures that wait; None until the first reading is done.
        saved: What was written since the desk was opened, by the number of the change.
        build_again: Called when the files on disk should be built again; does nothing by default.
        writing: Held while something is written, so that one save follows the other.
    """

    root: Path
    out: Path
    options: Options
    progress: SharedProgress
    shown: ShownArchive | None = None
    trouble: str | None = None
    inbox: InboxState | None = None
    saved: dict[int, SavedChange] = field(default_factory=dict)
    build_again: Callable[[], None] = lambda: None
    writing: threading.RLock = field(default_factory=threading.RLock)
    _cache: Cache | None = None
    _saves: int = 0
    _is_of_today: bool = False
    _ready: threading.Event = field(default_factory=threading.Event)

    def __post_init__(self) -> None:
        self._is_of_today = self.options.built_on == build_day()

    def _now(self) -> Options:
        """Give how to read now: a desk that is open past midnight has another day, unless it was given one."""
        return replace(self.options, built_on=build_day()) if self._is_of_today else self.options

    @property
    def cache(self) -> Cache:
        """Give the picture cache of the build folder."""
        if self._cache is None:
            with output_folder(self.out, self.root):
                self._cache = Cache(self.out / "cache")
        return self._cache

    def load(self) -> None:
        """Read everything; trouble is kept for the page."""
        try:
            self._take(self._read_whole(self.progress), self._saves)
        except ArchgenError as error:
            self.trouble = str(error)
        finally:
            self._ready.set()

    def renew(self) -> None:
        """Read everything again, as after a build; what was saved meanwhile is not forgotten."""
        saves = self._saves
        self.cache.look_again()
        try:
            self._take(self._read_whole(Silent()), saves)
        except ArchgenError as error:
            self.trouble = str(error)

    def may_tidy(self) -> bool:
        """Say whether nothing of the inbox waits, so that a build may clear what it does not need."""
        inbox = self.inbox
        return inbox is not None and not inbox.is_planning and inbox.waiting() == 0

    def _read_whole(self, progress: ProgressReporter) -> SurveyedCatalogue:
        catalogue = read_catalogue(self.root, self.cache, self._now(), progress, gauged=True)
        self.cache.save()
        portfolio = StandingPortfolio(self.out)
        return replace(catalogue, portfolio=portfolio.state if portfolio.folder.is_dir() else None)

    def _take(self, catalogue: SurveyedCatalogue, saves: int) -> None:
        with self.writing:
            if saves == self._saves:
                is_first = self.inbox is None
                self.inbox = self.inbox or self._new_inbox(catalogue)  # before the pages that lead to it
                self.shown, self.trouble = ShownArchive(catalogue), None
                if is_first:
                    self.inbox.look()

    def _new_inbox(self, catalogue: SurveyedCatalogue) -> InboxState:
        return InboxState(
            InboxTools(
                catalogue.config.inbox, self.out, lambda: self.current.catalogue, self.cache, self.options.workers
            )
        )

    def wait(self, seconds: float) -> bool:
        """Wait for the first reading, and say whether it is over."""
        return self._ready.wait(seconds)

    def refresh(self) -> ShownArchive:
        """Read again what was just written, and ask for a build; gives what the pages show now.

        Raises:
            ArchgenError: The archive cannot be read any more.
        """
        with self.writing:
            before = self.current
            self.shown = ShownArchive(read_again(before.catalogue, self.cache, self._now()), before.keys)
            self._saves += 1
        self.build_again()
        return self.shown

    @property
    def current(self) -> ShownArchive:
        """Give the archive as read last, for the day it is now.

        Raises:
            RuntimeError: It was never read; pages that need it are not reached then.
        """
        if self.shown is None:
            raise RuntimeError("the archive was not read yet")
        if self._has_another_day(self.shown):
            with self.writing:
                if self._has_another_day(self.shown):
                    self._begin_day(self.shown)
        return self.shown

    def _has_another_day(self, shown: ShownArchive) -> bool:
        return self._is_of_today and shown.catalogue.built_on != build_day()

    def _begin_day(self, before: ShownArchive) -> None:
        """Read again, since the day decides what may be written, and is written; what can't be read stays as it was."""
        with suppress(ArchgenError):
            self.shown = ShownArchive(read_again(before.catalogue, self.cache, self._now()), before.keys)
