"""What an upload changes at a place, and in which order; knows paths and digests, touches nothing."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum

from archgen.uploading.built import BuiltFile, BuiltSite
from archgen.uploading.place import PART, folder_of
from archgen.uploading.sent import LIST, UNDER_WAY, UNKNOWN, Sent

_PAGE = ".html"
# Read by machines, and speaking of pages: after all of them.
_FOR_MACHINES = (".xml", ".txt")
_HOME = "index.html"
_PIECES = "/pieces/"
PICTURES = (".avif", ".webp", ".jpg", ".png")


class StepKind(Enum):
    """What is done with one file."""

    SEND = "send"
    COVER = "cover"
    REMOVE = "remove"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that is done at a place."""

    kind: StepKind
    path: str


@dataclass(frozen=True, slots=True)
class PlaceState:
    """What is known of a place before anything changes there.

    Attributes:
        there: What the place says was sent to it; None where it says nothing.
        here: What this computer remembers.
        sizes: The files that really lie there, in bytes.
        is_broken: Whether an upload broke off there.
    """

    there: Sent | None
    here: Sent | None
    sizes: Mapping[str, int | None]
    is_broken: bool = False

    @property
    def sent(self) -> Mapping[str, str]:
        """Give what was sent; what this computer confirmed of the same upload is surer than what stands there."""
        if self.there is None:
            return dict.fromkeys(self.here.files, UNKNOWN) if self.here else {}
        if self.here and self.here.run == self.there.run:
            return {**self.there.files, **self.here.files}
        return self.there.files

    @property
    def is_lost(self) -> bool:
        """Say whether something was sent from here, and the place knows nothing of it."""
        return self.there is None and self.here is not None

    @property
    def is_from_elsewhere(self) -> bool:
        """Say whether what lies there was sent from another computer, or from another archive."""
        return self.there is not None and (self.here is None or self.here.origin != self.there.origin)


@dataclass(frozen=True, slots=True)
class UploadPlan:
    """What an upload changes.

    Attributes:
        appears: Paths of files that are new there.
        changes: Those that are there already and read otherwise.
        goes: Those that were sent once and are no more in the portfolio.
        withdrawn: Those of what lies there that may not be shown any more.
        others: Those of `changes` that archgen never sent.
        bytes: How much is sent.
    """

    appears: tuple[str, ...]
    changes: tuple[str, ...]
    goes: tuple[str, ...]
    withdrawn: tuple[str, ...]
    others: tuple[str, ...]
    bytes: int

    @property
    def is_empty(self) -> bool:
        """Say whether everything is there as it was built."""
        return not (self.appears or self.changes or self.goes or self.withdrawn)

    def steps(self) -> Iterator[Step]:
        """Give the steps in an order in which no page ever lacks a picture.

        First what was withdrawn: its pages go, and its pictures are covered by a gray one, for other pages still show
        them. Then pictures and looks, changed ones before new ones, since a changed one may stand for a photo that
        left; then the pages, those that link after those they link to; then whatever else goes.
        """
        yield from (Step(StepKind.REMOVE, path) for path in self.withdrawn if path.endswith(_PAGE))
        for path in self.withdrawn:
            if not path.endswith(_PAGE):
                yield Step(StepKind.COVER if path.endswith(PICTURES) else StepKind.REMOVE, path)
        changed = set(self.changes)
        for path in sorted((*self.changes, *self.appears), key=lambda one: (_turn(one), one not in changed, one)):
            yield Step(StepKind.SEND, path)
        gone = {path for path in self.withdrawn if not path.endswith(PICTURES)}
        for path in sorted(set(self.goes) - gone, key=lambda one: (not one.endswith(_PAGE), one)):
            yield Step(StepKind.REMOVE, path)

    def withdrawing(self) -> "UploadPlan":
        """Give the part of it that only takes away what may not be shown any more; pages stay, and show gray."""
        return UploadPlan((), (), (), self.withdrawn, (), 0)


def _turn(path: str) -> int:
    """Say when a file has its turn."""
    if path.endswith(_FOR_MACHINES):
        return 4
    if not path.endswith(_PAGE):
        return 0
    if path.rpartition("/")[2] == _HOME:
        return 3
    return 1 if _PIECES in f"/{path}" else 2


def has_size(sizes: Mapping[str, int | None], path: str, file: BuiltFile) -> bool:
    """Say whether a file lies there, with the size it should have as far as the place tells."""
    return path in sizes and sizes[path] in (file.size, None)


def folders_to_look_into(site: BuiltSite, *sent: Sent | None) -> tuple[str, ...]:
    """Give the folders in which anything of the portfolio lies or lay, the top first."""
    paths = [*site.files, *(path for one in sent if one for path in one.files)]
    return tuple(sorted({"", *map(folder_of, paths)}))


def make_plan(site: BuiltSite, known: PlaceState) -> UploadPlan:
    """Compare what was built with what lies there."""
    sent, sizes = known.sent, known.sizes

    def is_as_built(path: str) -> bool:
        file = site.files[path]
        return sent.get(path) == file.digest and has_size(sizes, path, file)

    missing = [path for path in site.files if not is_as_built(path)]
    changes = tuple(path for path in missing if path in sizes)
    parts = (path for path in sizes if path.endswith(PART))
    goes = {path for path in sent if path in sizes and path not in site.files and path not in (LIST, UNDER_WAY)}
    withdrawn = (path for path in site.withdrawn if path in sent and path in sizes)
    return UploadPlan(
        appears=tuple(path for path in missing if path not in sizes),
        changes=changes,
        goes=tuple(sorted({*goes, *parts})),
        withdrawn=tuple(sorted(path for path in withdrawn if path not in site.files or path in changes)),
        others=tuple(path for path in changes if path not in sent),
        bytes=sum(site.files[path].size for path in missing),
    )
