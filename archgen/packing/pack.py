"""Chosen pieces in one file for one client or guest spot: what the gate lets through, searched for what is private."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from archgen.build import Options, picture_cache, read_catalogue, with_pictures
from archgen.catalogue import Catalogue
from archgen.errors import UsageError
from archgen.findings import Finding
from archgen.languages.house import say
from archgen.leaks.find import search_folder
from archgen.leaks.findings import leak_findings
from archgen.outputs.pack import PackedStencil, packed_page, packed_zip
from archgen.outputs.public_pictures import PublicPictures
from archgen.picture_facts.facts import ImageJob, Role
from archgen.pieces.overview import PieceOverview
from archgen.pieces.versions import VersionOverview
from archgen.progress import ProgressReporter
from archgen.publication.decision import Publication
from archgen.publication.public_catalogue import PublicPhoto, PublicPiece, Published, publish
from archgen.records.find import find_piece
from archgen.records.model import Photo, Stage
from archgen.toml.problem import as_text
from archgen.values.frozen import Value


class Pack(Value, frozen=True):
    """A page or a zip, ready to be written.

    Attributes:
        titles: Of the pieces in it.
        pictures: How many photos and stencils are in it.
        findings: What was found in it that is private, or may be.
    """

    content: bytes
    titles: tuple[str, ...]
    pictures: int
    findings: tuple[Finding, ...]


class PackWishes(Value, frozen=True):
    """What is wanted.

    Attributes:
        pieces: As typed: an id, its beginning, or words; in the order in which they are shown.
        stage: Only photos of this stage; None: all that may be shown.
        stencils: Whether the stencil that went on the skin, else the latest, comes with each piece.
        as_zip: Pictures beside the page instead of in it.
    """

    pieces: tuple[str, ...]
    stage: Stage | None = None
    stencils: bool = False
    as_zip: bool = False


def make_pack(root: Path, out: Path, wishes: PackWishes, options: Options, progress: ProgressReporter) -> Pack:
    """Make one; nothing is written but the picture cache of the build folder, where there is one.

    Raises:
        UsageError: It isn't clear which piece is meant, it may not be shown, or has no photo of that stage or stencil.
        ConfigError: archive.toml cannot be used.
        InputError: The folder is not an archive.
    """
    ids = dict.fromkeys(find_piece(root, typed) for typed in wishes.pieces)
    with picture_cache(out) as cache:
        catalogue = read_catalogue(root, cache, options, progress)
        published = publish(catalogue, catalogue.publications)
        chosen = tuple(_chosen(tuple(ids), published, wishes.stage))
        drawn: dict[str, VersionOverview] = {}
        if wishes.stencils:
            drawn = {one: _stencil(catalogue.overviews[one]) for one in ids}
            jobs = [ImageJob(version.path, Role.STENCIL, public=True) for version in drawn.values()]
            catalogue = with_pictures(catalogue, jobs, cache, options, progress)
            chosen = tuple(map(partial(_with_stencil, catalogue=catalogue), chosen, drawn.values()))
        cache.save()
        public = replace(published.catalogue, pieces=chosen)
        stencils = {
            piece.slug: PackedStencil(bool(version.stencil.mirrored))
            for piece, version in zip(chosen, drawn.values(), strict=False)
        }
        make = packed_zip if wishes.as_zip else packed_page
        content = make(public, PublicPictures(public, cache.blobs), stencils)
        with TemporaryDirectory() as folder:
            place = Path(folder, "pack.zip" if wishes.as_zip else "pack.html")
            place.write_bytes(content)
            search = search_folder(place, catalogue, _letting_out(catalogue.publications, drawn), cache)
    found = leak_findings(search.leaks, say("the pack"))
    return Pack(content, tuple(piece.title for piece in chosen), sum(len(piece.photos) for piece in chosen), found)


def _chosen(ids: Sequence[str], published: Published, stage: Stage | None) -> Iterator[PublicPiece]:
    public = {one.id: piece for one, piece in zip(published.origins, published.catalogue.pieces, strict=True)}
    for one in ids:
        if one not in public:
            why = " ".join(published.decisions[one].reasons)
            said = say("{piece} may not be shown, so it can't be packed.", piece=as_text(one))
            raise UsageError(f"{said} {why}")
        piece = public[one]
        photos = tuple(photo for photo in piece.photos if stage in (None, photo.stage))
        if not photos and stage:
            titles = {
                Stage.IN_PROGRESS: say(
                    "{title} has no in progress photo that may be shown.", title=as_text(piece.title)
                ),
                Stage.FRESH: say("{title} has no fresh photo that may be shown.", title=as_text(piece.title)),
                Stage.HEALED: say("{title} has no healed photo that may be shown.", title=as_text(piece.title)),
            }
            raise UsageError(titles[stage])
        yield replace(piece, photos=photos)


def _stencil(overview: PieceOverview) -> VersionOverview:
    """Give the version that went on the skin, else the latest."""
    sound = [version for version in overview.versions if version.facts]
    found = next((version for version in sound if version.is_applied), sound[-1] if sound else None)
    if found is None:
        raise UsageError(say("{title} has no stencil that can be read.", title=as_text(overview.title)))
    return found


def _with_stencil(piece: PublicPiece, version: VersionOverview, catalogue: Catalogue) -> PublicPiece:
    copies = catalogue.facts[version.path].public
    return replace(piece, photos=(*piece.photos, PublicPhoto(piece.title, None, None, copies)))


def _letting_out(
    publications: Mapping[str, Publication], drawn: Mapping[str, VersionOverview]
) -> Mapping[str, Publication]:
    """Give what may be public with these stencils among it: the artist asked for them, and their piece may be shown."""
    return {
        one: replace(decided, photos=(*decided.photos, Photo(file=drawn[one].stencil.file)))
        if one in drawn
        else decided
        for one, decided in publications.items()
    }
