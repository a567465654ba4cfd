"""List pieces that had to leave the public eye, without a word about who asked; knows records, not files."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.publication.decision import Publication, decide_all
from archgen.records.model import Piece, ReleaseStatus
from archgen.units import date_words


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """A piece that must not be shown any more; since is None when the day was not recorded."""

    piece: str
    title: str
    since: dt.date | None
    reason: str


def find_withdrawals(
    catalogue: Catalogue, publications: Mapping[str, Publication] | None = None
) -> tuple[Withdrawal, ...]:
    """List the pieces whose release was withdrawn or ended, or a right to whose reference ended; latest first.

    Without `publications` what may be public is decided here.
    """
    decided = decide_all(catalogue) if publications is None else publications
    hidden = (piece for piece in catalogue.pieces if not decided[piece.id].shown)
    found = [removal for piece in hidden if (removal := _withdrawal(piece, catalogue.built_on))]
    return tuple(sorted(found, key=lambda removal: (-(removal.since or dt.date.min).toordinal(), removal.piece)))


def _withdrawal(piece: Piece, today: dt.date) -> Withdrawal | None:
    record = piece.record
    if record is None:
        return None
    release = record.release
    if release.status is ReleaseStatus.WITHDRAWN or release.withdrawn:
        return Withdrawal(piece.id, piece.title, release.withdrawn, "photo release withdrawn")
    if record.release.expires and record.release.expires < today:
        return Withdrawal(piece.id, piece.title, record.release.expires, "photo release ended")
    ended = [reference.expires for reference in record.reference if reference.expires and reference.expires < today]
    if record.publish and ended:
        return Withdrawal(piece.id, piece.title, max(ended), "right to a reference ended")
    return None


def write_withdrawals(catalogue: Catalogue, publications: Mapping[str, Publication] | None = None) -> str:
    """Write the log: one line for each piece."""
    lines = [f"Not in the portfolio built on {date_words(catalogue.built_on)}:", ""]
    for removal in find_withdrawals(catalogue, publications):
        since = f" since {date_words(removal.since)}" if removal.since else ""
        lines.append(f"{removal.title} ({removal.piece}): {removal.reason}{since}")
    return "\n".join(lines if len(lines) > 2 else ["Nothing had to be removed."]) + "\n"
