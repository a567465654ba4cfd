"""The stencil versions of a piece in the order they were made from each other, and which of them lie over which."""

from collections.abc import Iterator, Sequence
from pathlib import PurePath

from archgen.catalogue import Catalogue
from archgen.picture_facts.facts import ImageFacts
from archgen.picture_facts.gauge_facts import GaugeFacts, PairFacts
from archgen.pieces.elsewhere import UseElsewhere, uses_elsewhere
from archgen.pieces.gauging import version_pairs
from archgen.records.model import Piece, Stencil
from archgen.values.frozen import Value


class VersionOverview(Value, frozen=True):
    """One version.

    Attributes:
        path: Relative to the archive folder.
        facts: None when the file is missing or cannot be read.
        height_mm: Of the printed marks, worked out from their width.
        is_applied: Whether it went on the skin.
        is_described: Whether the record names it, or it was only found in the folder.
        column: How many versions it is away from a first drawing.
        starts_row: Whether it stands below its parent, not beside it, or is a first drawing.
        leads_on: Whether the next version was made from this one.
        gauge: How it reads at its printed width; only a build has that.
        elsewhere: Other pieces that use the drawing.
    """

    stencil: Stencil
    path: str
    facts: ImageFacts | None
    height_mm: float | None
    is_applied: bool
    is_described: bool
    column: int
    starts_row: bool
    leads_on: bool
    gauge: GaugeFacts | None
    elsewhere: tuple[UseElsewhere, ...]

    @property
    def anchor(self) -> str:
        """Give the name of its place on the page of its piece."""
        return f"stencil-{self.stencil.version or PurePath(self.stencil.file).stem}"


class VersionPair(Value, frozen=True):
    """A version laid over the one it was made from, both by their place among the versions.

    Attributes:
        parent_mm, child_mm: How wide they are laid on each other; equally wide when a width is not recorded.
        facts: Where the child lies over the parent when both agree best, and what changed.
    """

    parent: int
    child: int
    parent_mm: float
    child_mm: float
    is_to_scale: bool
    facts: PairFacts


def versions_of(piece: Piece, catalogue: Catalogue) -> tuple[VersionOverview, ...]:
    """List the versions of a piece, each after the one it was made from; those only found in the folder too."""
    ordered = tuple(_in_order(_all_stencils(piece)))
    columns = _columns(ordered)
    beside = [
        column > 0 and before.version == stencil.parent
        for before, stencil, column in zip(ordered, ordered[1:], columns[1:], strict=False)
    ]
    return tuple(
        _version(stencil, piece, catalogue, (column, not from_left, leads_on))
        for stencil, column, from_left, leads_on in zip(
            ordered, columns, (False, *beside), (*beside, False), strict=False
        )
    )


def _columns(ordered: Sequence[Stencil]) -> tuple[int, ...]:
    """Count for each version how many lie between it and a first drawing."""
    known: dict[int | None, int] = {}
    found = []
    for stencil in ordered:
        found.append(known.get(stencil.parent, -1) + 1 if stencil.parent is not None else 0)
        known.setdefault(stencil.version, found[-1])
    return tuple(found)


def _version(stencil: Stencil, piece: Piece, catalogue: Catalogue, place: tuple[int, bool, bool]) -> VersionOverview:
    path, facts = f"{piece.folder}/{stencil.file}", catalogue.picture(piece, stencil.file)
    record = piece.record
    return VersionOverview(
        stencil=stencil,
        path=path,
        facts=facts,
        height_mm=_height_mm(stencil, facts),
        is_applied=stencil == piece.applied_stencil,
        is_described=record is not None and stencil in record.stencil,
        column=place[0],
        starts_row=place[1],
        leads_on=place[2],
        gauge=catalogue.gauge(piece, stencil),
        elsewhere=uses_elsewhere(path, catalogue),
    )


def _all_stencils(piece: Piece) -> tuple[Stencil, ...]:
    named = piece.record.stencil if piece.record else ()
    known = {stencil.file for stencil in named}
    found = (path.removeprefix(f"{piece.folder}/") for path in piece.stencils)
    return named + tuple(Stencil(file=file) for file in found if file not in known)


def _in_order(stencils: Sequence[Stencil]) -> Iterator[Stencil]:
    """Walk from each first version down its children; a parent that does not exist, or a ring, hides nothing."""
    left = sorted(stencils, key=lambda one: (one.version is None, one.version or 0, one.file))
    known = {stencil.version for stencil in left}

    def walk(stencil: Stencil) -> Iterator[Stencil]:
        left.remove(stencil)
        yield stencil
        if stencil.version is not None:
            for child in [one for one in left if one.parent == stencil.version]:
                if child in left:
                    yield from walk(child)

    while left:
        yield from walk(next((one for one in left if one.parent is None or one.parent not in known), left[0]))


def _height_mm(stencil: Stencil, facts: ImageFacts | None) -> float | None:
    ratio = height_to_width(facts)
    return stencil.width * ratio if stencil.width is not None and ratio is not None else None


def height_to_width(facts: ImageFacts | None) -> float | None:
    """Give how many times as high as wide the marks of a drawing are; None when they are not known."""
    if facts is None or facts.marks is None:
        return None
    left, top, right, bottom = facts.marks
    return (bottom - top) / (right - left) if right > left and bottom > top else None


def pairs_of(piece: Piece, catalogue: Catalogue, versions: Sequence[VersionOverview]) -> tuple[VersionPair, ...]:
    """List each version that lies over the one it was made from."""
    places = {version.path: place for place, version in enumerate(versions)}
    return tuple(
        VersionPair(
            parent=places[f"{piece.folder}/{parent.file}"],
            child=places[f"{piece.folder}/{child.file}"],
            parent_mm=job.first_mm,
            child_mm=job.second_mm,
            is_to_scale=bool(parent.width and child.width),
            facts=found,
        )
        for parent, child, job in version_pairs(catalogue, piece)
        if (found := catalogue.overlays.get(job))
    )
