"""Bring the catalogues of translated words up to date with what the program says.

    .venv/bin/pip install '.[test]' && .venv/bin/python release/take_words.py

New words come into archgen/languages/words/*.po without a translation, words that are no longer said leave; then
`pytest tests/reference/test_words_of_languages.py` says what is missing. Every catalogue has the words of the public
pages and of the sheets; those of the archive and the terminal are in German, in the others where somebody translated
them. For a new language make an empty file of its name there first, and take its facts by `release/take_cldr.py`.
"""

import ast
import re
from collections.abc import Iterator
from contextlib import suppress
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po, write_po
from jinja2.ext import babel_extract

from archgen import config
from archgen.cli import COMMANDS, archgen
from archgen.cli import command as command_named
from archgen.commands.speaking.click_words import COUNTED
from archgen.commands.speaking.help_words import help_messages
from archgen.languages.po_file import PUBLIC
from archgen.limbs.profile import From
from archgen.limbs.spots import FACING_WORDS, JOINTS, PARTS
from archgen.outputs.portfolio.pages.maker import DESIGNS, TEXT_PAGES
from archgen.outputs.portfolio.pages.texts import NO_SUCH_PAGE, NOT_HERE
from archgen.privacy import privacy_marks
from archgen.publication.gate import RightKind
from archgen.publication.gate_questions import CREDIT, MODEL_TERMS, MODEL_USED, PEOPLE, SCREEN_CAPTURE
from archgen.publication.gate_table import LEFT_OUT, NAME_IT, NOTHING_ALLOWED, TABLE
from archgen.publication.public_catalogue import STAGES
from archgen.records import model
from archgen.records.designs import model as designs_model
from archgen.records.model import Side
from archgen.records.vocabulary.licences import PLAIN_WORDS, RIGHTS_STATEMENTS
from archgen.records.vocabulary.limb import Limb
from archgen.records.vocabulary.needle_forms.words import Grouping, Taper
from archgen.records.vocabulary.placements import PLACES
from archgen.render.script_words import said_in_script
from archgen.render.sheet_templates import said_in
from archgen.toml.kinds import plain_field
from archgen.tracing.book import BatchKind
from archgen.wording.embedded import PLUS_WORDS
from archgen.wording.pieces import RELEASE_WORDS, STAGES_WITHIN
from archgen.wording.planning.orders import NINTHS
from archgen.wording.portfolio import CARE_CAUTIONS, DESIGN_STATES, LETTERS, STYLES

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "archgen"
WORDS = PACKAGE / "languages/words"
# What publishes, and so speaks the visitor's language.
THEMES = ("portfolio", "plate", "wall", "drawer", "pack")
SPEAKING = (
    "languages/language.py",
    "outputs/portfolio/beside/*.py",
    "outputs/portfolio/pages/*.py",
    "publication/public_catalogue.py",
    "wording/portfolio.py",
)
# What is printed on paper, and so speaks the language of the house in all that the program knows.
SHEETS = (
    "outputs/sheets/*.py",
    "outputs/reprints/*.py",
    "outputs/archive/body.py",
    "outputs/limb_drawing.py",
    "printing/*.py",
    "wording/batches.py",
    "wording/followup.py",
    "wording/pieces.py",
    "quoting/earlier_notes.py",
    "wording/planning/notes.py",
    "wording/planning/orders.py",
    "wording/planning/sleeves.py",
    "wording/stencils/readings.py",
)
SHEET = "sheet"
# These have every word; the others those of public pages and sheets.
COMPLETE = ("de",)
# What the header of a catalogue may say and this one has no use for: the day, the tool, an address.
_UNSAID = re.compile(
    rb'"(?:Project-Id|Report-Msgid|POT-Creation|PO-Revision|Last-Trans|Language-Team|Generated)[^\n]*\n'
)
# What says a message, one of two about a number, and one in a context.
_ALONE = frozenset({"gettext", "say", "to_say", "_", "_turn"})
_COUNTED = frozenset({"say_count", "_n", "counted"})
_IN_CONTEXT = frozenset({"say_in", "_in", "pgettext"})
Text = str | tuple[str, ...]


def messages() -> Catalog:
    """Give everything the program says by itself; a comment tells words of public pages and of sheets."""
    found = Catalog(project="archgen", charset="utf-8")
    kinds = _kinds()
    for path in sorted(PACKAGE.rglob("*.py")):
        kind = kinds.get(path)
        raised = _raised_lines(path) if kind == SHEET else ()
        for line, message, context in _said(ast.parse(path.read_text(encoding="utf-8"))):
            _add(found, message, None if line in raised else kind, context)
    for kind, listed in ((PUBLIC, _listed()), (SHEET, _listed_for_sheets()), (None, _listed_for_the_house())):
        for context, message in listed:
            _add(found, message, kind, context)
    for kind, context, message in _of_themes():
        _add(found, message, kind, context)
    return found


def _of_themes() -> Iterator[tuple[str | None, str | None, Text | None]]:
    """Give what templates of pages and sheets and the archive's scripts say."""
    for path in sorted((ROOT / "themes").glob("*/*.html")):
        with path.open("rb") as file:
            for _, function, message, _ in babel_extract(file, ("_", "_n", "_in"), [], {}):
                words, context = _words_alone(function, message)
                yield PUBLIC if path.parent.name in THEMES else None, context, words
    for path in sorted((ROOT / "themes/sheet").glob("*.typ")):
        yield from ((SHEET, None, message) for message in said_in(path.read_text(encoding="utf-8")))
    for path in sorted((ROOT / "themes/archive").glob("*.js")):
        for said in said_in_script(path.read_text(encoding="utf-8")):
            yield None, None, said if len(said) > 1 else said[0]


def _said(module: ast.Module) -> Iterator[tuple[int, Text, str | None]]:
    """Give what a module says, in which line and context; the library's own reader does not look into f-strings."""
    for call in ast.walk(module):
        if not isinstance(call, ast.Call):
            continue
        name = call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")
        texts = [one.value for one in call.args if isinstance(one, ast.Constant) and isinstance(one.value, str)]
        if name in _ALONE and texts:
            yield call.lineno, texts[0], None
        elif name in _COUNTED and len(texts) > 1:
            yield call.lineno, (texts[0], texts[1]), None
        elif name in _IN_CONTEXT and len(texts) > 1:
            yield call.lineno, texts[1], texts[0]


def _kinds() -> dict[Path, str]:
    """Say which modules' words are read by more than the artist."""
    kinds = {SHEET: SHEETS, PUBLIC: SPEAKING}
    return {path: kind for kind, places in kinds.items() for place in places for path in PACKAGE.glob(place)}


def _raised_lines(path: Path) -> set[int]:
    """Give the lines of what stops a command: that is said at the terminal."""
    raised = (node for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Raise))
    return {line for node in raised for line in range(node.lineno, (node.end_lineno or node.lineno) + 1)}


def _words_alone(function: str | None, message: Text | None) -> tuple[Text | None, str | None]:
    """Leave out the values that a message of a template is filled with; give its context apart."""
    if not isinstance(message, tuple):
        return message, None
    if function == "_in":
        return message[1], message[0]
    return (message[:2] if function == "_n" else message[0]), None


def _add(found: Catalog, message: Text | None, kind: str | None, context: str | None = None) -> None:
    if message:  # else it is looked up by a name
        found.add(message, auto_comments=[kind] if kind else [], context=context)


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


def _listed_for_the_house() -> Iterator[tuple[str | None, Text]]:
    """Give what findings, pages and the desk look up by a name."""
    for line in (*TABLE.values(), *PEOPLE.values(), CREDIT, SCREEN_CAPTURE, MODEL_USED, MODEL_TERMS):
        yield from ((None, cell.words) for cell in (line.use, line.show_reference, line.show_piece))
        yield None, line.changed_by
    yield from ((None, cell.words) for cell in (LEFT_OUT, NOTHING_ALLOWED))
    yield None, NAME_IT
    yield from (("right", kind.value) for kind in RightKind)
    yield from (("rights", words) for words in PLUS_WORDS.values())
    yield from ((None, both) for both in COUNTED)
    for command in (archgen, *map(command_named, COMMANDS)):
        yield from ((None, message) for message in help_messages(command))
    for marked in _marked_models():
        for name, mark in privacy_marks(marked).items():
            yield "field", plain_field(name.rstrip("_"))
            yield "private", mark.what
    yield from (("private", kind) for kind in ("photo", "stencil", "reference", "picture of a design"))
    yield from (("weekday", day) for day in ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"))


def _marked_models() -> Iterator[type]:
    """Give every class of which privacy marks say what its fields are."""
    for module in (model, designs_model, config):
        for one in vars(module).values():
            if isinstance(one, type) and getattr(one, "__module__", "") == module.__name__:
                with suppress(TypeError):
                    if privacy_marks(one):
                        yield one


def _listed_for_sheets() -> Iterator[tuple[str | None, str]]:
    """Give what sheets look up by a name: values of records, parts of a limb."""
    yield from (("batch", kind.value) for kind in BatchKind)
    yield from (("stage", words) for words in STAGES_WITHIN.values())
    yield from (("release", words) for words in RELEASE_WORDS.values())
    yield from (("side", side.value) for side in Side)
    yield from (("ninth", words) for words in NINTHS.values())
    yield from (("limb", word) for parts in FACING_WORDS.values() for words in parts for word in words)
    yield from (("limb", joint) for joints in JOINTS.values() for joint in joints)
    yield from ((None, part) for parts in PARTS.values() for part in parts)
    yield from ((None, source.value) for source in From)
    yield from (("needle", one.value) for one in (*Grouping, *Taper))
    yield from ((None, Limb(1, measured=measured).source) for measured in (True, False))


def catalogue(path: Path) -> Catalog:
    """Read a catalogue as it stands."""
    with path.open("rb") as file:
        return _plainly(read_po(file, locale=path.stem, abort_invalid=True))


def _plainly(words: Catalog) -> Catalog:
    """Take back what Babel thinks of a per cent sign: that a value follows."""
    for one in words:
        if "%(" not in str(one.id):
            one.flags.discard("python-format")
    return words


def wanted(said: Catalog, tag: str) -> Iterator[Message]:
    """Give what the catalogue of a language must have."""
    return (one for one in said if one.id and (tag in COMPLETE or one.auto_comments))


def main() -> None:
    """Write the catalogues anew."""
    said = messages()
    for path in sorted(WORDS.glob("*.po")):
        words, due = catalogue(path), Catalog(charset="utf-8")
        also = (one for one in said if one.id and any(_forms(words.get(one.id, one.context))))
        for one in (*wanted(said, path.stem), *also):
            due.add(one.id, auto_comments=one.auto_comments, context=one.context)
        words.update(due, no_fuzzy_matching=True, update_creation_date=False)
        written = BytesIO()
        # Without where a word is said and without folds, so that who changes one word changes one line.
        write_po(written, _plainly(words), width=0, ignore_obsolete=True, no_location=True, sort_output=True)
        path.write_bytes(_UNSAID.sub(b"", written.getvalue()))


def _forms(message: Message | None) -> tuple[str, ...]:
    if message is None:
        return ()
    return message.string if isinstance(message.string, tuple) else (message.string,)


if __name__ == "__main__":
    main()
