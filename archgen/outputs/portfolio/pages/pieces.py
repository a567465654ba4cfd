"""A piece's page: its photos, what is said of it, and the way to the next."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from markupsafe import Markup

from archgen.outputs.portfolio.data import piece_json_ld
from archgen.outputs.portfolio.layout import Sizes
from archgen.outputs.portfolio.pages.maker import PageMaker, story_of
from archgen.outputs.portfolio.pages.values import EnquiryForm, Link, PageView, PortfolioPhoto, SiteView
from archgen.outputs.portfolio.paths import quoted
from archgen.picture_facts.laid_facts import WHOLE
from archgen.publication.public_catalogue import (
    Credit,
    PublicPiece,
    laid_path,
    piece_path,
)
from archgen.render.html import safe_html
from archgen.values.frozen import Value
from archgen.wording.portfolio import (
    in_other_language,
    month_words,
    place_words,
    sittings_words,
)


class LaidPhotos(Value, frozen=True):
    """The fresh photo laid on the healed one: `layer` is the path of its picture, in the shape of the healed one.

    Attributes:
        part: What both show, in shares of the healed one: left, top, width, height; empty where that is all of it.
    """

    fresh: PortfolioPhoto
    healed: PortfolioPhoto
    layer: str
    part: str


class PortfolioPieceView(Value, frozen=True):
    """A piece's page; `enquiry` is the address of a letter about it, None where no mail address is known."""

    site: SiteView
    page: PageView
    json_ld: Markup | None
    title: str
    shots: tuple[PortfolioPhoto, ...]
    photo_sizes: str
    facts: tuple[tuple[str, str], ...]
    styles: tuple[Link, ...]
    story: Markup | None
    credits: tuple[Credit, ...]
    turns: tuple[Link, ...]
    laid: LaidPhotos | None = None
    enquiry: str | None = None
    form: EnquiryForm | None = None
    title_language: str = ""
    story_language: str = ""


class PiecePages:
    """A page for every piece."""

    def __init__(self, maker: PageMaker, sizes: Sizes) -> None:
        self._maker, self._sizes = maker, sizes
        self._site, self._cleared, self._spoken = maker.site, maker.cleared, maker.spoken

    def all(self, hung: Iterable[PublicPiece]) -> Iterable[PortfolioPieceView]:
        """Give a page for every piece; from one to the next they follow each other as they are hung."""
        turns: dict[str, list[Link]] = {piece.slug: [] for piece in self._cleared.pieces}
        for before, after in pairwise(hung):
            turns[before.slug].append(self._turn("Next: %(title)s", after, "next"))
            turns[after.slug].append(self._turn("Before: %(title)s", before, "prev"))
        for piece in self._cleared.pieces:
            yield self._piece(piece, tuple(turns[piece.slug]))

    def _turn(self, message: str, piece: PublicPiece, kind: str) -> Link:
        title = in_other_language(piece.title, piece.title_language, self._spoken.tag)
        words = safe_html(self._spoken.gettext(message)) % {"title": title}
        if piece.title_language:  # one element: links may be laid out by a theme as rows of elements
            words = Markup("<span>{}</span>").format(words)
        return Link(words, self._maker.at(piece_path(piece)), kind)

    def _piece(self, piece: PublicPiece, turns: tuple[Link, ...]) -> PortfolioPieceView:
        path, title = piece_path(piece), f"{piece.title} – {self._site.name}"
        words = ", ".join(part for part in (piece.title, self._maker.words_below(piece)) if part)
        shots = [self._maker.shot(piece, number) for number in range(len(piece.photos))]
        return PortfolioPieceView(
            site=self._site,
            page=self._maker.page(path, "piece", title, f"{words}.", shown=[piece]),
            json_ld=piece_json_ld(piece, self._cleared),
            title=piece.title,
            shots=tuple(shots),
            photo_sizes=self._sizes.photo,
            facts=tuple(self._facts(piece)),
            styles=self._maker.styles_of(piece),
            story=story_of(piece),
            credits=tuple(map(self._maker.credit, piece.credits)),
            turns=turns,
            laid=_laid(piece, shots),
            enquiry=self._maker.enquiry(piece, self._maker.at(path)),
            form=self._maker.form(piece),
            title_language=piece.title_language,
            story_language=piece.story_language,
        )

    def _facts(self, piece: PublicPiece) -> Iterable[tuple[str, str]]:
        spoken = self._spoken
        if where := place_words(piece, spoken):
            yield spoken.gettext("Where"), where
        if size := spoken.size(piece.width_mm, piece.height_mm, self._cleared.units):
            yield spoken.gettext("Size"), size
        if piece.hours:
            yield spoken.gettext("Time"), sittings_words(piece.sittings, piece.hours, spoken)
        if made := month_words(piece, spoken):
            yield spoken.gettext("Made"), made


def _laid(piece: PublicPiece, shots: Sequence[PortfolioPhoto]) -> LaidPhotos | None:
    laid = piece.laid
    if laid is None:
        return None
    both = laid.both
    part = " ".join(f"{side:.4f}" for side in (both.left, both.top, both.width, both.height)) if both != WHOLE else ""
    return LaidPhotos(shots[laid.fresh], shots[laid.healed], quoted(laid_path(piece, laid)), part)
