"""Find the record among a piece's files: under its name, or under one that a keyboard or an editor has changed."""

import re
from collections.abc import Iterable
from pathlib import Path

from archgen.records.folder import RECORD
from archgen.toml.slips import one_slip_away

# What editors and mail programs put behind a name, and what marks the copies they keep; common practice, no source.
_ADDED = re.compile(r"(?<=\.toml)(?:\.(?:txt|text|toml))+$", re.IGNORECASE)
_COPY = re.compile(r"(?:\.(?:bak|old|orig|save)|~)+$|(?: \(\d+\)| - copy| copy)(?=\.toml)", re.IGNORECASE)


def records_among(files: Iterable[str]) -> tuple[str, ...]:
    """Give the files of a piece's folder that can be its record: one when it is clear which it is.

    A file by the right name comes before all others, and a copy that an editor kept after them.
    """
    names = [file for file in files if "/" not in file]
    if RECORD in names:
        return (RECORD,)
    meant = tuple(name for name in names if _is_meant(_COPY.sub("", name)))
    return tuple(name for name in meant if not _COPY.search(name)) or meant


def record_in(folder: Path) -> Path | None:
    """Give the record in a piece's folder; None when there is none, or it is not clear which file it is."""
    if (folder / RECORD).is_file():
        return folder / RECORD
    try:
        found = records_among(path.name for path in folder.iterdir())
    except OSError:
        return None
    # Reading from a pipe would wait for ever.
    return folder / found[0] if len(found) == 1 and (folder / found[0]).is_file() else None


def _is_meant(name: str) -> bool:
    return bool(one_slip_away(_ADDED.sub("", name), (RECORD,)))
