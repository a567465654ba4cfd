"""Watch the archive folder and build again after every change; a failed build never ends the watching."""

import os
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console
from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer

from archgen.commands.texts.build_report import Report
from archgen.desk.watched_sites import WatchedSites, showing
from archgen.errors import ArchgenError
from archgen.storage.tree_state import OddTreeError, tree_state

# Programs save in several steps and copies of many photos take a while: build after this long without a change.
SETTLE_SECONDS = 0.2
CHANGES = {"created", "modified", "deleted", "moved"}
# Disks of other computers tell of no change that is made there; they are looked at, no more than a tenth of the time.
_NETWORK = ("nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "fuse.sshfs", "fuse.rclone", "davfs", "fuse.davfs2")
_LOOK_SECONDS, _SHARE = 1.0, 10


class _Changes(FileSystemEventHandler):
    """Set a flag when something of the archive, not of the build folder, changes."""

    def __init__(self, out: Path) -> None:
        self.seen = threading.Event()
        self._out = out.resolve()

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Note a change; hidden files and our own output do not count."""
        if event.event_type not in CHANGES or event.is_directory:
            return
        paths = [Path(str(path)).resolve() for path in (event.src_path, event.dest_path) if path]
        if any(not path.name.startswith(".") and not path.is_relative_to(self._out) for path in paths):
            self.seen.set()


def keep_building(root: Path, out: Path, build_once: Callable[[], Report]) -> None:
    """Build now and after every change, until the artist stops it; trouble is said and the next change awaited."""
    if not root.is_dir():
        build_once()  # says so; there is nothing to watch
        return
    console = Console(stderr=True, highlight=False, soft_wrap=True)
    sites = WatchedSites(root, out)
    with showing(sites) as (archive, portfolio):

        def try_once() -> None:
            try:
                report = build_once()
                sites.built(report.hidden, report.not_shown)
            except ArchgenError as error:
                console.print(str(error), markup=False, style="bold")
                sites.failed(str(error))
            console.print(f"Archive:   {archive}\nPortfolio: {portfolio}", markup=False)
            console.print("Waiting for changes; open pages come anew. Ctrl+C ends this.", style="dim")

        try_once()
        watch(root, out, try_once, threading.Event())


def watch(root: Path, out: Path, build_again: Callable[[], object], stop: threading.Event) -> None:
    """Call build_again after every change below root that has settled, until stop is set.

    build_again must not raise for anything the artist can put right.
    """
    with _looking(root, stop) if is_on_network(root) else _listening(root, out) as changed:
        while not stop.is_set():
            if not changed.wait(timeout=0.2):
                continue
            while changed.is_set() and not stop.is_set():
                changed.clear()
                stop.wait(SETTLE_SECONDS)
            if not stop.is_set():
                build_again()


@contextmanager
def _listening(root: Path, out: Path) -> Iterator[threading.Event]:
    """Let the system tell of changes."""
    changes = _Changes(out)
    observer = Observer()
    observer.schedule(changes, str(root), recursive=True)
    observer.start()
    try:
        yield changes.seen
    finally:
        observer.stop()
        observer.join()


@contextmanager
def _looking(root: Path, stop: threading.Event) -> Iterator[threading.Event]:
    """Look again and again."""
    changed, ended = threading.Event(), threading.Event()

    def look() -> None:
        before, pause = _state(root), _LOOK_SECONDS
        while not (ended.wait(pause) or stop.is_set()):
            began = time.monotonic()
            now = _state(root)
            pause = max(_LOOK_SECONDS, _SHARE * (time.monotonic() - began))
            if now != before:
                changed.set()
            before = now

    thread = threading.Thread(target=look, name="looking", daemon=True)
    thread.start()
    try:
        yield changed
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
