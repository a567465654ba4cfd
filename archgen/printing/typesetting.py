"""Set words at places given in mm and give them as PDF pages; knows type, not stencils."""

import datetime as dt
import functools
import json
from collections.abc import Sequence
from dataclasses import asdict, replace
from pathlib import Path

import typst

from archgen.errors import OutputError
from archgen.languages.house import say
from archgen.render import typst_pdf
from archgen.values.frozen import Value

LAST_LATIN = "\u017f"
_TEMPLATE = Path(__file__).with_name("typesetting.typ")


class SetWord(Value, frozen=True):
    """A line of words: baseline at x, y mm; `align` says which of its ends lies on x.

    With a width (mm), a longer line is set smaller and at last cut with an ellipsis. `mirrored` reads right only in
    a mirror, `turned` reads upwards, `mono` is for what is typed. `role` is what it is to those who listen: a
    paragraph, a heading, or an artifact, which isn't read out.
    """

    words: str
    x: float
    y: float
    size: float = 8.0
    align: str = "left"
    style: str = "normal"
    tracking: float = 0.0
    width: float = 0.0
    mirrored: bool = False
    turned: bool = False
    mono: bool = False
    role: str = "paragraph"


def set_words(pages: Sequence[Sequence[SetWord]], width_mm: float, height_mm: float, title: str, day: dt.date) -> bytes:
    """Set the words of each page and give the PDF, dated `day`, so that equal input gives equal bytes."""
    fonts, faces = _fonts(pages)
    job = {
        "title": title,
        "faces": faces,
        "width": width_mm,
        "height": height_mm,
        "pages": [[asdict(_printable(word)) for word in words if word.words] for words in pages],
    }
    try:
        compiler = typst.Compiler(_TEMPLATE.read_bytes(), font_paths=fonts)
        made = compiler.compile(
            format="pdf",
            sys_inputs={"job": json.dumps(job)},
            timestamp=int(dt.datetime.combine(day, dt.time(), dt.UTC).timestamp()),
            pdf_standards="ua-1",
        )
    except typst.TypstError as error:
        raise OutputError(say("The words of the page could not be set: {error}", error=error)) from error
    if not isinstance(made, bytes):
        raise OutputError(say("The words of the page could not be set: nothing came back from the typesetter."))
    return made


def _fonts(pages: Sequence[Sequence[SetWord]]) -> tuple[typst.Fonts, list[str]]:
    """Give the fonts that typst brings and the order of faces; other scripts only where needed: they take a while."""
    if all(character <= LAST_LATIN for words in pages for word in words for character in word.words):
        return _faces_of_typst(), [typst_pdf.WORDS_FACE]
    return typst_pdf.fonts()[:2]


@functools.cache
def _faces_of_typst() -> typst.Fonts:
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True)


def _printable(word: SetWord) -> SetWord:
    return replace(word, words=typst_pdf.printable(word.words, set()).replace("\n", " "))
