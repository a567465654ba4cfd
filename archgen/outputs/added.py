"""Outputs that other packages add: each gets what its kind allows, and what goes wrong in it is a finding."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from archgen.extensions import Added
from archgen.outputs.artifact import Artifact
from archgen.outputs.public_pictures import PublicPictures
from archgen.pieces.survey import SurveyedCatalogue
from archgen.publication.public_catalogue import PublicCatalogue
from archgen.values.frozen import Value

_FOLDER = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class PublicOutput(Value, frozen=True):
    """A folder for others. It is searched for anything private before it is put into place.

    Attributes:
        folder: Its name below the build folder.
        artifacts: Lists every file of it, each path once.
    """

    folder: str
    artifacts: Callable[[PublicCatalogue, PublicPictures], Iterable[Artifact]]


class PrivateOutput(Value, frozen=True):
    """A folder that stays in the studio.

    Attributes:
        folder: Its name below the build folder.
        artifacts: Lists every file of it, each path once; the path it gets is the folder of all picture copies.
    """

    folder: str
    artifacts: Callable[[SurveyedCatalogue, Path], Iterable[Artifact]]


@dataclass(frozen=True)
class AddedOutput:
    """An output of another package, ready to be made.

    Attributes:
        folder: Its name below the build folder.
        origin: Where it comes from.
        listed: Asks the package for the files; what it runs into, it runs into while it is made.
    """

    folder: str
    origin: Added[PublicOutput | PrivateOutput]
    listed: Callable[[], Iterable[Artifact]]

    def artifacts(self) -> Iterator[Artifact]:
        """List every file of the folder."""
        yield from self.listed()


def named_output(_name: str, value: Any) -> Iterator[tuple[str, PublicOutput | PrivateOutput]]:
    """Accept what an entry point gives, under the name of its folder.

    Raises:
        TypeError: It is no output.
        ValueError: Its folder cannot be called so.
    """
    if not isinstance(value, PublicOutput | PrivateOutput):
        raise TypeError(f"{value!r} is neither a PublicOutput nor a PrivateOutput")
    if not _FOLDER.fullmatch(value.folder):
        raise ValueError(f"{value.folder!r} isn't a name for a folder; use small letters, digits and hyphens")
    yield value.folder, value
