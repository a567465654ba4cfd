"""Folders that are needed for a moment; what a program that was killed left in one is private, and taken away later."""

import os
import stat
import tempfile
import time
from contextlib import suppress
from pathlib import Path

from archgen.storage.plain_files import remove_any

_PREFIX = "archgen-scratch-"
# Nothing is needed as long.
_KEPT_SECONDS = 86_400


def scratch_folder() -> tempfile.TemporaryDirectory[str]:
    """Give an empty folder that is gone when its block ends."""
    return tempfile.TemporaryDirectory(prefix=f"{_PREFIX}{os.getpid()}-")


def clear_scratch() -> None:
    """Take away what was left behind; what belongs to somebody else, or to a program that still runs, stays."""
    for path in Path(tempfile.gettempdir()).glob(f"{_PREFIX}*"):
        with suppress(OSError):
            facts = path.lstat()
            is_old = time.time() - facts.st_mtime > _KEPT_SECONDS
            if stat.S_ISDIR(facts.st_mode) and is_old and not _is_used(path.name):
                os.chmod(path, 0o700)  # noqa: PTH101  fails where it isn't ours
                remove_any(path)


def _is_used(name: str) -> bool:
    """Say whether the program that made it still runs; a clock that was put right makes a folder look old."""
    number = name.removeprefix(_PREFIX).partition("-")[0]
    if os.name == "nt" or not number.isdecimal():  # Windows would end that program
        return False
    try:
        os.kill(int(number), 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
