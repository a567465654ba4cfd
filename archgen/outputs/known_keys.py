"""Remember the keys of files by what they are made of, so that no view is built only to learn what is there already.

What a page says is worked out in two steps: from a piece to a view, from the view to bytes. The second is kept under
the view; this remembers the first, and of what stands in the search the text itself. A damaged memory is empty, and so
is that of another program.
"""

from collections.abc import Callable
from pathlib import Path

import msgspec

from archgen.storage.plain_files import make_own_folder, put_sealed, read_plain, unsealed
from archgen.storage.program import program_state
from archgen.storage.tree_state import OddTreeError
from archgen.values.digests import value_digest


class _KeysFile(msgspec.Struct):
    program: str = ""
    keys: dict[str, str] = {}


class KnownKeys:
    """Keys, or texts, by the digest of what a file is made of, kept in one file; without a file nothing is kept."""

    def __init__(self, file: Path | None = None) -> None:
        self._file = file
        self._program = _program() if file else ""
        kept = _load(file) if file and self._program else _KeysFile()
        self._known = kept.keys if kept.program == self._program else {}
        self._used: dict[str, str] = {}

    def key(self, made_of: object, find_key: Callable[[], str]) -> str:
        """Give a file's key; it is only worked out when what the file is made of is new.

        Args:
            made_of: Plain values: all that shapes the file but the program.
            find_key: Works the key out.
        """
        digest = value_digest(made_of)
        key = self._used.get(digest) or self._known.get(digest) or find_key()
        self._used[digest] = key
        return key

    def save(self) -> None:
        """Write down what was asked for since the start, and forget the rest."""
        if self._file and self._program and self._used != self._known:
            make_own_folder(self._file.parent)
            content = msgspec.json.encode(_KeysFile(self._program, self._used))
            put_sealed(self._file, content)


def _program() -> str:
    try:
        return program_state()
    except (OSError, OddTreeError):
        return ""


def _load(file: Path) -> _KeysFile:
    try:
        return msgspec.json.decode(unsealed(read_plain(file), file.name) or b"", type=_KeysFile)
    except (OSError, msgspec.MsgspecError):
        return _KeysFile()
