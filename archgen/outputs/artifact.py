"""One file of an output folder, and what an output is."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Protocol

from archgen.values.frozen import Value


class Artifact(Value, frozen=True):
    """A file to be: its path in the output folder, with forward slashes, and where its bytes come from.

    Exactly one of `make` and `source` is set. `key` is a digest of all that shapes the bytes of `make`; with it the
    bytes are kept between builds, without it they are made every time. `piece` and `made_of` say what it tells of, for
    a finding: a piece's id, and a file relative to the archive folder.
    """

    path: str
    make: Callable[[], bytes] | None = None
    source: Path | str | None = None
    key: str | None = None
    piece: str | None = None
    made_of: str = ""


def failing(path: str, error: Exception) -> Artifact:
    """Plan a file whose planning failed: it fails where it is made, as a file that cannot be made does."""

    def make() -> bytes:
        raise error

    return Artifact(path, make=make)


class Output(Protocol):
    """One folder of results, made with all it needs."""

    @property
    def folder(self) -> str:
        """Name it below the build folder."""
        ...

    def artifacts(self) -> Iterator[Artifact]:
        """List every file of the folder, each path once."""
        ...
