"""Set words at places given in mm and give them as PDF pages; knows type, not stencils."""

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

import typst

from archgen.errors import OutputError

_TEMPLATE = Path(__file__).with_name("words.typ")


@dataclass(frozen=True, slots=True)
class Word:
    """A line of words: baseline at x, y mm; `align` says which of its ends lies on x.

    With a width (mm), a longer line is set smaller and at last cut with an ellipsis. `mirrored` reads right only in
    a mirror, `turned` reads upwards, `mono` is for what is typed.
    """

    words: str
    x: float
    y: float
    size: float = 8.0
    align: str = "left"
    style: str = "normal"
    weight: str = "regular"
    tracking: float = 0.0
    width: float = 0.0
    mirrored: bool = False
    turned: bool = False
    mono: bool = False


def set_words(pages: Sequence[Sequence[Word]], width_mm: float, height_mm: float, title: str, day: dt.date) -> bytes:
    """Set the words of each page and give the PDF, dated `day`, so that equal input gives equal bytes."""
    job = {
        "title": title,
        "width": width_mm,
        "height": height_mm,
        "pages": [[asdict(_clean(word)) for word in words] for words in pages],
    }
    try:
        # Bundled fonts only: every machine makes the same bytes.
        compiler = typst.Compiler(_TEMPLATE.read_bytes(), ignore_system_fonts=True)
        made = compiler.compile(
            format="pdf",
            sys_inputs={"job": json.dumps(job)},
            timestamp=int(dt.datetime.combine(day, dt.time(), dt.UTC).timestamp()),
            pdf_tags=False,
        )
    except typst.TypstError as error:
        raise OutputError(f"The words of the page could not be set: {error}") from error
    if not isinstance(made, bytes):
        raise OutputError("The words of the page could not be set: nothing came back from the typesetter.")
    return made


def _clean(word: Word) -> Word:
    """Drop control characters, which no font can show."""
    shown = "".join(sign if sign.isprintable() else " " for sign in word.words)
    return word if shown == word.words else Word(**{**asdict(word), "words": shown})
