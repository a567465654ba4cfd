"""Know whether a build would change anything, before anything is loaded that a build needs.

Kept is in what state everything was that shapes a build: program, archive, themes beside it, and the folders it wrote.
Whatever is odd counts as changed, which costs a build and no more.
"""

import json
import os
import time
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from archgen.languages.house import house, speak
from archgen.storage.build_folder import JOURNAL, PUBLISHED
from archgen.storage.files import digest_bytes
from archgen.storage.plain_files import put_sealed, read_plain, remove_any, unsealed
from archgen.storage.program import look_at_program
from archgen.storage.tree_state import OddTreeError, TreeState, folder_states, line_of, tree_state

# Raise it when what is kept has another meaning.
VERSION = 3
_KEPT = Path("cache", "last-build.json")
# The folder of the archive whose folders are told from each other, and looked at one by one.
_PARTS = "pieces"
# What else lies in a build folder: what a build remembers, and what was written before the last changes of records.
_NO_RESULTS = ("cache", "kept")


class Sources(NamedTuple):
    """How everything stood that a build is made of.

    Attributes:
        looked: When, in nanoseconds of `time.time_ns`.
        is_settled: Whether it had been left alone for a while, so that a later change cannot look the same.
        pieces: How the folder of each piece stood, by its name.
    """

    digest: str
    looked: int
    is_settled: bool
    pieces: Mapping[str, TreeState]


class LastBuild(NamedTuple):
    """The last build in a build folder.

    Attributes:
        sources: A digest of all it was made of.
        results: A digest of all it wrote.
        day: The day it was written for, like the next two in ISO 8601.
        first_day: The days on which it comes out the same but for the lines that name the day.
        beside: Folders outside the archive that it was made of too.
        told: What was said of it, in plain values.
        language: What it was said in.
    """

    sources: str
    results: str
    day: str
    first_day: str
    last_day: str
    beside: list[str]
    told: dict[str, Any]
    language: str


def look_at_sources(root: Path) -> Sources | None:
    """Look at the program and an archive; None where a change might not show."""
    looked = time.time_ns()
    try:
        pieces = folder_states(root, _PARTS, looked)
        archive = tree_state(root, looked, known=pieces, inside=_PARTS)
        digest = digest_bytes(str(VERSION), os.fsencode(root.resolve()), look_at_program(), archive.digest)
    except (OSError, OddTreeError):
        return None
    return Sources(digest, looked, archive.is_settled, pieces)


def recall(out: Path, root: Path, day: str, sources: Sources | None = None) -> LastBuild | None:
    """Give the last build in a folder when building this archive again on a day would change nothing; speak as it did.

    `sources` are as somebody looked at them just before.
    """
    try:
        kept = LastBuild(**json.loads(unsealed(read_plain(out / _KEPT), _KEPT.name) or b""))
        if not kept.first_day <= day <= kept.last_day:
            return None
        sources = sources or look_at_sources(root)
        if sources is None or kept.sources != _state(sources, kept.beside, out):
            return None
        if kept.results != _results(out):
            return None
        speak(kept.language)
        return kept
    except (OSError, OddTreeError, ValueError, TypeError):
        return None


def keep(out: Path, sources: Sources, days: tuple[str, str, str], beside: Sequence[str], told: dict[str, Any]) -> None:
    """Keep what a build was made of and what it said, unless a later change might not show.

    Args:
        out: The build folder.
        sources: As they were before the build read the first of them.
        days: Its day, and the first and the last on which it comes out the same.
        beside: Folders outside the archive that it was made of too.
        told: What was said of it.
    """
    try:
        if not (sources.is_settled and all(tree_state(Path(one), sources.looked).is_settled for one in beside)):
            return
        kept = LastBuild(_state(sources, beside, out), _results(out), *days, list(beside), told, house().tag)
    except (OSError, OddTreeError):
        return
    _put(out, kept)


def keep_for_day(out: Path, kept: LastBuild, day: str) -> None:
    """Keep a build as one of another day, when the lines that name the day were written anew.

    Raises:
        OSError: It cannot be written.
    """
    try:
        _put(out, kept._replace(day=day, results=_results(out)))
    except OddTreeError:
        forget(out)


def _put(out: Path, kept: LastBuild) -> None:
    put_sealed(out / _KEPT, json.dumps(kept._asdict()).encode())


def forget(out: Path) -> None:
    """Forget the last build: the next one is not compared with it."""
    remove_any(out / _KEPT)


def _state(sources: Sources, beside: Sequence[str], out: Path) -> str:
    looks = (tree_state(Path(folder), sources.looked).digest for folder in beside)
    return digest_bytes(sources.digest, *looks, os.fsencode(out.resolve()))


def _results(out: Path) -> str:
    return digest_bytes(*_result_lines(out))


def _result_lines(out: Path) -> Iterator[str]:
    """Tell how the folders of a build folder stand.

    Raises:
        OddTreeError: Something is half done.
    """
    for name in ("cache/blobs", PUBLISHED):
        yield line_of(name, os.stat(out / name))  # noqa: PTH116  as in tree_state
    with os.scandir(out) as entries:
        found = sorted(entries, key=lambda entry: entry.name)
    for entry in found:
        is_folder = entry.is_dir(follow_symlinks=False)
        if (is_folder and entry.name.startswith(".")) or entry.name == JOURNAL:
            raise OddTreeError(entry.path)
        if entry.name in _NO_RESULTS or entry.name.startswith("."):
            continue
        yield line_of(entry.name, entry.stat(follow_symlinks=False))
        if is_folder:
            yield tree_state(Path(entry.path), 0, built=True).digest
