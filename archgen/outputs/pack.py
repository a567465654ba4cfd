"""Chosen pieces as one page that needs nothing else, or as a zip of that page and its pictures; public values only."""

import base64
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path, PurePosixPath

from markupsafe import Markup

from archgen.outputs.artifact import Artifact
from archgen.outputs.portfolio.layout import Layout, Sizes
from archgen.outputs.portfolio.views import PortfolioViews
from archgen.outputs.public_pictures import PublicPictures
from archgen.outputs.result_file import zipped
from archgen.picture_facts.facts import Derivative
from archgen.publication.public_catalogue import Credit, PublicCatalogue, PublicPhoto, photo_copies
from archgen.render.html import Theme, load_theme
from archgen.values.frozen import Value

# Sharp on a phone of 390 points with three pixels to each (the usual width, and the densest screens).
_WIDE_ENOUGH_PX = 1080
_KINDS = {"webp": "image/webp", "jpg": "image/jpeg", "png": "image/png"}
PAGE = "index.html"


class PackedStencil(Value, frozen=True):
    """That the last picture of a piece is its stencil, and whether it is drawn as it is printed: left to right."""

    is_mirrored: bool


class PackedPhoto(Value, frozen=True):
    """A photo or stencil on the page; the address holds the picture itself, or leads to it in the zip."""

    address: str
    width: int
    height: int
    alt: str
    words: str
    stencil: "PackedStencil | None" = None


class PackedPiece(Value, frozen=True):
    """A piece on the page."""

    title: str
    shots: tuple[PackedPhoto, ...]
    facts: tuple[tuple[str, str], ...]
    story: Markup | None
    credits: tuple[Credit, ...]


class PackView(Value, frozen=True):
    """The page."""

    language: str
    title: str
    name: str
    copyright: str | None
    url: str | None
    pieces: tuple[PackedPiece, ...]


Stencils = Mapping[str, PackedStencil]  # of pieces, by their slugs


def packed_page(public: PublicCatalogue, pictures: PublicPictures, stencils: Stencils) -> bytes:
    """Write one page with all pictures in it."""

    def address(_path: str, content: bytes, kind: str) -> str:
        return f"data:{kind};base64,{base64.b64encode(content).decode()}"

    return _page(public, pictures, stencils, address)


def packed_zip(public: PublicCatalogue, pictures: PublicPictures, stencils: Stencils) -> bytes:
    """Write a zip of the page and its pictures; nothing in it tells the day or the computer."""
    files: dict[str, bytes] = {}

    def address(path: str, content: bytes, _kind: str) -> str:
        files[path] = content
        return path

    files = {PAGE: _page(public, pictures, stencils, address), **files}
    return zipped(files)


def _page(
    public: PublicCatalogue,
    pictures: PublicPictures,
    stencils: Stencils,
    address: Callable[[str, bytes, str], str],
) -> bytes:
    # What the page says of a piece is what the portfolio says; how that lays out its wall does not matter here.
    views = PortfolioViews(public, {}, Layout(False, 1, 1, 1.0), Sizes(tall="", wide="", photo=""))
    pieces = []
    for piece, said in zip(public.pieces, views.pieces(), strict=True):
        shots = tuple(
            _shot(photo, said.shots[number].words, photo_copies(piece, number), pictures, address)
            for number, photo in enumerate(piece.photos)
        )
        if stencil := stencils.get(piece.slug):
            shots = (*shots[:-1], replace(shots[-1], stencil=stencil))
        pieces.append(PackedPiece(piece.title, shots, said.facts, said.story, said.credits))
    settings = public.settings
    name = settings.artist or settings.title
    title = " – ".join((name, *(piece.title for piece in public.pieces[:1])))
    view = PackView(public.language, title, name, settings.copyright, settings.url, tuple(pieces))
    return _theme().in_language(public.language).render("pack.html", view=view).encode()


def _theme() -> Theme:
    """Give the looks of the page; what it says of credits is what the portfolio says."""
    return Theme(load_theme("pack").folder, (load_theme("portfolio").folder,))


def _shot(
    photo: PublicPhoto,
    words: str,
    copies: Sequence[tuple[Derivative, str]],
    pictures: PublicPictures,
    address: Callable[[str, bytes, str], str],
) -> PackedPhoto:
    copy, path = next((one for one in copies if one[0].width >= _WIDE_ENOUGH_PX), copies[-1])
    content = _content(pictures.artifact(copy, path))
    kind = _KINDS[PurePosixPath(path).suffix.removeprefix(".")]
    return PackedPhoto(address(path, content, kind), copy.width, copy.height, photo.alt, words)


def _content(artifact: Artifact) -> bytes:
    if artifact.make:
        return artifact.make()
    assert artifact.source is not None  # noqa: S101  one of the two is set
    return Path(artifact.source).read_bytes()
