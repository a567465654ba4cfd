"""The artist's words about care on a page to take home."""

import datetime as dt

import msgspec

from archgen.languages.language import language
from archgen.outputs.artifact import Artifact
from archgen.outputs.portfolio.paths import HOME, absolute
from archgen.papers import parse_paper
from archgen.publication.public_catalogue import PublicCatalogue
from archgen.render.html import load_theme
from archgen.render.markdown_tree import blocks_of
from archgen.render.typst_pdf import make_pdf, versions
from archgen.storage.files import digest_bytes
from archgen.wording.portfolio import CARE_CAUTIONS, claim_lines

PATH = "care.pdf"
# PDF/A wants a date; the page changes only with its words.
_UNDATED = dt.date(2000, 1, 1)


def care_sheet(title: str, rest: str, text_language: str, cleared: PublicCatalogue) -> Artifact:
    """Plan the page from the heading and the Markdown of the artist's text, which is in `text_language`.

    Visitors print it themselves, so it is on A4, or on Letter where the archive counts in inches.
    """
    settings, spoken = cleared.settings, language(cleared.language)
    data = {
        "title": title,
        "text": blocks_of(rest),
        "cautions": (*claim_lines(cleared.claims, spoken), *map(spoken.gettext, CARE_CAUTIONS)),
        "from": ", ".join(
            filter(None, (settings.artist, settings.town, absolute(settings.url, f"{cleared.folder}{HOME}")))
        ),
        "language": cleared.language.split("-")[0].lower(),
        "text_language": (text_language or cleared.language).split("-")[0].lower(),
        "paper": msgspec.to_builtins(parse_paper("Letter" if cleared.units == "in" else "A4")),
    }
    template = load_theme("sheet").files["care-sheet.typ"].read_text(encoding="utf-8")
    key = digest_bytes("care sheet", template, repr(data), *versions())
    return Artifact(f"{cleared.folder}{PATH}", make=lambda: make_pdf(template, data, {}, _UNDATED), key=key)
