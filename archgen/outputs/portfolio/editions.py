"""The portfolio in each of its languages: the same pieces, said in the artist's words of that language where they are.

What there are no words for is said in the main language, and named as such, so that a reading voice changes too. A
piece's title in another language is the heading of its story there.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from archgen.config import SettingsInLanguage
from archgen.languages.language import Language, language
from archgen.publication.public_catalogue import (
    PublicCatalogue,
    PublicPhoto,
    PublicPiece,
    alt_words,
    language_folder,
)
from archgen.values.frozen import Value
from archgen.wording.portfolio import heading_and_rest


class OwnText(Value, frozen=True):
    """One of the artist's own texts, in Markdown, and what it is written in where that is not the page's language."""

    text: str
    language: str = ""


def editions(cleared: PublicCatalogue) -> Iterator[PublicCatalogue]:
    """Give the portfolio in each of its languages, the main one first."""
    yield cleared
    for tag in cleared.other_languages:
        yield _edition(cleared, tag)


def _edition(cleared: PublicCatalogue, tag: str) -> PublicCatalogue:
    spoken, own = language(tag), _own_settings(cleared, tag)
    said = {name: text for name in ("title", "description", "town", "open_from") if (text := getattr(own, name))}
    month = language(cleared.language).find_month(cleared.settings.open_from)
    if month:
        said.setdefault("open_from", spoken.month(*month))
    return PublicCatalogue(
        replace(cleared.settings, **said),
        tag,
        spoken.unit(cleared.units),
        tuple(_piece(piece, spoken, cleared.language) for piece in cleared.pieces),
        language_folder(tag),
        cleared.claims,
        tuple(replace(one, drawn=_piece(one.drawn, spoken, cleared.language)) for one in cleared.designs),
        cleared.mark,
    )


def settings_language(edition: PublicCatalogue, name: str) -> str:
    """Give what a text of the settings is written in, where that is not the language of the edition."""
    main = edition.settings.languages[0] if edition.folder else ""
    is_own = getattr(_own_settings(edition, edition.language), name) is not None
    return "" if is_own else main


def _own_settings(cleared: PublicCatalogue, tag: str) -> SettingsInLanguage:
    own = (one for one in cleared.settings.in_languages if one.language.lower() == tag.lower())
    return next(own, SettingsInLanguage(tag))


def _piece(piece: PublicPiece, spoken: Language, main: str) -> PublicPiece:
    title, story = _title_and_story(piece, spoken.tag)
    title_language = "" if title else main
    return replace(
        piece,
        title=title or piece.title,
        title_language=title_language,
        story=story or piece.story,
        story_language="" if story else main,
        photos=tuple(_photo(photo, title or piece.title, title_language, spoken, main) for photo in piece.photos),
    )


def _title_and_story(piece: PublicPiece, tag: str) -> tuple[str, str]:
    own = next((one.story for one in piece.stories if one.language.lower() == tag.lower()), "")
    title, story = heading_and_rest(own, "")
    return title, story.strip()


def _photo(photo: PublicPhoto, title: str, title_language: str, spoken: Language, main: str) -> PublicPhoto:
    if photo.is_described:
        return replace(photo, alt_language=main)
    return replace(photo, alt=alt_words(title, photo.stage, spoken), alt_language=title_language)


def titles_of(piece: PublicPiece) -> Iterator[str]:
    """Give a piece's titles, in every language."""
    yield piece.title
    yield from filter(None, (_title_and_story(piece, one.language)[0] for one in piece.stories))


def texts_in(texts: Mapping[str, str], edition: PublicCatalogue) -> dict[str, OwnText]:
    """Give the artist's own texts by name as an edition shows them; those of other languages are named as about.de."""
    if not edition.folder:
        return {name: OwnText(text) for name, text in texts.items() if "." not in name}
    main, ending = edition.settings.languages[0], f".{edition.language.lower()}"
    found = {name: OwnText(text, main) for name, text in texts.items() if "." not in name}
    own = {name[: -len(ending)]: text for name, text in texts.items() if name.lower().endswith(ending)}
    return found | {name: OwnText(text) for name, text in own.items() if text.strip()}
