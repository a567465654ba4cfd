"""Papers that come with a form: the signed release, a letter or receipt beside its reference."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from archgen.desk.uploads import Received
from archgen.errors import UsageError
from archgen.intake.names import free_name
from archgen.intake.plan import PlannedPicture

RELEASE_FIELD, LETTER_FIELD = "release_paper", "letter-"


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper: the field it was chosen in, where it lies now, its place in the piece's folder."""

    field: str
    source: Path
    file: str


def named_papers(received: Sequence[Received], pictures: Sequence[PlannedPicture]) -> tuple[Paper, ...]:
    """Give each paper a place that no picture has.

    Raises:
        UsageError: One could not be taken.
    """
    refused = [one.words for one in received if one.path is None]
    if refused:
        raise UsageError(f"{' '.join(refused)} Nothing was written.")
    return tuple(_named(received, {picture.file for picture in pictures}))


def _named(received: Sequence[Received], used: set[str]) -> Iterator[Paper]:
    for one in received:
        if one.path is None:
            continue
        stem, dot, suffix = one.name.rpartition(".")
        if one.field == RELEASE_FIELD:
            file = free_name("release", dot + suffix.lower(), used)
        elif one.field.startswith(LETTER_FIELD):
            file = free_name(f"references/{stem}", dot + suffix, used)
        else:
            continue
        used.add(file)
        yield Paper(one.field, one.path, file)
