"""Remember each piece as it was read, so that a folder in which nothing changed is not listed and parsed again.

Reading takes most of the time of a question to a large archive. Only pieces whose records are sound are remembered,
beside how their folders stood on the disk: whatever changed in one since, however small, it is read anew. What the
registers say is no part of it. Without the memory all is the same, only slower; one that cannot be read is empty.
"""

import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import msgspec

from archgen.findings import Finding
from archgen.records.files.piece_folders import PieceName
from archgen.records.layout import PIECES
from archgen.records.model import Hours, Length, Piece
from archgen.storage.build_folder import MARKER
from archgen.storage.plain_files import make_own_folder, put_sealed, read_plain, unsealed
from archgen.storage.program import program_state
from archgen.storage.tree_state import OddTreeError, TreeState, folder_states


class ReadPiece(msgspec.Struct, frozen=True):
    """A piece as its folder alone says it, and what is wrong there."""

    piece: Piece
    findings: tuple[Finding, ...] = ()


class _Remembered(msgspec.Struct, array_like=True):
    state: str
    read: ReadPiece


class _MemoryFile(msgspec.Struct):
    program: str = ""
    pieces: dict[str, _Remembered] = {}


class Memory:
    """Pieces by the names of their folders, kept in one file; without a file nothing is kept."""

    def __init__(self, file: Path | None = None) -> None:
        self._file = file
        self._known: dict[str, _Remembered] = {}
        self._used: dict[str, _Remembered] = {}
        self._states: Mapping[str, TreeState] = {}
        self._program = ""

    def look_at(self, root: Path, looked: Mapping[str, TreeState] | None = None) -> None:
        """Look how the folders of the pieces stand, before the first of them is read; `looked`: as somebody just did.

        A folder that changes later counts as changed at the next look.
        """
        if self._file is None:
            return
        try:
            self._program = program_state()
        except (OSError, OddTreeError):
            return
        self._states = folder_states(root, PIECES, time.time_ns()) if looked is None else looked
        kept = _load(self._file)
        self._known = kept.pieces if kept.program == self._program else {}

    @property
    def states(self) -> Mapping[str, TreeState]:
        """Give how the folders of the pieces stood at the look, by their names."""
        return self._states

    def recall(self, name: PieceName) -> ReadPiece | None:
        """Give a piece as it was read; None when it is not known, or anything in its folder changed."""
        state, kept = self._states.get(name.folder), self._known.get(name.folder)
        if state is None or kept is None or kept.state != state.digest or kept.read.piece.id != name.id:
            return None
        self._used[name.folder] = kept
        return kept.read

    def keep(self, name: PieceName, read: ReadPiece) -> None:
        """Remember a piece, unless its folder changed so lately that a later change could look the same."""
        state = self._states.get(name.folder)
        if state and state.is_settled:
            self._used[name.folder] = _Remembered(state.digest, read)

    def save(self) -> None:
        """Write down what was recalled and kept since the start, and forget the rest."""
        if self._file and self._used != self._known:
            content = msgspec.json.encode(_MemoryFile(self._program, self._used), enc_hook=_encode)
            make_own_folder(self._file.parent)
            put_sealed(self._file, content)


def _load(file: Path) -> _MemoryFile:
    try:
        return msgspec.json.decode(unsealed(read_plain(file), file.name) or b"", type=_MemoryFile, dec_hook=_decode)
    except (OSError, msgspec.MsgspecError, ValueError):
        return _MemoryFile()


def _encode(value: Any) -> float:
    if isinstance(value, Length | Hours):
        return float(value)
    raise NotImplementedError


def _decode(kind: type, value: Any) -> Any:
    if kind in (Length, Hours) and isinstance(value, int | float):
        return kind(value)
    raise ValueError(kind.__name__)


def memory_in(cache: Path) -> Memory:
    """Give what is remembered of the pieces in the folder of a cache."""
    return Memory(cache / "records.json")


def memory_of(out: Path) -> Memory:
    """Give what is remembered in a build folder; nothing is kept where there is none."""
    return memory_in(out / "cache") if (out / MARKER).is_file() else Memory()
