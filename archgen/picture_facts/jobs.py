"""List the pictures of an archive that are to be read, and as what."""

from collections.abc import Container, Iterable

from archgen.config import Config
from archgen.picture_facts.facts import ImageJob, Role
from archgen.records.model import Piece

# Drawings that are kept as lines.
_LINES = (".svg", ".pdf")


def picture_jobs(pieces: Iterable[Piece], public: Container[str] = (), *, avif: bool = False) -> Iterable[ImageJob]:
    """List every picture of the archive; copies for the public are made of the `public` photos, also as AVIF or not."""
    for piece in pieces:
        for path in piece.photos:
            yield ImageJob(path, Role.PHOTO, path in public, avif)
        for path in piece.stencils:
            yield ImageJob(path, Role.STENCIL)
        for path in piece.references:
            yield ImageJob(path, Role.REFERENCE)


def mark_job(config: Config) -> ImageJob | None:
    """Give the picture that is the site's sign; None where the settings name none."""
    mark = config.portfolio.mark
    if mark is None:
        return None
    role = Role.STENCIL if mark.lower().endswith(_LINES) else Role.PHOTO
    return ImageJob(mark, role, public=True)
