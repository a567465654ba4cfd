"""Files of our own in a build folder, whatever somebody put in their place; nothing goes through a link.

A folder where a file should be, a link, a pipe: it is taken away where it would be written, and counts as absent where
it would be read. What is sealed says whether it is whole.
"""

import errno
import hashlib
import os
import stat
from collections.abc import Iterable
from pathlib import Path

# Never follows a link at the end of a name and never waits for the other end of a pipe. Windows knows neither.
_NO_LINK = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
_SEAL_BYTES = 32


def open_plain(path: str | Path, flags: int = os.O_RDONLY) -> int:
    """Open an ordinary file and give its handle.

    Raises:
        OSError: There is none, or something else of its name.
    """
    handle = os.open(path, flags | _NO_LINK, 0o666)
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise OSError(errno.EINVAL, "Not an ordinary file", os.fspath(path))
    return handle


def read_plain(path: str | Path) -> bytes:
    """Read an ordinary file.

    Raises:
        OSError: There is none, or something else of its name.
    """
    with open(open_plain(path), "rb") as stream:
        return stream.read()


def remove_any(path: Path) -> None:
    """Take away what is there, a link without what it leads to.

    Raises:
        OSError: It cannot be.
    """
    try:
        mode = path.lstat().st_mode
    except FileNotFoundError:
        return
    if stat.S_ISDIR(mode) and not _is_junction(path):
        _remove_tree(path)
    else:
        path.unlink()


def _remove_tree(path: Path) -> None:
    import shutil  # noqa: PLC0415  takes longer to load than a build that changes nothing

    shutil.rmtree(path)


def is_own_folder(path: str | Path) -> bool:
    """Say whether there is a folder itself, and no link to one."""
    try:
        return stat.S_ISDIR(os.lstat(path).st_mode) and not _is_junction(Path(path))
    except OSError:
        return False


def is_plain_or_absent(path: Path) -> bool:
    """Say whether there is an ordinary file, or nothing."""
    try:
        return stat.S_ISREG(path.lstat().st_mode)
    except FileNotFoundError:
        return True


def make_own_folder(path: Path) -> None:
    """Make a folder where there is none; what else has its name is taken away.

    Raises:
        OSError: It cannot be made.
    """
    if not is_own_folder(path):
        remove_any(path)
        path.mkdir(parents=True, exist_ok=True)


def put_plain(path: Path, *content: bytes) -> None:
    """Write a file whole or not at all, of these parts, in the place of whatever has its name.

    Raises:
        OSError: It cannot be written.
    """
    put_parts(path, content)


def put_parts(path: Path, content: Iterable[bytes]) -> None:
    """Write a file as `put_plain`, of parts that come one after the other.

    Raises:
        OSError: It cannot be written.
    """
    temporary = path.with_name(f".{path.name}.{os.urandom(4).hex()}.part")
    try:
        with temporary.open("wb") as file:
            file.writelines(content)
        if path.is_dir() and not path.is_symlink():  # which a file cannot replace
            _remove_tree(path)
        temporary.replace(path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def sealed(content: bytes, name: str) -> bytes:
    """Give a content with a seal that breaks with any change of it, and under any other name."""
    return _seal(content, name) + content


def put_sealed(path: Path, content: bytes) -> None:
    """Write a content and its seal, as `put_plain`; of what is large no second copy is made for that.

    Raises:
        OSError: It cannot be written.
    """
    put_plain(path, _seal(content, path.name), content)


def unsealed(raw: bytes, name: str) -> bytes | None:
    """Give the content; None where the seal is broken."""
    content = memoryview(raw)[_SEAL_BYTES:]
    return bytes(content) if raw[:_SEAL_BYTES] == _seal(content, name) else None


def _seal(content: bytes | memoryview, name: str) -> bytes:
    # In two steps: what is remembered of a large archive has tens of megabytes, and is not copied for this.
    seal = hashlib.sha256(name.encode() + b"\0")
    seal.update(content)
    return seal.digest()


def _is_junction(path: Path) -> bool:
    """Say whether a folder is a link of Windows' own kind; Python before 3.12 knows none."""
    return getattr(os.path, "isjunction", lambda _: False)(path)
