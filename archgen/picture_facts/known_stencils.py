"""What the last build found in the stencils, for questions in words: no picture is opened, and no library for it."""

import os
from collections.abc import Mapping
from pathlib import Path

import msgspec

from archgen.picture_facts.facts import ImageFacts
from archgen.storage.cache import Cache, stamp_of
from archgen.storage.plain_files import put_sealed, read_plain, unsealed

_FILE = "stencils.json"


class _Known(msgspec.Struct, array_like=True):
    """A stencil as it was found in a file of this stamp."""

    stamp: bytes
    facts: ImageFacts


def keep_stencils(cache: Cache, root: Path, facts: Mapping[str, ImageFacts]) -> None:
    """Keep what was found in stencils whose files had settled."""
    known = [
        _Known(stamp, msgspec.structs.replace(one, screen=one.screen[-1:], private=(), serials=(), texts=()))
        for path, one in facts.items()
        if one.marks and (stamp := cache.seen_as(os.path.join(root, path)))  # noqa: PTH118  as in `stage._read`
    ]
    put_sealed(cache.folder / _FILE, msgspec.json.encode(known))


def recall_stencils(cache: Path, root: Path) -> dict[str, ImageFacts]:
    """Give what is known of the stencils whose files are still as they were; nothing where nothing was kept."""
    try:
        known = msgspec.json.decode(unsealed(read_plain(cache / _FILE), _FILE) or b"[]", type=list[_Known])
    except (OSError, msgspec.MsgspecError):
        return {}
    return {one.facts.path: one.facts for one in known if _stamp_at(root / one.facts.path) == one.stamp}


def _stamp_at(path: Path) -> bytes | None:
    try:
        return stamp_of(os.stat(path))  # noqa: PTH116  asked of thousands
    except OSError:
        return None
