"""Watch the archive folder and build again after every change; a failed build never ends the watching."""

import os
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer

from archgen.commands.texts.build_report import Report
from archgen.commands.texts.screen import new_console
from archgen.desk.watched_sites import WatchedSites, showing
from archgen.errors import ArchgenError
from archgen.languages.house import say
from archgen.storage.tree_state import OddTreeError, tree_state

# Programs save in several steps and copies of many photos take a while: nothing is shown before this long without a
# change. A build for a record alone begins sooner, and is given up should more come within that time.
SETTLE_SECONDS = 0.2
HASTE_SECONDS = 0.03
_RECORDS = (".toml", ".md")
CHANGES = {"created", "modified", "deleted", "moved"}
# Disks of other computers tell of no change that is made there; they are looked at, no more than a tenth of the time.
_NETWORK = ("nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "fuse.sshfs", "fuse.rclone", "davfs", "fuse.davfs2")
_LOOK_SECONDS, _SHARE = 1.0, 10


Settled = Callable[[], None]  # waits until what was built may be shown; raises StartOver


class StartOver(Exception):  # noqa: N818 - no error: the next build is the right one
    """More came while a build had begun."""


class Changes:
    """What changed since it was asked last.

    Attributes:
        seen: Set when anything did.
        since: When that was, by the clock that only goes forward.
    """

    def __init__(self) -> None:
        self.seen = threading.Event()
        self.since = 0.0
        self._only_records = True

    def note(self, *paths: Path) -> None:
        """Note a change; without paths it may be anything."""
        self._only_records &= bool(paths) and all(path.suffix.lower() in _RECORDS for path in paths)
        if not self.seen.is_set():
            self.since = time.monotonic()
            self.seen.set()

    def forget(self) -> bool:
        """Begin anew, and say whether only records had changed."""
        self.seen.clear()
        only_records, self._only_records = self._only_records, True
        return only_records


class _Listener(FileSystemEventHandler):
    """Note when something of the archive, not of the build folder, changes."""

    def __init__(self, out: Path) -> None:
        self.changes = Changes()
        self._out = out.resolve()

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Note a change; hidden files and our own output do not count."""
        if event.event_type not in CHANGES or event.is_directory:
            return
        paths = [Path(str(path)).resolve() for path in (event.src_path, event.dest_path) if path]
        if ours := [path for path in paths if not path.name.startswith(".") and not path.is_relative_to(self._out)]:
            self.changes.note(*ours)


def keep_building(root: Path, out: Path, build_once: Callable[[Settled], Report]) -> None:
    """Build now and after every change, until the artist stops it; trouble is said and the next change awaited."""
    if not root.is_dir():
        build_once(_at_once)  # says so; there is nothing to watch
        return
    console = new_console(errors=True)
    sites = WatchedSites(root, out)
    with showing(sites) as (archive, portfolio):

        def try_once(settled: Settled) -> None:
            try:
                report = build_once(settled)
                sites.built(report.hidden, report.not_shown)
            except ArchgenError as error:
                settled()  # a record that is half written is no trouble
                console.print(str(error), markup=False, style="bold")
                sites.failed(str(error))
            console.print(
                say("Archive:   {archive}\nPortfolio: {portfolio}", archive=archive, portfolio=portfolio), markup=False
            )
            console.print(say("Waiting for changes; open pages refresh by themselves. Ctrl+C ends this."), style="dim")

        try_once(_at_once)
        watch(root, out, try_once, threading.Event())


def _at_once() -> None:
    """Wait for nothing."""


def watch(root: Path, out: Path, build_again: Callable[[Settled], object], stop: threading.Event) -> None:
    """Call build_again after every change below root, until stop is set.

    It calls what it is given before it shows anything, and must not raise for anything the artist can put right.
    """
    with _looking(root, stop) if is_on_network(root) else _listening(root, out) as changes:
        while not stop.is_set():
            if changes.seen.wait(timeout=0.2):
                settled = _settling(changes, stop)
                with suppress(StartOver):
                    if not stop.is_set():
                        build_again(settled)


def _settling(changes: Changes, stop: threading.Event) -> Settled:
    """Wait until a build may begin, and give what it waits for before it shows anything."""
    only_records, until = True, 0.0
    while changes.seen.is_set() and not stop.is_set():
        only_records &= changes.forget()
        until = time.monotonic() + SETTLE_SECONDS
        stop.wait(HASTE_SECONDS if only_records else SETTLE_SECONDS)

    def settled() -> None:
        stop.wait(max(0.0, until - time.monotonic()))
        if changes.seen.is_set() and changes.since <= until:
            raise StartOver

    return settled


@contextmanager
def _listening(root: Path, out: Path) -> Iterator[Changes]:
    """Let the system tell of changes."""
    listener = _Listener(out)
    observer = Observer()
    observer.schedule(listener, str(root), recursive=True)
    observer.start()
    try:
        yield listener.changes
    finally:
        observer.stop()
        observer.join()


@contextmanager
def _looking(root: Path, stop: threading.Event) -> Iterator[Changes]:
    """Look again and again."""
    changes, ended = Changes(), threading.Event()

    def look() -> None:
        before, pause = _state(root), _LOOK_SECONDS
        while not (ended.wait(pause) or stop.is_set()):
            began = time.monotonic()
            now = _state(root)
            pause = max(_LOOK_SECONDS, _SHARE * (time.monotonic() - began))
            if now != before:
                changes.note()
            before = now

    thread = threading.Thread(target=look, name="looking", daemon=True)
    thread.start()
    try:
        yield changes
    finally:
        ended.set()
        thread.join()


def _state(root: Path) -> str:
    try:
        return tree_state(root, 0).digest
    except (OSError, OddTreeError) as error:  # a disk that went away is a change too
        return str(error)


def is_on_network(root: Path, mounts: Path = Path("/proc/self/mounts")) -> bool:
    """Say whether a folder lies on another computer, as far as this system tells."""
    place = os.fspath(root.resolve())
    if sys.platform == "win32":
        return place.startswith("\\\\")
    try:
        lines = [line.split() for line in mounts.read_text(encoding="utf-8", errors="replace").splitlines()]
    except OSError:
        return False
    found = [(point.replace("\\040", " "), kind) for _, point, kind, *_ in lines]
    holding = [one for one in found if place == one[0] or place.startswith(one[0].rstrip("/") + "/")]
    return bool(holding) and max(holding, key=lambda one: len(one[0]))[1] in _NETWORK
