"""What every place offers in which a portfolio is put, and the sentences for what goes wrong there."""

import errno
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import Protocol

from archgen.errors import OutputError
from archgen.languages.house import say

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
    said = say("{where} refuses the login of {user}.", where=where, user=user)
    if not user:
        said = say("{where} refuses the login.", where=where)
    remedy = say("Check the name in the address, and the password: archgen upload ADDRESS --password")
    return UploadError(f"{said} {remedy}")


def forbidden(where: str, path: str) -> UploadError:
    """Say that something may not be written."""
    return UploadError(
        say("{where} doesn't allow writing {path}. Ask your host, or choose another folder.", where=where, path=path)
    )


def full(where: str) -> UploadError:
    """Say that there is no room."""
    return UploadError(
        say("{where} is full, or your share of it is used up. Make room there, then try again.", where=where)
    )


def slow(where: str) -> UploadError:
    """Say that no answer came."""
    return UploadError(
        say(
            "{where} didn't answer within {seconds:.0f} seconds. Try again later, or ask your host.",
            where=where,
            seconds=ANSWER_S,
        )
    )


def cut(where: str) -> UploadError:
    """Say that the connection broke."""
    return UploadError(say("The connection to {where} was cut.", where=where))


def unreachable(where: str) -> UploadError:
    """Say that nobody is there."""
    return UploadError(say("{where} can't be reached. Check the address and your connection.", where=where))


def unproven(where: str, why: str = "") -> UploadError:
    """Say that a computer can't show a certificate that holds today."""
    said = say("{where} can't prove who it is ({why}).", where=where, why=why)
    if not why:
        said = say("{where} can't prove who it is.", where=where)
    remedy = say("If this computer's day and time are right, ask your host. Nothing was sent.")
    return UploadError(f"{said} {remedy}")


def wrong_clock(where: str) -> UploadError:
    """Say that the clocks are apart."""
    return UploadError(
        say(
            "The clocks of {where} and of this computer are too far apart. Set this computer's day "
            "and time, then try again.",
            where=where,
        )
    )


def odd(where: str, what: str) -> UploadError:
    """Pass on what a place said."""
    return UploadError(say("{where} says: {answer}.", where=where, answer=" ".join(what.split())[:200] or say("no")))


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
        return UploadError(say("{where} went away. Is the disk connected?", where=where))
    return odd(where, say(error.strerror or str(error)))
