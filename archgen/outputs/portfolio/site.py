"""The public portfolio: every file of it, made from cleared values only."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Protocol

from archgen.outputs.artifact import Artifact
from archgen.outputs.portfolio.beside.care_sheet import care_sheet
from archgen.outputs.portfolio.beside.icons import icon_files, manifest, with_sign
from archgen.outputs.portfolio.data import atom_feed, robots, site_map
from archgen.outputs.portfolio.editions import editions, texts_in
from archgen.outputs.portfolio.pages.texts import CARE, TextView
from archgen.outputs.portfolio.paths import FEED
from archgen.outputs.portfolio.theme import PortfolioTheme
from archgen.outputs.portfolio.views import PortfolioViews
from archgen.outputs.site_pages import asset_files, page
from archgen.picture_facts.facts import Derivative
from archgen.publication.public_catalogue import PublicCatalogue
from archgen.render.html import Theme
from archgen.storage.files import digest_bytes


class PlannedPictures(Protocol):
    """Plans the copies of photos that may be shown as files."""

    def artifact(self, copy: Derivative, path: str) -> Artifact:
        """Plan a copy under a path of the output folder."""
        ...

    def mark(self) -> Path | None:
        """Give the picture of the site's sign; None where there is none."""
        ...


@dataclass(frozen=True)
class PortfolioSite:
    """The portfolio as an output.

    Attributes:
        cleared: What may be public.
        texts: The artist's own pages by name (about, care, booking), in Markdown.
        theme: How it looks.
    """

    cleared: PublicCatalogue
    pictures: PlannedPictures
    texts: Mapping[str, str]
    theme: PortfolioTheme

    folder = "portfolio"

    def artifacts(self) -> Iterator[Artifact]:
        """List every file, each path once."""
        mark = self.pictures.mark()
        looks = with_sign(self.theme.pages, self.cleared, mark)
        main, *others = [
            (edition, PortfolioViews(edition, texts_in(self.texts, edition), self.theme.layout, self.theme.sizes))
            for edition in editions(self.cleared)
        ]
        theme = looks.in_language(self.cleared.language)
        pages = list(_pages(looks, *main))
        yield from pages
        for other in others:
            yield from _pages(looks, *other)
        yield self._missing(theme, main[1].texts.missing(views.texts for _, views in others))
        yield from self._data([artifact.path for artifact in pages])
        yield from (*asset_files(theme), *icon_files(self.cleared, mark))
        for edition, views in (main, *others):
            yield Artifact(f"{edition.folder}{FEED}", make=partial(atom_feed, edition))
            yield manifest(edition)
            if care := views.texts.text_of(CARE):
                yield care_sheet(*views.texts.heading_and_rest(CARE, care), care.language, edition)
        yield from (self.pictures.artifact(copy, path) for copy, path in self.cleared.pictures)

    def _missing(self, theme: Theme, view: TextView) -> Artifact:
        """Plan the page for a wrong address: a host shows it at any depth, so it holds its looks itself.

        Its links are whole where the site's address is known.
        """
        url = self.cleared.settings.url
        root = f"{url.rstrip('/')}/" if url else ""
        key = digest_bytes("missing", theme.digest, root, repr(view))
        return Artifact("404.html", make=lambda: theme.render("missing.html", view=view, root=root).encode(), key=key)

    def _data(self, paths: list[str]) -> Iterator[Artifact]:
        yield Artifact("robots.txt", make=partial(robots, self.cleared.settings))
        content = site_map(self.cleared, paths)
        if content is not None:
            yield Artifact("sitemap.xml", make=lambda: content)


def _pages(looks: Theme, edition: PublicCatalogue, views: PortfolioViews) -> Iterator[Artifact]:
    """Plan the pages in one language."""
    theme = looks.in_language(edition.language)
    yield from (page(theme, view.page.path, "home.html", view) for view in views.works.home())
    yield from (page(theme, view.page.path, "piece.html", view) for view in views.pieces())
    yield from (page(theme, view.page.path, "style.html", view) for view in views.works.styles())
    yield from (page(theme, view.page.path, "designs.html", view) for view in views.designs.all())
    yield from (page(theme, view.page.path, "text.html", view) for view in views.texts.all())
