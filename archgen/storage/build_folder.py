"""Know a build folder, and of which archive the last build in it was one."""

import os
from pathlib import Path

from archgen.storage.files import digest_bytes
from archgen.storage.plain_files import make_own_folder, put_plain, read_plain

# Lies in every build folder, and says that archgen made it.
MARKER = ".archgen"
# Held by an open desk as long as it is open.
DESK_LOCK = ".desk.lock"
# What was put into the portfolio last.
PUBLISHED = ".published.json"
# What is being swapped into place.
JOURNAL = ".swap"
# Beside the cache, which is no output: it differs from computer to computer.
_BUILT_FROM = Path("cache", "built-from")


def remember_archive(out: Path, root: Path) -> None:
    """Write down that a build folder holds what is made of this archive."""
    make_own_folder(out / _BUILT_FROM.parent)
    put_plain(out / _BUILT_FROM, _name_of(root).encode())


def is_built_from(out: Path, root: Path) -> bool:
    """Say whether the last build in a build folder was one of this archive."""
    try:
        return read_plain(out / _BUILT_FROM) == _name_of(root).encode()
    except OSError:
        return False


def _name_of(root: Path) -> str:
    return digest_bytes(os.fsencode(root.resolve()))
