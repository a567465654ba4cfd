"""Turn the artist's Markdown into safe HTML: raw HTML and odd links stay text, pictures become their words.

CommonMark by markdown-it-py. The sheets use the same `parser`: a note reads alike on screen and on paper.
"""

import re
from collections.abc import MutableMapping, Sequence
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

from markupsafe import Markup

from archgen.plain_text import cut_at_word
from archgen.render.html import safe_html

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.renderer import RendererHTML
    from markdown_it.token import Token

_SCHEME = re.compile(r"\s*([^/?#]*?):")
_ALLOWED_SCHEMES = {"http", "https", "mailto"}
_LOWEST_HEADING = 6


@cache
def parser() -> "MarkdownIt":
    """Give the parser all texts go through; loaded for the first of them, for it takes a twentieth of a small build."""
    from markdown_it import MarkdownIt  # noqa: PLC0415  as above

    markdown = MarkdownIt("commonmark", {"html": False})
    markdown.validateLink = is_allowed_link  # type: ignore[assignment]  # the library's documented hook
    markdown.add_render_rule("image", _picture_words)
    return markdown


def to_html(text: str, first_heading: int = 3) -> Markup:
    """Render a text; its headings start at the level given and never skip one, whatever was written."""
    markdown = parser()
    environment: MutableMapping[str, object] = {}
    tokens = markdown.parse(text, environment)
    _settle_headings(tokens, first_heading)
    return safe_html(markdown.renderer.render(tokens, markdown.options, environment))


def beginning(text: str, most: int) -> str:
    """Give what the first paragraph says, as one line without marks, up to a word that ends within `most` signs."""
    tokens = parser().parse(text)
    first = next((after for token, after in pairwise(tokens) if token.type == "paragraph_open"), None)
    parts = first.children or () if first else ()
    said = " ".join("".join(" " if part.type.endswith("break") else part.content for part in parts).split())
    return cut_at_word(said, most)


def is_allowed_link(address: str) -> bool:
    """Say whether a link may be followed: http, https, mailto, or a path in the same place."""
    if address.lstrip().startswith(("//", "\\")):
        return False
    scheme = _SCHEME.match(address)
    return scheme is None or scheme[1].lower() in _ALLOWED_SCHEMES


def _picture_words(
    renderer: "RendererHTML", tokens: "Sequence[Token]", index: int, options: object, env: object
) -> str:
    from markdown_it.common.utils import escapeHtml  # noqa: PLC0415  loaded by the parser

    return escapeHtml(renderer.renderInlineAsText(tokens[index].children or [], options, env))  # type: ignore[arg-type]


def _settle_headings(tokens: "Sequence[Token]", first: int) -> None:
    above: list[int] = []
    for token in tokens:
        if token.type == "heading_open":
            level = int(token.tag[1:])
            while above and above[-1] >= level:
                above.pop()
            above.append(level)
        if token.type in {"heading_open", "heading_close"}:
            token.tag = f"h{min(first + len(above) - 1, _LOWEST_HEADING)}"
