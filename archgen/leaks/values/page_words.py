"""The words that stand on the pages of every portfolio by themselves: what the themes say, in every language.

A private text that says the same is no certain find where it is met.
"""

from functools import cache

from archgen.languages.language import spoken
from archgen.languages.po_file import public_words
from archgen.render.html import PROGRAM_THEMES

# What all looks of the portfolio share; each look has a theme.toml.
_SHARED = "portfolio"
_TEXTS = (".css", ".html", ".js", ".svg", ".toml", ".xml")


@cache
def page_texts() -> tuple[str, ...]:
    """Give the texts of the themes that publish."""
    folders = {path.parent for path in PROGRAM_THEMES.glob("*/theme.toml")} | {PROGRAM_THEMES / _SHARED}
    paths = (path for folder in sorted(folders) for path in sorted(folder.rglob("*")))
    texts = [path.read_text(encoding="utf-8") for path in paths if path.suffix in _TEXTS]
    catalogues = (path.read_text(encoding="utf-8") for path in spoken().values())
    return (*texts, *("\n".join(public_words(text)) for text in catalogues))
