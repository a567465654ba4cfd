"""Watch the archive folder and build again when it has settled; a failed build never ends the watching."""

import threading
from collections.abc import Callable
from pathlib import Path

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer

from archgen.commands.texts.screen import new_console
from archgen.errors import ArchgenError

# Programs save in several steps and copies of many photos take a while: build after this long without a change.
SETTLE_SECONDS = 1.0
CHANGES = {"created", "modified", "deleted", "moved"}


class _Changes(FileSystemEventHandler):
    """Set a flag when something of the archive, not of the build folder, changes."""

    def __init__(self, out: Path) -> None:
        self.seen = threading.Event()
        self._out = out.resolve()

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Note a change; hidden files and our own output do not count."""
        if event.event_type not in CHANGES or event.is_directory:
            return
        path = Path(str(event.src_path)).resolve()
        if path.name.startswith(".") or path.is_relative_to(self._out):
            return
        self.seen.set()


def keep_building(root: Path, out: Path, build_once: Callable[[], object]) -> None:
    """Build now and after every change, until the artist stops it; trouble is said and the next change awaited."""
    if not root.is_dir():
        build_once()  # says so; there is nothing to watch
        return
    console = new_console(errors=True)

    def try_once() -> None:
        try:
            build_once()
        except ArchgenError as error:
            console.print(str(error), style="bold")
        console.print("Waiting for changes. Ctrl+C ends this.", style="dim")

    try_once()
    watch(root, out, try_once, threading.Event())


def watch(root: Path, out: Path, build_again: Callable[[], object], stop: threading.Event) -> None:
    """Call build_again after every change below root that has settled, until stop is set.

    build_again must not raise for anything the artist can put right.
    """
    changes = _Changes(out)
    observer = Observer()
    observer.schedule(changes, str(root), recursive=True)
    observer.start()
    try:
        while not stop.is_set():
            if not changes.seen.wait(timeout=0.2):
                continue
            while changes.seen.is_set() and not stop.is_set():
                changes.seen.clear()
                stop.wait(SETTLE_SECONDS)
            build_again()
    finally:
        observer.stop()
        observer.join()
