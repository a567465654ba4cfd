"""Which of the artist's own words are still to be written in another language of the portfolio."""

from collections.abc import Iterator

from archgen.catalogue import Catalogue
from archgen.config import FILE
from archgen.languages.language import language
from archgen.outputs.portfolio.pages.maker import TEXT_PAGES
from archgen.records.model import Piece
from archgen.values.frozen import Value
from archgen.wording.portfolio import heading_and_rest


class Unwritten(Value, frozen=True):
    """A file in which words are missing, relative to the archive folder, and which."""

    file: str
    words: tuple[str, ...]


def unwritten(catalogue: Catalogue, tag: str) -> tuple[Unwritten, ...]:
    """Give what is said in the main language only, of all that wants to be in the portfolio."""
    return tuple(missing for missing in _looked_through(catalogue, tag) if missing.words)


def _looked_through(catalogue: Catalogue, tag: str) -> Iterator[Unwritten]:
    settings, texts = catalogue.config.portfolio, {name.lower() for name in catalogue.texts}
    own = next((one for one in settings.in_languages if one.language.lower() == tag.lower()), None)
    is_month = language(catalogue.config.main_language).find_month(settings.open_from)
    wanted = {"description": settings.description, "open_from": None if is_month else settings.open_from}
    yield Unwritten(
        f"{FILE}, [portfolio.{tag}]",
        tuple(name for name, text in wanted.items() if text and not getattr(own, name, None)),
    )
    for name in TEXT_PAGES:
        is_there = name not in texts or f"{name}.{tag.lower()}" in texts
        yield Unwritten(f"{name}.{tag}.md", () if is_there else ("the page",))
    for piece in catalogue.to_show:
        if piece.record and piece.record.publish:
            yield Unwritten(f"{piece.folder}/story.{tag}.md", tuple(_missing_of(piece, tag)))


def _missing_of(piece: Piece, tag: str) -> Iterator[str]:
    own = next((one.story for one in piece.stories if one.language.lower() == tag.lower()), "")
    title, story = heading_and_rest(own, "")
    if not title:
        yield "title"
    if piece.story and not story.strip():
        yield "story"
