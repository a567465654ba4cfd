"""The portfolio as it stands: which pieces lie in its folder, and how some are taken out whatever else fails.

Beside the folder, never in it, a file keeps what was put into place last: public values only, and whose they are. With
it the old pages can be written again without a piece. Where that fails too, the piece's files are deleted, and every
page that speaks of it.
"""

import html
import re
import urllib.parse
from collections.abc import Collection, Iterator, Mapping, Set
from dataclasses import dataclass, replace
from pathlib import Path

import msgspec

from archgen.catalogue import PortfolioFolder
from archgen.config import PortfolioSettings
from archgen.outputs.artifact import Artifact
from archgen.outputs.portfolio.beside.icons import LARGEST
from archgen.outputs.portfolio.editions import titles_of
from archgen.outputs.portfolio.site import PortfolioSite
from archgen.outputs.portfolio.theme import PortfolioTheme
from archgen.picture_facts.facts import Derivative
from archgen.publication.public_catalogue import (
    PublicCatalogue,
    PublicClaim,
    PublicDesign,
    PublicPiece,
    Published,
    ShownAs,
    all_paths,
    picture_copies,
    slug,
)
from archgen.storage.build_folder import PUBLISHED
from archgen.storage.plain_files import read_plain, sealed, unsealed
from archgen.storage.staging import files_below

# Files of a portfolio that speak of pieces in words.
_TEXTS = (".html", ".xml", ".txt", ".js", ".json")


class KeptPiece(msgspec.Struct, frozen=True):
    """A piece as it was published: what it was made of, and what the public may see of it."""

    origin: ShownAs
    piece: PublicPiece

    @property
    def id(self) -> str:
        """Give its id in the archive."""
        return self.origin.id

    @property
    def paths(self) -> tuple[str, ...]:
        """Give the paths of its page and its pictures in the portfolio."""
        return all_paths(self.piece)


class KeptDesign(msgspec.Struct, frozen=True):
    """A design as it was published, and its id in the archive."""

    id: str
    design: PublicDesign


class FormerPiece(msgspec.Struct, frozen=True):
    """A piece that was published once: its title, and all paths it ever had."""

    title: str
    paths: tuple[str, ...]


class Kept(msgspec.Struct, frozen=True):
    """What was put into place last, and what was ever there; theme is the digest of its looks."""

    settings: PortfolioSettings = PortfolioSettings()
    language: str = "en"
    units: str = "mm"
    theme: str = ""
    texts: dict[str, str] = {}
    pieces: tuple[KeptPiece, ...] = ()
    designs: tuple[KeptDesign, ...] = ()
    mark: Derivative | None = None
    claims: tuple[PublicClaim, ...] = ()
    once: dict[str, FormerPiece] = {}


@dataclass(frozen=True)
class OldPictures:
    """The pictures of a portfolio that stands, by the copies they were made of."""

    folder: Path
    paths: Mapping[Derivative, str]
    has_mark: bool

    def artifact(self, copy: Derivative, path: str) -> Artifact:
        """Plan a picture under a path, from where it lies now."""
        return Artifact(path, source=self.folder / self.paths[copy])

    def mark(self) -> Path | None:
        """Give the site's sign, from where it lies now; None where it is a letter."""
        return self.folder / LARGEST if self.has_mark else None


class StandingPortfolio:
    """The portfolio's folder below a build folder, and what is kept of it."""

    def __init__(self, out: Path) -> None:
        self.folder = out / PortfolioSite.folder
        self._file = out / PUBLISHED
        self._kept = self._read()

    def _read(self) -> Kept | None:
        try:
            raw = read_plain(self._file)
            # Before there were seals it was kept without one.
            return msgspec.json.decode(unsealed(raw, PUBLISHED) or raw, type=Kept)
        except (OSError, msgspec.MsgspecError):
            return None

    @property
    def kept(self) -> Kept:
        """Give what was put into place last."""
        return self._kept or Kept()

    @property
    def there(self) -> frozenset[str]:
        """Give the ids of the pieces and the designs that lie in the folder now."""
        return self.state.pieces.union(one.id for one in self.kept.designs)

    @property
    def state(self) -> PortfolioFolder:
        """Look which pieces lie in the folder now, and which are no more."""
        return self.state_in(files_below(self.folder)[0].keys())

    def state_in(self, files: Set[str]) -> PortfolioFolder:
        """Say which pieces lie in a folder of these files, and which are no more."""
        owners = self._owners()
        there = {piece: not files.isdisjoint(self._own_paths(piece, owners)) for piece in self.kept.once}
        return PortfolioFolder(
            pieces=frozenset(piece for piece, is_there in there.items() if is_there),
            gone={
                piece: (former.title, tuple(path for path in former.paths if path not in files))
                for piece, former in self.kept.once.items()
                if not there[piece]
            },
        )

    def _owners(self) -> Mapping[str, str]:
        """Give the piece that has each path now."""
        return {path: one.id for one in self.kept.pieces for path in one.paths}

    def _own_paths(self, piece: str, owners: Mapping[str, str]) -> list[str]:
        """Give the paths a piece ever had that no other piece has now."""
        former = self.kept.once.get(piece)
        return [path for path in (former.paths if former else ()) if owners.get(path, piece) == piece]

    def holds(self, titles: Mapping[str, str], photos: Collection[str]) -> bool:
        """Say whether any of these pieces, by id with their titles, or of these photos lies in the folder."""
        if self._kept is None:
            return any(self._named_like(title) for title in titles.values())
        wanted = set(photos)
        has_photo = any(not wanted.isdisjoint(one.origin.photos) for one in self.kept.pieces)
        return has_photo or not self.there.isdisjoint(titles)

    def remember(self, published: Published, texts: Mapping[str, str], theme: PortfolioTheme) -> bytes:
        """Keep what is about to be put into place, and give the file PUBLISHED that has to come there with it."""
        public = published.catalogue
        pieces = tuple(KeptPiece(*one) for one in zip(published.origins, public.pieces, strict=True))
        self._kept = Kept(
            # What names folders of the archive has no place among what is public.
            settings=replace(public.settings, order=(), theme=None),
            language=public.language,
            units=public.units,
            theme=theme.pages.digest,
            texts=dict(texts),
            pieces=pieces,
            designs=tuple(KeptDesign(*one) for one in zip(published.designs, public.designs, strict=True)),
            mark=public.mark,
            claims=public.claims,
            once=_with(self.kept.once, pieces),
        )
        return _encoded(self._kept)

    def without(self, pieces: Collection[str], photos: Collection[str]) -> Kept | None:
        """Give what is left when pieces and photos are taken out; None when it is not known what stands there."""
        if self._kept is None:
            return None
        left = (one if one.id not in pieces else None for one in self._kept.pieces)
        reduced = (_without_photos(one, photos) for one in left if one)
        designs = tuple(one for one in self._kept.designs if one.id not in pieces)
        return msgspec.structs.replace(
            self._kept, pieces=tuple(one for one in reduced if one.piece.photos), designs=designs
        )

    def site(self, kept: Kept, theme: PortfolioTheme) -> PortfolioSite:
        """Plan the pages that stand there again, of what is left."""
        old = OldPictures(self.folder, dict(_public(self.kept).pictures), kept.mark is not None)
        return PortfolioSite(_public(kept), old, kept.texts, theme)

    def is_of(self, theme: PortfolioTheme) -> bool:
        """Say whether the pages that stand there have these very looks."""
        return self.kept.theme == theme.pages.digest

    def keeping(self, kept: Kept) -> bytes:
        """Give the file PUBLISHED that has to come into place with what is left; until then the old one holds."""
        return _encoded(kept)

    def delete(self, titles: Mapping[str, str], photos: Collection[str]) -> None:
        """Delete the files of pieces and photos, and every page that speaks of them; no room on the disk is needed."""
        taken = [one for one in self.kept.pieces if one.id in titles or not set(photos).isdisjoint(one.origin.photos)]
        drawn = [one.design.drawn for one in self.kept.designs if one.id in titles]
        shown = [*(one.piece for one in taken), *drawn]
        paths = {path for one in taken for path in one.paths} | set(self._formerly(titles))
        paths |= {path for one in drawn for _, path in picture_copies(one)}
        names = {slug(title) for title in titles.values()} | {one.slug for one in shown}
        words = set(titles.values()) | {title for one in shown for title in titles_of(one)}
        for path in sorted(paths):
            (self.folder / path).unlink(missing_ok=True)
        for file in sorted(self.folder.rglob("*")):
            if file.suffix in _TEXTS and file.is_file() and _speaks_of(file.read_bytes(), names, words):
                file.unlink()

    def _formerly(self, titles: Mapping[str, str]) -> Iterator[str]:
        owners = self._owners()
        for piece, title in titles.items():
            yield from self._named_like(title) if self._kept is None else self._own_paths(piece, owners)

    def _named_like(self, title: str) -> list[str]:
        """Find the files of a piece by its title alone: its address is made of that."""
        name = re.escape(slug(title) or "piece")
        ours = re.compile(rf"((?:[\w-]+/)?pieces/{name}(-\d+)?\.html|img/{name}(-\d+)+\.\w+)")
        files = (path.relative_to(self.folder).as_posix() for path in sorted(self.folder.rglob("*")) if path.is_file())
        return [path for path in files if ours.fullmatch(path)]

    def recall(self) -> None:
        """Take what is in place for what is kept."""
        self._kept = self._read()


def _public(kept: Kept) -> PublicCatalogue:
    return PublicCatalogue(
        kept.settings,
        kept.language,
        kept.units,
        tuple(one.piece for one in kept.pieces),
        designs=tuple(one.design for one in kept.designs),
        mark=kept.mark,
        claims=kept.claims,
    )


def _encoded(kept: Kept) -> bytes:
    return sealed(msgspec.json.encode(kept, enc_hook=float), PUBLISHED)  # a length is a float


def _with(once: Mapping[str, FormerPiece], pieces: Collection[KeptPiece]) -> dict[str, FormerPiece]:
    found = dict(once)
    for one in pieces:
        before = found[one.id].paths if one.id in found else ()
        found[one.id] = FormerPiece(one.piece.title, tuple(dict.fromkeys((*before, *one.paths))))
    return dict(sorted(found.items()))


def _without_photos(one: KeptPiece, photos: Collection[str]) -> KeptPiece:
    left = [number for number, path in enumerate(one.origin.photos) if path not in photos]
    made_of = ShownAs(
        one.id,
        tuple(one.origin.photos[number] for number in left),
        tuple(one.origin.digests[number] for number in left),
    )
    return KeptPiece(made_of, one.piece.without_photos(left))


def _speaks_of(content: bytes, names: Collection[str], titles: Collection[str]) -> bool:
    text = content.decode("utf-8", "replace")
    addresses = re.findall(r"(?:pieces|img)/([^\"'\s<>]+)", urllib.parse.unquote(text))
    if any(re.match(rf"{re.escape(name)}(-\d+)*\.", address) for name in names for address in addresses):
        return True
    plain = html.unescape(text).casefold()
    return any(title.casefold() in plain for title in titles if title.strip())
