"""What every place offers in which a portfolio is put, and the sentences for what goes wrong there."""

import errno
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import Protocol

from archgen.errors import OutputError

# A file is written under such a name and renamed, so that nobody is ever shown a part of it.
PART = ".archgen-part"
# How long a place may take to let us in, and to answer, in seconds.
ENTER_S, ANSWER_S = 30.0, 60.0
# Asked whether a computer that was never visited is the right one: its name, and the fingerprint of its key.
Trust = Callable[[str, str], bool]


class UploadError(OutputError):
    """A place refuses, or can't be reached; the message is one sentence, and another what to do."""


class UploadPlace(Protocol):
    """A tree of files; paths are relative to its top, with forward slashes.

    Each call raises `UploadError` when it can't be done.

    Attributes:
        at_once: Whether nothing changes before `finish`, and then everything together.
    """

    at_once: bool

    def sizes(self, folders: Iterable[str]) -> dict[str, int | None]:
        """Give the files that lie in these folders themselves, "" is the top; in bytes, None where nobody says."""
        ...

    def read(self, path: str) -> bytes | None:
        """Give what a file holds; None when there is none."""
        ...

    def put(self, path: str, content: bytes) -> None:
        """Write a file whole, in the place of one of that name."""
        ...

    def remove(self, path: str) -> None:
        """Take a file away; one that isn't there counts as taken away."""
        ...

    def finish(self) -> None:
        """Let everything count."""
        ...

    def close(self) -> None:
        """Leave."""
        ...


def folder_of(path: str) -> str:
    """Give the folder of a file; "" is the top."""
    return path.rpartition("/")[0]


def part_of(path: str) -> str:
    """Give the name under which a file is written before it has its own."""
    folder, slash, name = path.rpartition("/")
    return f"{folder}{slash}.{name}{PART}"


def refused(where: str, user: str | None) -> UploadError:
    """Say that a place does not let us in."""
    who = f" of {user}" if user else ""
    return UploadError(
        f"{where} refuses the login{who}. Check the name in the address, and the password: "
        "archgen upload ADDRESS --password"
    )


def forbidden(where: str, path: str) -> UploadError:
    """Say that something may not be written."""
    return UploadError(f"{where} doesn't allow writing {path}. Ask your host, or choose another folder.")


def full(where: str) -> UploadError:
    """Say that there is no room."""
    return UploadError(f"{where} is full, or your share of it is used up. Make room there, then try again.")


def slow(where: str) -> UploadError:
    """Say that no answer came."""
    return UploadError(f"{where} didn't answer within {ANSWER_S:.0f} seconds. Try again later, or ask your host.")


def cut(where: str) -> UploadError:
    """Say that the connection broke."""
    return UploadError(f"The connection to {where} was cut.")


def unreachable(where: str) -> UploadError:
    """Say that nobody is there."""
    return UploadError(f"{where} can't be reached. Check the address and your connection.")


def unproven(where: str, why: str = "") -> UploadError:
    """Say that a computer can't show a certificate that holds today."""
    more = f" ({why})" if why else ""
    return UploadError(
        f"{where} can't prove who it is{more}. If this computer's day and time are right, ask your host. Nothing was "
        "sent."
    )


def wrong_clock(where: str) -> UploadError:
    """Say that the clocks are apart."""
    return UploadError(
        f"The clocks of {where} and of this computer are too far apart. Set this computer's day and time, then try "
        "again."
    )


def odd(where: str, what: str) -> UploadError:
    """Pass on what a place said."""
    return UploadError(f"{where} says: {' '.join(what.split())[:200] or 'no'}.")


@contextmanager
def disk_words(where: str) -> Iterator[None]:
    """Say in a sentence why a disk, also one that is mounted, can't be written.

    Raises:
        UploadError: In the place of every error of the disk.
    """
    try:
        yield
    except OSError as error:
        raise disk_error(where, error) from error


def disk_error(where: str, error: OSError) -> UploadError:
    """Give the sentence for an error of a disk."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return full(where)
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return forbidden(where, str(error.filename or ""))
    if error.errno in (errno.EIO, errno.ENOTCONN, errno.ESTALE, errno.EHOSTDOWN):
        return UploadError(f"{where} went away. Is the disk connected?")
    return odd(where, error.strerror or str(error))
