"""A new picture as read and sorted: the value that grouping, comparing and proposing work on."""

import datetime as dt
from dataclasses import dataclass

from archgen.intake.reading.dates import day_in_name, moment_in_name
from archgen.intake.reading.look import PictureLook
from archgen.intake.reading.sorting import Sorted
from archgen.intake.sources import SourceFile
from archgen.picture_facts.facts import Role


@dataclass(frozen=True, slots=True)
class SeenPicture:
    """One picture: where it lies, what was found in it, what it is by itself.

    Attributes:
        moment: When it was made, by the clock most of its neighbours have; None when nothing tells.
    """

    file: SourceFile
    look: PictureLook
    sorted: Sorted
    moment: dt.datetime | None

    @property
    def digest(self) -> str:
        """Give the digest of its bytes, which is its own among the pictures of an intake."""
        return self.look.digest

    @property
    def name(self) -> str:
        """Give what the artist calls it."""
        return self.file.name

    @property
    def is_photo(self) -> bool:
        """Say whether it was taken for a photo of a piece."""
        return self.sorted.role is Role.PHOTO

    @property
    def day(self) -> dt.date | None:
        """Give the day it was made: the camera's, else that in its name."""
        return self.moment.date() if self.moment else day_in_name(self.name)


def moment_of(look: PictureLook, name: str) -> dt.datetime | None:
    """Say when a picture was made: by its camera, else by its name."""
    return look.taken or moment_in_name(name)
