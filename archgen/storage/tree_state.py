"""Say in one digest how a folder tree stands on the disk, opening no file; knows names and times, not what they mean.

Beside size and time a file's number on the disk counts and the moment its entry last changed, which no program can set
back: so a file that was replaced by another of equal size and time is noticed. What is hidden does not count, nor what
Python compiles.
"""

import hashlib
import os
import stat
from collections.abc import Mapping
from operator import attrgetter
from pathlib import Path
from typing import NamedTuple

from archgen.storage.build_folder import MARKER

# A file changed within the clock's grain of a look may change again unseen; two seconds are the coarsest disk's (FAT).
GRAIN_NS = 2_000_000_000
_NAME = attrgetter("name")
# How the line begins that tells what a link leads to; paths in a tree have no such beginning of their own.
_LINK = "-> "
# Windows gives the day a file was made in the place of the moment its entry changed.
_HAS_CHANGE_TIME = os.name != "nt"


class OddTreeError(Exception):
    """A tree holds what cannot be told by names and times alone, such as links to folders."""


class TreeState(NamedTuple):
    """How a tree stands.

    Attributes:
        is_settled: Whether everything was left alone for a while before, so that a later change cannot look the same.
        youngest: When something in it changed last, in nanoseconds of `time.time_ns`.
    """

    digest: str
    is_settled: bool
    youngest: int = 0


def tree_state(
    top: Path, began: int, *, built: bool = False, known: Mapping[str, TreeState] | None = None, inside: str = ""
) -> TreeState:
    """Look at everything below a folder.

    Args:
        top: The folder.
        began: When its files were read at the earliest, in nanoseconds of `time.time_ns`.
        built: Whether folders that archgen wrote are looked into too.
        known: Folders in the folder `inside` that were just looked at, by name.
        inside: Its name; it lies in `top`.

    Raises:
        OddTreeError: A change in it might not show.
        OSError: Something cannot be looked at.
    """
    lines: list[str] = []
    looked = {f"{inside}/{name}/": state for name, state in (known or {}).items()}
    youngest = _look(os.fspath(top), "", lines, looked, built=built)
    return _state(lines, youngest or 0, began)


def folder_states(top: Path, inside: str, began: int) -> dict[str, TreeState]:
    """Look at each folder in a folder of a tree by itself; by name, without those in which a change might not show.

    What is reached through links may change without them, so folders with links are left out too.
    """
    states: dict[str, TreeState] = {}
    try:
        with os.scandir(top / inside) as entries:
            found = [entry for entry in entries if entry.name[0] != "." and entry.is_dir(follow_symlinks=False)]
    except OSError:
        return states
    for entry in found:
        lines: list[str] = []
        try:
            youngest = _look(entry.path, f"{inside}/{entry.name}/", lines, {}, built=False)
            status = entry.stat(follow_symlinks=False)
            changed = status.st_ctime_ns if _HAS_CHANGE_TIME else status.st_mtime_ns
        except (OSError, OddTreeError):
            continue
        if youngest is not None and not any(line.startswith(_LINK) for line in lines):
            states[entry.name] = _state(lines, max(youngest, changed), began)
    return states


def _state(lines: list[str], youngest: int, began: int) -> TreeState:
    digest = hashlib.sha256("\n".join(lines).encode("utf-8", "surrogateescape")).hexdigest()
    return TreeState(digest, youngest < began - GRAIN_NS, youngest)


def _look(folder: str, prefix: str, lines: list[str], looked: Mapping[str, TreeState], *, built: bool) -> int | None:
    """Add a line for everything in a folder, in the order of names; give when something in it changed last.

    None for a folder that archgen wrote, and is not to be looked into.
    """
    with os.scandir(folder) as entries:
        found = sorted(entries, key=_NAME)
    if prefix and not built and any(entry.name == MARKER for entry in found):
        return None
    youngest = 0
    for entry in found:
        name = entry.name
        if name[0] == "." or name == "__pycache__":
            continue
        status = entry.stat(follow_symlinks=False)
        if entry.is_dir(follow_symlinks=False):
            path = f"{prefix}{name}/"
            lines.append(f"{path} {status.st_mode}")
            if known := looked.get(path):
                lines.append(known.digest)
                youngest = max(youngest, known.youngest)
                continue
            inside = _look(entry.path, path, lines, looked, built=built)
            if inside is None:
                continue
            youngest = max(youngest, inside)
        else:
            lines.append(line_of(f"{prefix}{name}", status))
            if entry.is_symlink():
                lines.append(_behind(entry))
        changed = status.st_ctime_ns if _HAS_CHANGE_TIME else status.st_mtime_ns
        if changed > youngest:  # noqa: PLR1730  a third of what max() takes, a hundred thousand times
            youngest = changed
    return youngest


def line_of(path: str, at: os.stat_result) -> str:
    """Tell a file or folder from others: its kind, its number on the disk, size and times."""
    return f"{path}\0{at.st_mode} {at.st_ino} {at.st_size} {at.st_mtime_ns} {at.st_ctime_ns}"


def _behind(link: os.DirEntry[str]) -> str:
    """Give a line for what a link leads to.

    Raises:
        OddTreeError: It leads to a folder.
    """
    target = os.readlink(link.path)  # noqa: PTH115  no Path is made here: thousands of files
    try:
        status = os.stat(link.path)  # noqa: PTH116  as above
    except OSError:
        return f"{_LINK}{target}"
    if stat.S_ISDIR(status.st_mode):
        raise OddTreeError(link.path)
    return line_of(f"{_LINK}{target}", status)
