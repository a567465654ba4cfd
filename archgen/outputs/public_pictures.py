"""The copies of photos that may be shown, with the artist's own rights written into them."""

from dataclasses import dataclass, field
from functools import cached_property, partial
from pathlib import Path

from archgen import __version__
from archgen.config import PortfolioSettings
from archgen.metadata.rights_writing import OwnRights, mark
from archgen.outputs.artifact import Artifact
from archgen.picture_facts.facts import Derivative
from archgen.publication.public_catalogue import PublicCatalogue
from archgen.storage.files import digest_bytes


@dataclass(frozen=True)
class PublicPictures:
    """Plans the copies of a public catalogue's photos as files, and no other picture.

    Attributes:
        blobs: The folder of all picture copies.
    """

    catalogue: PublicCatalogue
    blobs: Path = field(repr=False)

    def artifact(self, copy: Derivative, path: str) -> Artifact:
        """Plan a copy under a path of the output folder.

        Raises:
            ValueError: It isn't a copy of a photo that may be shown.
        """
        if copy not in self._copies:
            raise ValueError(f"{copy.blob} isn't a copy of a photo that may be shown")
        source, marks = self.blobs / copy.blob, _marks(self.catalogue.settings)
        if marks is None:
            return Artifact(path, source=source)
        key = digest_bytes("rights marks", __version__, copy.blob, repr(marks))
        return Artifact(path, make=partial(_marked, source, marks), key=key)

    def mark(self) -> Path | None:
        """Give the picture of the site's sign; None where there is none."""
        return self.blobs / self.catalogue.mark.blob if self.catalogue.mark else None

    @cached_property
    def _copies(self) -> frozenset[Derivative]:
        return frozenset(copy for copy, _ in self.catalogue.pictures)


def _marks(settings: PortfolioSettings) -> OwnRights | None:
    """Give what is written into published pictures; None when nothing is set."""
    marks = OwnRights(
        settings.creator,
        settings.copyright,
        settings.credit,
        settings.rights_url,
        settings.licensor_url,
        settings.model_training,
    )
    return None if marks == OwnRights() else marks


def _marked(source: Path, marks: OwnRights) -> bytes:
    return mark(source.read_bytes(), marks)
