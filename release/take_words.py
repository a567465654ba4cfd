"""Bring the catalogues of translated words up to date with what the program says.

    .venv/bin/pip install '.[test]' && .venv/bin/python release/take_words.py

New words come into archgen/languages/words/*.po without a translation, words that are no longer said leave; then
`pytest tests/reference/test_words_of_languages.py` says what is missing. For a new language make an empty file of its
name there first, and take its facts by `release/take_cldr.py`.
"""

import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_file
from babel.messages.pofile import read_po, write_po
from jinja2.ext import babel_extract

from archgen.outputs.portfolio.views import DESIGNS, NO_SUCH_PAGE, NOT_HERE, TEXT_PAGES
from archgen.publication.public_catalogue import STAGES
from archgen.records.model import Side
from archgen.records.vocabulary.licences import PLAIN_WORDS, RIGHTS_STATEMENTS
from archgen.records.vocabulary.placements import PLACES
from archgen.wording.portfolio import CARE_CAUTIONS, DESIGN_STATES, LETTERS, STYLES

ROOT = Path(__file__).resolve().parent.parent
WORDS = ROOT / "archgen/languages/words"
# What publishes, and so speaks the visitor's language.
THEMES = ("portfolio", "plate", "wall", "drawer", "pack")
SPEAKING = ("languages/*.py", "outputs/portfolio/*.py", "publication/*.py", "wording/portfolio.py")
# What the header of a catalogue may say and this one has no use for: the day, the tool, an address.
_UNSAID = re.compile(
    rb'"(?:Project-Id|Report-Msgid|POT-Creation|PO-Revision|Last-Trans|Language-Team|Generated)[^\n]*\n'
)
KEYWORDS = {
    "gettext": None,
    "say": None,
    "_": None,
    "_turn": None,
    "counted": (1, 2),
    "pgettext": ((1, "c"), 2),
}


def messages() -> Catalog:
    """Give everything the public pages say by themselves, each with where it stands."""
    found = Catalog(project="archgen", charset="utf-8")
    for path in (path for place in SPEAKING for path in sorted((ROOT / "archgen").glob(place))):
        for line, message, _, context in extract_from_file("python", path, KEYWORDS):
            _add(found, message, path, line, context)
    for theme in THEMES:
        for path in sorted((ROOT / "themes" / theme).glob("*.html")):
            with path.open("rb") as file:
                for line, _, message, _ in babel_extract(file, ("_",), [], {}):
                    _add(found, message[0] if isinstance(message, tuple) else message, path, line)
    for context, message in _listed():
        found.add(message, context=context)
    return found


def _add(found: Catalog, message: str | tuple[str, ...], path: Path, line: int, context: str | None = None) -> None:
    if message:  # else it is looked up by a name
        found.add(message, locations=[(path.relative_to(ROOT).as_posix(), line)], context=context)


def _listed() -> Iterator[tuple[str | None, str]]:
    """Give what the program looks up by a name instead of saying it."""
    yield from (
        (None, words) for words in (*TEXT_PAGES.values(), *CARE_CAUTIONS, *LETTERS, DESIGNS, NOT_HERE, NO_SUCH_PAGE)
    )
    yield from (("design", words) for words in DESIGN_STATES.values())
    yield from (("photo", words) for words in STAGES.values())
    yield from (("side", side.value) for side in (Side.LEFT, Side.RIGHT))
    yield from (("style", style) for style in STYLES)
    yield from (("licence", words) for words in (*PLAIN_WORDS.values(), *RIGHTS_STATEMENTS.values()))
    yield from (("place", place.words) for place in PLACES.values())


def catalogue(path: Path) -> Catalog:
    """Read a catalogue as it stands."""
    with path.open("rb") as file:
        return read_po(file, locale=path.stem, abort_invalid=True)


def main() -> None:
    """Write the catalogues anew."""
    for path in sorted(WORDS.glob("*.po")):
        words = catalogue(path)
        words.update(messages(), no_fuzzy_matching=True, update_creation_date=False)
        written = BytesIO()
        write_po(written, words, width=120, ignore_obsolete=True, include_lineno=False)
        path.write_bytes(_UNSAID.sub(b"", written.getvalue()))


if __name__ == "__main__":
    main()
