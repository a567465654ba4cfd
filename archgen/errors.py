"""What stops a command, and the exit code it ends with.

    ArchgenError
    ├── UsageError        2  the command line asks for something that does not exist
    ├── ConfigError       3  archive.toml, a register or a theme cannot be used
    ├── InputError        4  a file or picture cannot be read or used
    ├── OutputError       4  the result cannot be written
    └── WithheldError     1  the result is there, but must not be handed over

Trouble in one piece is a finding (archgen.findings) and stops only that piece.
"""

from enum import IntEnum

from archgen.languages.house import say, to_say


class ExitCode(IntEnum):
    """How a command ended; the README has the same table."""

    DONE = 0
    FINDINGS = 1
    USAGE = 2
    CONFIG = 3
    FILES = 4
    BUG = 70
    INTERRUPTED = 130


class ArchgenError(Exception):
    """Something the artist can put right: the message says what, where and how."""

    exit_code = ExitCode.BUG


class UsageError(ArchgenError):
    """The command line asks for something that does not exist."""

    exit_code = ExitCode.USAGE


class ConfigError(ArchgenError):
    """Settings, a register or a theme cannot be used."""

    exit_code = ExitCode.CONFIG


class InputError(ArchgenError):
    """A file or picture cannot be read or used."""

    exit_code = ExitCode.FILES


class OutputError(ArchgenError):
    """The result cannot be written."""

    exit_code = ExitCode.FILES


class WithheldError(ArchgenError):
    """The result was made but must not be handed over."""

    exit_code = ExitCode.FINDINGS


def no_such_file(named: object) -> InputError:
    """Say that a file that was named isn't there."""
    return InputError(say("{file}: there is no such file. Check the name.", file=named))


def disk_reason(error: OSError) -> str:
    """Say, inside a sentence, why a disk did not do something."""
    return say((error.strerror or "disk error").lower())


# What systems say of it (glibc's and macOS's strerror).
DISK_REASONS = (
    to_say("disk error"),
    to_say("permission denied"),
    to_say("operation not permitted"),
    to_say("read-only file system"),
    to_say("no space left on device"),
    to_say("disk quota exceeded"),
    to_say("input/output error"),
    to_say("no such file or directory"),
    to_say("not a directory"),
    to_say("is a directory"),
    to_say("file exists"),
    to_say("file name too long"),
    to_say("too many open files"),
    to_say("too many levels of symbolic links"),
    to_say("stale file handle"),
    to_say("device or resource busy"),
    to_say("directory not empty"),
    to_say("no such device or address"),
    to_say("invalid argument"),
)
