"""List the pictures of an archive that are to be read, and as what."""

from collections.abc import Iterable

from archgen.picture_facts.facts import ImageJob, Role
from archgen.records.model import Piece


def picture_jobs(pieces: Iterable[Piece]) -> Iterable[ImageJob]:
    """List every picture of the archive; public copies only where the record asks for publication."""
    for piece in pieces:
        record = piece.record
        wanted = (
            {f"{piece.folder}/{p.file}" for p in record.photo if p.may_publish} if record and record.publish else set()
        )
        for path in piece.photos:
            yield ImageJob(path, Role.PHOTO, path in wanted)
        for path in piece.stencils:
            yield ImageJob(path, Role.STENCIL)
        for path in piece.references:
            yield ImageJob(path, Role.REFERENCE)
