"""What an archive itself says in public, so that a private text which says the same is no certain find.

Fixed texts are those the portfolio always shows: titles, styles, places, credits, the settings. Running texts are
stories and pages, into which a private text may have slipped.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import Enum
from functools import cache
from itertools import pairwise

from archgen.catalogue import Catalogue
from archgen.leaks.values.ordinary_words import ORDINARY
from archgen.leaks.values.page_words import page_texts
from archgen.leaks.values.prices import plain_amount, prices_in
from archgen.plain_text import words_of
from archgen.privacy import Public, marked_texts
from archgen.publication.decision import Publication
from archgen.publication.public_catalogue import PublicPiece, make_public_catalogue
from archgen.records.vocabulary.licences import license_url
from archgen.records.vocabulary.placements import plain_placement_words


class Standing(Enum):
    """Where the words of a text stand in public."""

    FIXED = "in a title, a style, a credit or the settings"
    RUNNING = "in a story or a page"
    ORDINARY = "everywhere: one or two everyday words, or words of the themes"
    NOWHERE = "nowhere"


_RUNNING = ("story", "alt")
# Words in a row by which texts are filed: single ones are in too many, pairs of everyday ones too.
_ROW = 3


class PublicWords:
    """The public texts of an archive.

    Attributes:
        prices: The amounts that the site itself names, such as an hourly rate or the price of a design.
    """

    def __init__(self, catalogue: Catalogue, publications: Mapping[str, Publication] | None) -> None:
        if publications is None:
            texts = list(_may_be_public(catalogue))
        else:
            public = make_public_catalogue(catalogue, publications)
            texts = list(_shown((*public.pieces, *(design.drawn for design in public.designs))))
        self._fixed = _Texts((*(text for text, runs in texts if not runs), *_of_the_archive(catalogue)))
        running = [text for text in (*(text for text, runs in texts if runs), *catalogue.texts.values()) if text]
        self._running = _Texts(running)
        prices = (design.record.price for design in catalogue.designs if design.record and design.record.price)
        named = (amount for text in _of_the_site(catalogue) for amount in prices_in(text))
        self.prices = frozenset((*named, *map(plain_amount, prices)))
        self._standings: dict[str, Standing] = {}
        self._small = {word for text in running for part in text.split() if part[:1].islower() for word in _words(part)}

    def standing(self, text: str) -> Standing:
        """Say where the words of a text stand, one behind the other; many texts of an archive are the same."""
        if text not in self._standings:
            self._standings[text] = self._standing(text)
        return self._standings[text]

    def _standing(self, text: str) -> Standing:
        plain = words_of(text)
        if self._fixed.have(plain):
            return Standing.FIXED
        if self._running.have(plain):
            return Standing.RUNNING
        words = plain.split()
        is_ordinary = (len(words) <= 2 and all(word in ORDINARY for word in words)) or _of_themes().have(plain)
        return Standing.ORDINARY if is_ordinary else Standing.NOWHERE

    def has_word(self, word: str) -> bool:
        """Say whether a word is one the studio itself uses; in running text a capital may be a name."""
        return word in ORDINARY or word in self._fixed.words or word in self._small


def _words(text: str) -> list[str]:
    return words_of(text).split()


class _Texts:
    """Texts by their words, one, two and three in a row: a longer one is only searched where its rarest three are."""

    def __init__(self, texts: Iterable[str | None]) -> None:
        self._plain = [words_of(text) for text in dict.fromkeys(texts) if text]
        self.words: set[str] = set()
        self._pairs: set[tuple[str, str]] = set()
        self._triples: dict[tuple[str, ...], list[int]] = defaultdict(list)
        for number, plain in enumerate(self._plain):
            words = plain.split()
            self.words.update(words)
            self._pairs.update(pairwise(words))
            for triple in set(_triples(words)):
                self._triples[triple].append(number)

    def have(self, plain: str) -> bool:
        words = plain.split()
        if len(words) < _ROW:
            return tuple(words) in self._pairs if len(words) > 1 else bool(words) and words[0] in self.words
        if not all(triple in self._triples for triple in _triples(words)):
            return False
        rarest = min((self._triples[triple] for triple in _triples(words)), key=len)
        return any(plain in self._plain[number] for number in rarest)


def _triples(words: Sequence[str]) -> Iterator[tuple[str, ...]]:
    return zip(words, words[1:], words[2:], strict=False)


@cache
def _of_themes() -> _Texts:
    return _Texts(page_texts())


def _of_the_site(catalogue: Catalogue) -> Iterator[str]:
    """Give what the site says of itself; what is said of a piece is not among it."""
    yield from catalogue.texts.values()
    yield from (text.text for text in marked_texts(catalogue.config) if isinstance(text.mark, Public))


def _shown(pieces: Iterable[PublicPiece]) -> Iterator[tuple[str | None, bool]]:
    """Give the texts of pieces that are shown, and whether each is running text."""
    for piece in pieces:
        fixed = [
            piece.title,
            piece.slug,
            *piece.styles,
            *piece.subjects,
            plain_placement_words(piece.region, piece.side),
        ]
        for credit in piece.credits:
            fixed += [credit.creator, credit.source_url, credit.licence, credit.licence_url, credit.made_by_model]
        yield from ((text, False) for text in fixed)
        running = (piece.story, *(one.story for one in piece.stories), *(photo.alt for photo in piece.photos))
        yield from ((text, True) for text in running)


def _may_be_public(catalogue: Catalogue) -> Iterator[tuple[str | None, bool]]:
    """Give every text of a piece that may be public, and whether it is running text."""
    for piece in catalogue.to_show:
        for text in marked_texts(piece):
            if isinstance(text.mark, Public):
                yield text.text, text.name in _RUNNING


def _of_the_archive(catalogue: Catalogue) -> Iterator[str | None]:
    yield from (text.text for text in marked_texts(catalogue.config) if isinstance(text.mark, Public))
    for piece in catalogue.to_show:
        for reference in piece.record.reference if piece.record else ():
            yield license_url(reference.license or "")
