"""The site's signs and its manifest: from the mark the artist names, else the first letter of the site's name.

Sources: WHATWG HTML, link types icon and manifest; W3C, Web Application Manifest; apple-touch-icon at the address where
it is looked for without a link (from memory).
"""

import base64
import html
import json
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

import PIL

from archgen.languages.language import language
from archgen.outputs.artifact import Artifact
from archgen.outputs.portfolio.paths import HOME, MANIFEST
from archgen.publication.public_catalogue import PublicCatalogue
from archgen.render.html import Theme
from archgen.render.square_signs import letter_square, picture_square
from archgen.render.typst_pdf import versions
from archgen.storage.files import digest_bytes

# The largest is what all others can be made of again.
LARGEST = "icon-512.png"
_SIZES = {"apple-touch-icon.png": 180, "icon-192.png": 192, LARGEST: 512}
_CUT = "icon-cut-512.png"
_TAB, _TAB_PX = "icon.svg", 64
_NAMELESS = "A"
_LETTER_SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><path fill="#1b1920" d="M0 0h32v32H0z"/><text x="16" '
    'y="24" fill="#fbfbf9" font-family="Palatino,Georgia,serif" font-size="23" text-anchor="middle">{}</text></svg>'
)
_MARK_SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {0} {0}"><image width="{0}" height="{0}" '
    'href="data:image/png;base64,{1}"/></svg>'
)


def initial(cleared: PublicCatalogue) -> str:
    """Give the letter that stands for the site."""
    name = cleared.settings.artist or cleared.settings.title
    return next((letter.upper()[:1] for letter in name if letter.isalnum()), _NAMELESS)


def with_sign(theme: Theme, cleared: PublicCatalogue, mark: Path | None) -> Theme:
    """Give the looks with the site's own sign for the tab, unless they bring one themselves."""
    if _TAB not in theme.files or not theme.is_of_program(_TAB):
        return theme
    if mark is None:
        sign = _LETTER_SVG.format(html.escape(initial(cleared)))
    else:
        sign = _MARK_SVG.format(_TAB_PX, base64.b64encode(picture_square(mark, _TAB_PX)).decode())
    return replace(theme, made={**theme.made, _TAB: sign.encode()})


def icon_files(cleared: PublicCatalogue, mark: Path | None) -> Iterator[Artifact]:
    """Plan the signs for home screens, and the manifest of each language that names them."""
    if mark is None:
        letter = initial(cleared)
        made, key = partial(letter_square, letter), digest_bytes("letter sign", letter, *versions())
    else:
        made, key = partial(picture_square, mark), digest_bytes("mark sign", (cleared.mark and cleared.mark.blob) or "")
    for path, side in _SIZES.items():
        yield Artifact(path, make=partial(made, side), key=digest_bytes(key, PIL.__version__, path))
    cut = partial(made, _SIZES[LARGEST], is_cut=True)
    yield Artifact(_CUT, make=cut, key=digest_bytes(key, PIL.__version__, _CUT))


def manifest(edition: PublicCatalogue) -> Artifact:
    """Plan the manifest of the site in one language."""
    back = "../" * edition.folder.count("/")
    icons = [{"src": f"{back}{path}", "sizes": f"{side}x{side}", "type": "image/png"} for path, side in _SIZES.items()]
    icons.append({"src": f"{back}{_CUT}", "sizes": "512x512", "type": "image/png", "purpose": "maskable"})
    settings, spoken = edition.settings, language(edition.language)
    said = {
        "name": settings.title,
        "short_name": settings.artist or settings.title,
        "description": settings.description,
        "lang": edition.language,
        "dir": "rtl" if spoken.is_rtl else "ltr",
        "start_url": HOME,
        "display": "minimal-ui",
        "icons": icons,
    }
    text = json.dumps({key: value for key, value in said.items() if value}, ensure_ascii=False, indent=1)
    return Artifact(f"{edition.folder}{MANIFEST}", make=f"{text}\n".encode)
