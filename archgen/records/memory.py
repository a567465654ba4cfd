"""Remember what records said, so that a text that did not change is not read word by word again.

Parsing takes most of the time of a check of a large archive. Only sound records are remembered, under a digest of their
text; what they are checked against (files, registers) is looked at anew. Without the memory all is the same, only
slower; one that cannot be read is empty.
"""

import sys
from pathlib import Path
from typing import Any

import msgspec

from archgen.records.model import Hours, Length, PieceRecord
from archgen.storage.files import digest_bytes
from archgen.storage.plain_files import make_own_folder, put_plain, read_plain, sealed, unsealed

# Raise it when the model, the vocabularies or the reading of texts changes.
VERSION = 5


class ReadRecord(msgspec.Struct, frozen=True):
    """A sound record and the lines of its keys, as its text alone says them."""

    record: PieceRecord
    lines: dict[str, int]


class Memory:
    """Records by the digest of their text, kept in one file; without a file nothing is kept."""

    def __init__(self, file: Path | None = None) -> None:
        self._file = file
        self._known = _load(file) if file else {}
        self._used: dict[str, msgspec.Raw] = {}

    def recall(self, text: str) -> ReadRecord | None:
        """Give what this text was read as; None when it is not known."""
        key = _key(text)
        raw = self._known.get(key)
        if raw is None:
            return None
        try:
            read = msgspec.json.decode(raw, type=ReadRecord, dec_hook=_decode)
        except (msgspec.MsgspecError, ValueError):
            return None
        self._used[key] = raw
        return read

    def keep(self, text: str, read: ReadRecord) -> None:
        """Remember what a text was read as."""
        if self._file:
            self._used[_key(text)] = msgspec.Raw(msgspec.json.encode(read, enc_hook=_encode))

    def save(self) -> None:
        """Write down what was recalled and kept since the start, and forget the rest."""
        if self._file and self._used != self._known:
            make_own_folder(self._file.parent)
            put_plain(self._file, sealed(msgspec.json.encode(self._used), self._file.name))


def _key(text: str) -> str:
    return digest_bytes(str(VERSION), msgspec.__version__, sys.version, text)


def _load(file: Path) -> dict[str, msgspec.Raw]:
    try:
        raw = unsealed(read_plain(file), file.name)
        return msgspec.json.decode(raw or b"", type=dict[str, msgspec.Raw])
    except (OSError, msgspec.MsgspecError):
        return {}


def _encode(value: Any) -> float:
    if isinstance(value, Length | Hours):
        return float(value)
    raise NotImplementedError


def _decode(kind: type, value: Any) -> Any:
    if kind in (Length, Hours) and isinstance(value, int | float):
        return kind(value)
    raise ValueError(kind.__name__)
