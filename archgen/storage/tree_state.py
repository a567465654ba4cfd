"""Say in one digest how a folder tree stands on the disk, opening no file; knows names and times, not what they mean.

Beside size and time a file's number on the disk counts and the moment its entry last changed, which no program can set
back: so a file that was replaced by another of equal size and time is noticed. What is hidden does not count, nor what
Python compiles.
"""

import hashlib
import os
import stat
from dataclasses import dataclass
from pathlib import Path

from archgen.storage.build_folder import MARKER

# A file changed within the clock's grain of a look may change again unseen; two seconds are the coarsest disk's (FAT).
GRAIN_NS = 2_000_000_000
# Windows gives the day a file was made in the place of the moment its entry changed.
_HAS_CHANGE_TIME = os.name != "nt"


class OddTreeError(Exception):
    """A tree holds what cannot be told by names and times alone, such as links to folders."""


@dataclass(frozen=True, slots=True)
class TreeState:
    """How a tree stands.

    Attributes:
        is_settled: Whether everything was left alone for a while before, so that a later change cannot look the same.
    """

    digest: str
    is_settled: bool


def tree_state(top: Path, began: int, *, built: bool = False) -> TreeState:
    """Look at everything below a folder.

    Args:
        top: The folder.
        began: When its files were read at the earliest, in nanoseconds of `time.time_ns`.
        built: Whether folders that archgen wrote are looked into too.

    Raises:
        OddTreeError: A change in it might not show.
        OSError: Something cannot be looked at.
    """
    lines: list[str] = []
    youngest = _look(os.fspath(top), "", lines, built=built)
    digest = hashlib.sha256("\n".join(lines).encode("utf-8", "surrogateescape")).hexdigest()
    return TreeState(digest, (youngest or 0) < began - GRAIN_NS)


def _look(folder: str, prefix: str, lines: list[str], *, built: bool) -> int | None:
    """Add a line for everything in a folder, in the order of names; give when something in it changed last.

    None for a folder that archgen wrote, and is not to be looked into.
    """
    with os.scandir(folder) as entries:
        found = {entry.name: entry for entry in entries}
    if prefix and not built and MARKER in found:
        return None
    youngest = 0
    for name in sorted(found):
        if name[0] == "." or name == "__pycache__":
            continue
        entry = found[name]
        status = entry.stat(follow_symlinks=False)
        if entry.is_dir(follow_symlinks=False):
            lines.append(f"{prefix}{name}/ {status.st_mode}")
            inside = _look(entry.path, f"{prefix}{name}/", lines, built=built)
            if inside is not None:
                youngest = max(youngest, inside, _changed(status))
            continue
        lines.append(line_of(f"{prefix}{name}", status))
        youngest = max(youngest, _changed(status))
        if entry.is_symlink():
            lines.append(_behind(entry))
    return youngest


def _changed(status: os.stat_result) -> int:
    return status.st_ctime_ns if _HAS_CHANGE_TIME else status.st_mtime_ns


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
        return f"-> {target}"
    if stat.S_ISDIR(status.st_mode):
        raise OddTreeError(link.path)
    return line_of(f"-> {target}", status)
