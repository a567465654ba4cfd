"""Turn a typst template, plain data and pictures into one PDF/A-2a and PDF/UA-1 file; knows sheets, not pieces.

Thread-safe: the fonts are read once and never change, everything else lives as long as one call. A compiler keeps every
picture it has seen, so each call makes its own (120 sheets with one compiler grew by 0.9 MB a sheet, with one each they
stayed level, at the same speed). Typst lets the interpreter lock go while it works.
"""

import datetime as dt
import functools
import io
import json
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from importlib import metadata, resources
from pathlib import Path
from typing import Any

import pikepdf
import typst

from archgen.errors import OutputError
from archgen.languages.house import say
from archgen.render.pdf_pictures import PackedPicture, packed, put_in, stand_in
from archgen.storage.files import digest_bytes
from archgen.storage.scratch import scratch_folder

Json = Any  # what json.dumps takes

WORDS_FACE = "Libertinus Serif"  # typst brings these three, so every machine prints the same
CODES_FACE = "DejaVu Sans Mono"
SIGNS_FACE = "New Computer Modern Math"
# Noto faces for other scripts come from a package, since systems differ in theirs; the one for Chinese, Japanese and
# Korean is our own cut, a fifth as heavy (release/cut_face.py).
FONT_PACKAGE = "manimgx_fonts"
CJK_FACE = "Archgen CJK"
OWN_FACES = Path(__file__).with_name("faces")
SUBSTITUTE = "□"
LONGEST_TEXT = 8000
_LAST_LATIN = 0x17F  # the first three Latin blocks: both faces have them all
_PROBE = b"#set text(font: json(bytes(sys.inputs.faces)), fallback: false)\n#sys.inputs.text"


@functools.cache
def versions() -> tuple[str, ...]:
    """Name everything outside the template and the data that shapes the bytes."""
    packages = ("typst", "pikepdf", FONT_PACKAGE.replace("_", "-"))
    faces = (digest_bytes(path.read_bytes()) for path in sorted(OWN_FACES.glob("*.otf")))
    return (*(f"{name} {metadata.version(name)}" for name in packages), *faces)


def make_pdf(template: str, data: Mapping[str, Json], pictures: Mapping[str, bytes], created: dt.date) -> bytes:
    """Fill the template and give the file's bytes, the same for the same values.

    The template finds the data in ``sys.inputs.data``, the faces in ``faces`` and ``codes``, and the pictures (JPEG,
    PNG or SVG) under their names in the root folder. PNGs print in gray; of those it must give the size. In every text
    control characters go, and characters that no face has become a hollow square; these are listed in
    ``data.unprintable``.

    Raises:
        OutputError: The template cannot be filled with this data.
    """
    missing: set[str] = set()
    texts = _map_texts(dict(data), lambda text: printable(as_long_as_a_pdf_allows(text), missing))
    try:
        return _compile(template, {**texts, "unprintable": _names(missing)}, pictures, created)
    except typst.TypstError:
        # A mark and its letter can lie in two faces: then only the Latin letters are sure to be there.
        plain = _map_texts(texts, lambda text: _latin_only(text, missing))
    try:
        return _compile(template, {**plain, "unprintable": _names(missing)}, pictures, created)
    except typst.TypstError as error:
        raise OutputError(say("A sheet could not be set: {error}", error=error)) from error


def _compile(template: str, data: Mapping[str, Json], pictures: Mapping[str, bytes], created: dt.date) -> bytes:
    loaded, faces, codes = fonts()
    moment = dt.datetime.combine(created, dt.time(12), dt.UTC)
    drawings = {name: drawing for name, content in pictures.items() if (drawing := packed(content))}
    stand_ins = {name: stand_in(number) for number, name in enumerate(drawings)}
    with scratch_folder() as folder:
        for name, content in {**pictures, **stand_ins}.items():
            (Path(folder) / name).write_bytes(content)
        inputs = {"data": json.dumps(data), "faces": json.dumps(faces), "codes": json.dumps(codes)}
        compiler = typst.Compiler(template.encode(), root=folder, font_paths=loaded, sys_inputs=inputs)
        pdf = compiler.compile(format="pdf", pdf_standards=["a-2a", "ua-1"], timestamp=moment)
    if not isinstance(pdf, bytes):
        raise OutputError(say("A sheet could not be set: nothing came back from the typesetter."))
    return _finished(pdf, list(drawings.values()))


def _finished(pdf: bytes, drawings: Sequence[PackedPicture]) -> bytes:
    """Put in the drawings, and ask print dialogues for true size (ISO 32000-1, table 150); typst cannot say it."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        put_in(document, drawings)
        # No is what it means when it is left out (ISO 32000-1, table 321); poppler 22 calls a written no a wrong type.
        del document.Root.MarkInfo.Suspects
        preferences = document.Root.get("/ViewerPreferences", pikepdf.Dictionary())
        preferences["/PrintScaling"] = pikepdf.Name("/None")
        document.Root["/ViewerPreferences"] = preferences
        result = io.BytesIO()
        document.save(result, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.preserve)
    return result.getvalue()


@functools.cache
def fonts() -> tuple[typst.Fonts, list[str], list[str]]:
    """Give the fonts and the two orders of faces: for words, for codes."""
    folders = [str(resources.files(FONT_PACKAGE)), str(OWN_FACES)]
    loaded = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=folders)
    others = sorted(name for name in loaded.families() if name.startswith("Noto") or name == CJK_FACE)
    others.sort(key=lambda name: (name != "Noto Sans", name != CJK_FACE, "Emoji" in name))
    return loaded, [WORDS_FACE, *others, CODES_FACE, SIGNS_FACE], [CODES_FACE, *others, SIGNS_FACE]


# ---------------------------------------------------------------- text that can be printed


def _map_texts(value: Json, change: Callable[[str], str]) -> Json:
    if isinstance(value, str):
        return change(value)
    if isinstance(value, Mapping):
        return {key: _map_texts(inner, change) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_map_texts(inner, change) for inner in value]
    return value


def as_long_as_a_pdf_allows(text: str) -> str:
    """Cut a text that no string of a PDF/A can hold (ISO 19005-2, 6.1.13: 32,767 bytes, here four for a character)."""
    return text if len(text) <= LONGEST_TEXT else f"{text[: LONGEST_TEXT - 1]}…"


def printable(text: str, missing: set[str]) -> str:
    """Drop control characters and put a square for what no face has, adding it to `missing`."""
    if text.isascii() and text.isprintable():
        return text
    clean = "".join(_clean(character) for character in text)
    lacking = {character for character in set(clean) if ord(character) > _LAST_LATIN and not has_glyph(character)}
    missing |= lacking
    return "".join(SUBSTITUTE if character in lacking else character for character in clean)


def _clean(character: str) -> str:
    """Keep line ends, make other white space a space, drop control characters and those that turn text round."""
    if character == "\n" or not character.isspace():
        turns_text = "\u202a" <= character <= "\u202e" or "\u2066" <= character <= "\u2069"
        is_control = unicodedata.category(character) == "Cc" and character != "\n"
        return "" if turns_text or is_control else character
    return " "


def _latin_only(text: str, missing: set[str]) -> str:
    lacking = {character for character in text if ord(character) > _LAST_LATIN and character != SUBSTITUTE}
    missing |= lacking
    return "".join(SUBSTITUTE if character in lacking else character for character in text)


@functools.lru_cache(maxsize=4096)
def has_glyph(character: str) -> bool:
    """Say whether some face can print the character under PDF/A, by printing it."""
    if unicodedata.category(character) in ("Cn", "Co", "Cs"):  # nobody's, somebody's own, half of one
        return False
    loaded, faces, _ = fonts()
    inputs = {"text": character, "faces": json.dumps(faces)}
    try:
        typst.Compiler(_PROBE, font_paths=loaded, sys_inputs=inputs).compile(
            format="pdf", pdf_standards="a-2b", timestamp=0
        )
    except typst.TypstError:
        return False
    return True


def _names(characters: set[str]) -> list[str]:
    return [f"U+{ord(character):04X}" for character in sorted(characters)]
