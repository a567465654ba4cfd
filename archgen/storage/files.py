"""Read, digest and write files safely; knows bytes, not pieces."""

import hashlib
import os
from pathlib import Path


def digest_bytes(*parts: bytes | str) -> str:
    """Give the SHA-256 of the parts in order, each set off by its length."""
    sha = hashlib.sha256()
    for part in parts:
        raw = part.encode() if isinstance(part, str) else part
        sha.update(len(raw).to_bytes(8, "big"))
        sha.update(raw)
    return sha.hexdigest()


def digest_file(path: Path) -> str:
    """Give the SHA-256 of a file's bytes."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def write_atomically(path: Path, content: bytes) -> None:
    """Write beside the target and rename, so that a reader sees the old file or the new one, never a part."""
    path.parent.mkdir(parents=True, exist_ok=True)
    temporary = path.with_name(f".{path.name}.{os.urandom(4).hex()}.part")
    try:
        temporary.write_bytes(content)
        temporary.replace(path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def write_durably(path: Path, content: bytes) -> None:
    """Write a file that is not there yet, down to the disk, so that a power cut after it leaves it whole."""
    with path.open("xb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def copy_durably(source: Path, target: Path) -> None:
    """Copy a file's bytes and day to a place where none is, down to the disk; the source is only read."""
    with source.open("rb") as read, target.open("xb") as write:
        while part := read.read(1 << 20):
            write.write(part)
        write.flush()
        os.fsync(write.fileno())
    status = source.stat()
    os.utime(target, ns=(status.st_atime_ns, status.st_mtime_ns))


def link_or_copy(source: str | Path, target: str | Path) -> None:
    """Put source's bytes at target: a hard link where the disk allows it, else a copy."""
    try:
        os.link(source, target)
    except OSError:
        Path(target).write_bytes(Path(source).read_bytes())


def is_inside(path: Path, folder: Path) -> bool:
    """Say whether path, links followed, lies in folder, links followed; links in a circle lie nowhere."""
    try:
        # What lies in it and is no link itself, as most that is asked about: no link above it leads elsewhere.
        if path.parent == folder and path.name != ".." and not path.is_symlink():
            return True
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):  # RuntimeError: Python before 3.13, for a circle
        return False


def is_text_name(name: str) -> bool:
    """Say whether a name or path is text; some disks hold names in no encoding that is known."""
    try:
        name.encode()
    except UnicodeEncodeError:
        return False
    return True
