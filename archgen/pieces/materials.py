"""The needles and inks of a piece: what their words mean, what the register adds, what was past its date when used."""

from archgen.catalogue import Catalogue
from archgen.records.model import Ink, InkBatch, Needle, PieceRecord
from archgen.records.vocabulary.needle_forms.reading import NeedleReading
from archgen.records.vocabulary.needles import read_needles
from archgen.values.frozen import Value


class NeedleUse(Value, frozen=True):
    """One line of needles: as written, as read, and each reading's bundle at least and at most in mm where known."""

    needle: Needle
    readings: tuple[NeedleReading, ...]
    bundles_mm: tuple[tuple[float | None, float] | None, ...]
    was_late: bool


class InkUse(Value, frozen=True):
    """One ink.

    Attributes:
        ink: What its record leaves out comes from the register.
        bottle: The register's entry; None when there is none of that number.
        was_late: Whether it was past its date on the last day worked.
    """

    ink: Ink
    bottle: InkBatch | None
    was_late: bool


class FinestNeedle(Value, frozen=True):
    """The finest needle grouping of a piece, as written, and how wide its shafts stand together at most.

    `is_assumed` says that nobody wrote how thick a shaft is.
    """

    code: str
    bundle_mm: float
    is_assumed: bool = False


def needle_uses(record: PieceRecord) -> tuple[NeedleUse, ...]:
    """Read the needles of a record."""
    return tuple(_needle_use(needle, record) for needle in record.needle)


def _needle_use(needle: Needle, record: PieceRecord) -> NeedleUse:
    readings = tuple(read_needles(needle.code))
    return NeedleUse(
        needle=needle,
        readings=readings,
        bundles_mm=tuple(
            (reading.bundle_at_least_mm, most) if (most := reading.bundle_mm) is not None else None
            for reading in readings
        ),
        was_late=record.was_late(needle.expiry),
    )


def finest_needle(record: PieceRecord) -> FinestNeedle | None:
    """Give the needle with the smallest bundle among those that could be read."""
    return finest_of(needle_uses(record))


def finest_of(uses: tuple[NeedleUse, ...]) -> FinestNeedle | None:
    """Give the smallest bundle among needles that are read already."""
    found = [
        FinestNeedle(use.needle.code, bundle[1], reading.diameter_is_assumed)
        for use in uses
        for reading, bundle in zip(use.readings, use.bundles_mm, strict=True)
        if bundle
    ]
    return min(found, key=lambda one: one.bundle_mm, default=None)


def ink_uses(record: PieceRecord, catalogue: Catalogue) -> tuple[InkUse, ...]:
    """Look the inks of a record up in the register."""
    found = ((catalogue.described(ink), catalogue.bottle(ink.batch)) for ink in record.ink)
    return tuple(InkUse(ink, bottle, record.was_late(ink.expiry)) for ink, bottle in found)
