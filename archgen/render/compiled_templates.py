"""Keep templates compiled: in memory while the program runs, and beside the themes as Python keeps its own modules."""

import marshal
import sys
from contextlib import suppress
from pathlib import Path
from types import CodeType

import jinja2
from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

from archgen.storage.files import digest_bytes, write_atomically
from archgen.storage.plain_files import sealed, unsealed


class CompiledTemplates(BytecodeCache):
    """What Jinja made of each template's text last; a changed text is compiled anew.

    Compiled for one kind of environment, with its options: the sandbox has its guards in the code.
    """

    def __init__(self, made_with: str, folder: Path | None = None) -> None:
        """Keep them in a folder too, if given: one as safe as the program, for what lies there is run."""
        self._made_with = digest_bytes(sys.version, jinja2.__version__, made_with)
        self._folder = folder
        self._kept: dict[str, Bucket] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Hand out what was kept of this very text."""
        kept = self._kept.get(bucket.key)
        if kept is not None and kept.checksum == bucket.checksum:
            bucket.code = kept.code
        elif self._folder:
            bucket.code = _load(self._file(bucket, self._folder))

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what was made, in place of what was made of an earlier text."""
        self._kept[bucket.key] = bucket
        if self._folder and not sys.dont_write_bytecode:
            with suppress(OSError):  # the program may lie where nobody writes
                file = self._file(bucket, self._folder)
                write_atomically(file, sealed(marshal.dumps(bucket.code), file.name))

    def _file(self, bucket: Bucket, folder: Path) -> Path:
        mark = digest_bytes(self._made_with, bucket.key, bucket.checksum)[:32]
        return folder / f"{mark}.{sys.implementation.cache_tag}.template"


def _load(file: Path) -> CodeType | None:
    """Give what is kept; code of which one bit is wrong would end the program, or write another page."""
    with suppress(OSError, EOFError, ValueError, TypeError):
        whole = unsealed(file.read_bytes(), file.name)
        code = marshal.loads(whole) if whole else None  # noqa: S302  as safe as the program's modules beside it
        return code if isinstance(code, CodeType) else None
    return None
