"""Read Markdown into a small tree of plain values for printing; nothing in it is ever markup again.

A block is a dictionary with `kind`: "paragraph", "heading", "quote", "list", "code" or "line". Paragraphs and headings
have `spans` and `rtl` (Hebrew or Arabic comes first), quotes `blocks`, lists `ordered`, `start` and `items` (a list of
blocks each), code a `text`. A span is a dictionary with `text` and those of `strong`, `emphasis`, `code` that hold.
Raw HTML is text. Pictures give their description, links their words and the address behind.
"""

import unicodedata
from typing import TYPE_CHECKING, Any

from archgen.render.markdown import parser

if TYPE_CHECKING:
    from markdown_it.tree import SyntaxTreeNode

Block = dict[str, Any]
Span = dict[str, Any]

_LISTS = {"bullet_list": False, "ordered_list": True}
_STYLES = {"strong": "strong", "em": "emphasis"}


def blocks_of(text: str) -> list[Block]:
    """Read the text."""
    from markdown_it.tree import SyntaxTreeNode  # noqa: PLC0415  loaded by the parser

    return _blocks(SyntaxTreeNode(parser().parse(text)))


def is_right_to_left(text: str) -> bool:
    """Say whether the first letter of the text belongs to a script written from right to left."""
    for character in text:
        kind = unicodedata.bidirectional(character)
        if kind in ("L", "R", "AL"):
            return kind != "L"
    return False


def _blocks(parent: "SyntaxTreeNode") -> list[Block]:
    return [_block(node) for node in parent.children]


def _block(node: "SyntaxTreeNode") -> Block:
    if node.type in _LISTS:
        start = int(node.attrs.get("start", 1))
        return {
            "kind": "list",
            "ordered": _LISTS[node.type],
            "start": start,
            "items": [_blocks(item) for item in node.children],
        }
    if node.type == "blockquote":
        return {"kind": "quote", "blocks": _blocks(node)}
    if node.type in ("fence", "code_block"):
        return {"kind": "code", "text": node.content.rstrip("\n")}
    if node.type == "hr":
        return {"kind": "line"}
    spans = [span for inline in node.children for child in inline.children for span in _spans(child)]
    kind = "heading" if node.type == "heading" else "paragraph"
    return {"kind": kind, "spans": spans, "rtl": is_right_to_left("".join(span["text"] for span in spans))}


def _spans(node: "SyntaxTreeNode") -> list[Span]:
    if node.type == "image":
        return [{"text": f"[{node.content or node.attrs.get('src', '')}]"}]
    if node.type in ("softbreak", "hardbreak"):
        return [{"text": " " if node.type == "softbreak" else "\n"}]
    if not node.children:
        return [{"text": node.content, "code": True} if node.type == "code_inline" else {"text": node.content}]
    inner = [span for child in node.children for span in _spans(child)]
    if node.type == "link":
        address = str(node.attrs.get("href", ""))
        words = "".join(span["text"] for span in inner)
        return inner if words in (address, address.removeprefix("mailto:")) else [*inner, {"text": f" ({address})"}]
    return [{**span, _STYLES[node.type]: True} for span in inner] if node.type in _STYLES else inner
