"""The words that stand on the pages of every portfolio by themselves: what the themes of the program say.

A private text that says the same is no certain find where it is met.
"""

from functools import cache

from archgen.render.html import PROGRAM_THEMES

_PUBLIC_THEMES = ("plate", "portfolio", "wall")
_TEXTS = (".css", ".html", ".js", ".svg", ".toml", ".xml")


@cache
def page_texts() -> tuple[str, ...]:
    """Give the texts of the themes that publish."""
    paths = (path for name in _PUBLIC_THEMES for path in sorted((PROGRAM_THEMES / name).rglob("*")))
    return tuple(path.read_text(encoding="utf-8") for path in paths if path.suffix in _TEXTS)
