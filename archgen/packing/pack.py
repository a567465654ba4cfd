"""Chosen pieces in one file for one client or guest spot: what the gate lets through, searched for what is private."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from archgen.build import Options, picture_cache, read_catalogue
from archgen.errors import UsageError
from archgen.findings import Finding
from archgen.leaks.find import search_folder
from archgen.leaks.findings import leak_findings
from archgen.outputs.pack import packed_page, packed_zip
from archgen.outputs.public_pictures import PublicPictures
from archgen.progress import ProgressReporter
from archgen.publication.public_catalogue import PublicPiece, Published, publish
from archgen.records.find import find_piece
from archgen.records.model import Stage
from archgen.toml.problem import as_text
from archgen.values.frozen import Value
from archgen.wording.pieces import STAGE_WORDS


class Pack(Value, frozen=True):
    """A page or a zip, ready to be written.

    Attributes:
        titles: Of the pieces in it.
        photos: How many photos are in it.
        findings: What was found in it that is private, or may be.
    """

    content: bytes
    titles: tuple[str, ...]
    photos: int
    findings: tuple[Finding, ...]


class PackWishes(Value, frozen=True):
    """What is wanted.

    Attributes:
        pieces: As typed: an id, its beginning, or words; in the order in which they are shown.
        stage: Only photos of this stage; None: all that may be shown.
        as_zip: Pictures beside the page instead of in it.
    """

    pieces: tuple[str, ...]
    stage: Stage | None = None
    as_zip: bool = False


def make_pack(root: Path, out: Path, wishes: PackWishes, options: Options, progress: ProgressReporter) -> Pack:
    """Make one; nothing is written but the picture cache of the build folder, where there is one.

    Raises:
        UsageError: It isn't clear which piece is meant, it may not be shown, or has no photo of that stage.
        ConfigError: archive.toml cannot be used.
        InputError: The folder is not an archive.
    """
    ids = dict.fromkeys(find_piece(root, typed) for typed in wishes.pieces)
    with picture_cache(out) as cache:
        catalogue = read_catalogue(root, cache, options, progress)
        cache.save()
        published = publish(catalogue, catalogue.publications)
        chosen = tuple(_chosen(tuple(ids), published, wishes.stage))
        public = replace(published.catalogue, pieces=chosen)
        make = packed_zip if wishes.as_zip else packed_page
        content = make(public, PublicPictures(public, cache.blobs))
        with TemporaryDirectory() as folder:
            place = Path(folder, "pack.zip" if wishes.as_zip else "pack.html")
            place.write_bytes(content)
            search = search_folder(place, catalogue, catalogue.publications, cache)
    found = leak_findings(search.leaks, "the pack")
    return Pack(content, tuple(piece.title for piece in chosen), sum(len(piece.photos) for piece in chosen), found)


def _chosen(ids: Sequence[str], published: Published, stage: Stage | None) -> Iterator[PublicPiece]:
    public = {one.id: piece for one, piece in zip(published.origins, published.catalogue.pieces, strict=True)}
    for one in ids:
        if one not in public:
            why = " ".join(published.decisions[one].reasons)
            raise UsageError(f"{as_text(one)} may not be shown, so it can't be packed. {why}")
        piece = public[one]
        photos = tuple(photo for photo in piece.photos if stage in (None, photo.stage))
        if not photos and stage:
            raise UsageError(f"{as_text(piece.title)} has no {STAGE_WORDS[stage].lower()} photo that may be shown.")
        yield replace(piece, photos=photos)
