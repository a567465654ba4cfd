"""All pages of one portfolio in one language, as values: each kind is made by a module of `pages`."""

from collections.abc import Iterable, Mapping

from archgen.outputs.portfolio.editions import OwnText
from archgen.outputs.portfolio.layout import Layout, Sizes
from archgen.outputs.portfolio.pages.designs import DesignPages
from archgen.outputs.portfolio.pages.maker import PageMaker
from archgen.outputs.portfolio.pages.pieces import PiecePages, PortfolioPieceView
from archgen.outputs.portfolio.pages.texts import TextPages
from archgen.outputs.portfolio.pages.works import WorksPages
from archgen.publication.public_catalogue import PublicCatalogue


class PortfolioViews:
    """The pages by their kinds; `cleared` and `texts` are as they are said in the language."""

    def __init__(self, cleared: PublicCatalogue, texts: Mapping[str, OwnText], layout: Layout, sizes: Sizes):
        maker = PageMaker(cleared, texts)
        self.site = maker.site
        self.works = WorksPages(maker, layout, sizes)
        self.designs = DesignPages(maker, sizes)
        self.texts = TextPages(maker)
        self._pieces = PiecePages(maker, sizes)

    def pieces(self) -> Iterable[PortfolioPieceView]:
        """Give a page for every piece; from one to the next they follow each other as on the first page."""
        return self._pieces.all(self.works.as_hung())
