"""Remember what the pictures of each piece told, so that a folder in which nothing changed is not looked at again.

Looking at every file and its result took a tenth of a build of thousands of pieces in which one changed. Kept in one
file, by how the folder of the piece stands on the disk; without it, or where it is damaged, all comes out the same.
"""

from collections.abc import Callable, Mapping
from pathlib import Path

import msgspec

from archgen.picture_facts.facts import ImageJob, ImageResult
from archgen.records.layout import PIECES
from archgen.storage.cache import Cache
from archgen.storage.plain_files import make_own_folder, put_sealed, read_plain, unsealed
from archgen.storage.tree_state import TreeState

_FILE = "pictures"


class _KnownPicture(msgspec.Struct, array_like=True, frozen=True):
    """What a picture told, and the key it has in the cache."""

    job: ImageJob
    key: str
    result: ImageResult


class _Folder(msgspec.Struct, array_like=True):
    state: str
    pictures: list[_KnownPicture]


class _KnownFile(msgspec.Struct):
    read_with: str = ""
    folders: dict[str, _Folder] = {}


class KnownPictures:
    """Pictures by the folders of their pieces; only those that could be used are remembered."""

    def __init__(self, cache: Cache, states: Mapping[str, TreeState]) -> None:
        """Take up a cache, and how the folders of the pieces stand now, by their names."""
        self.cache, self._states = cache, states
        self._file = cache.folder / _FILE
        self._kept = _load(self._file)
        self._now = _KnownFile()

    def begin(self, read_with: str) -> None:
        """Say with what pictures are read now: of what was read otherwise nothing is known."""
        self._now.read_with = read_with
        if self._kept.read_with != read_with:
            self._kept = _KnownFile(read_with)

    def recall(self, job: ImageJob) -> ImageResult | None:
        """Give what a picture told; None when it is not known, or not all of it lies in the cache."""
        folder = self._kept.folders.get(name := _folder_of(job))
        state = self._states.get(name)
        if folder is None or state is None or state.digest != folder.state:
            return None
        known = next((one for one in folder.pictures if one.job == job), None)
        if known is None or not known.result.facts or not self.cache.has_blobs(known.result.facts.blobs):
            return None
        self.cache.keep(known.key)
        self._add(name, state, known)
        return known.result

    def keep(self, job: ImageJob, result: ImageResult, key: Callable[[], str]) -> None:
        """Remember what a picture told, unless its folder changed so lately that a later change could look the same."""
        state = self._states.get(name := _folder_of(job))
        if state and state.is_settled and result.facts:
            self._add(name, state, _KnownPicture(job, key(), result))

    def _add(self, name: str, state: TreeState, known: _KnownPicture) -> None:
        self._now.folders.setdefault(name, _Folder(state.digest, [])).pictures.append(known)

    def save(self) -> None:
        """Write down what was recalled and kept, and forget the rest."""
        if self._now != self._kept:
            make_own_folder(self._file.parent)
            put_sealed(self._file, msgspec.msgpack.encode(self._now))


def _folder_of(job: ImageJob) -> str:
    """Give the name of the folder of a piece; empty where a picture lies elsewhere."""
    top, _, rest = job.path.partition("/")
    return rest.partition("/")[0] if top == PIECES else ""


def _load(file: Path) -> _KnownFile:
    try:
        return msgspec.msgpack.decode(unsealed(read_plain(file), _FILE) or b"", type=_KnownFile)
    except (OSError, msgspec.MsgspecError):
        return _KnownFile()
