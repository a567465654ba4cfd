"""The Markdown settings against the CommonMark specification 0.31.2 (npm package commonmark-spec)."""

import html
import re

import pytest

from archgen.render.markdown import parser
from tests.conftest import npm_file

_EXAMPLE = re.compile(r"^`{32} example\n(.*?)^\.\n(.*?)^`{32}$", re.MULTILINE | re.DOTALL)
_TAG = re.compile(r"</?([a-zA-Z][a-zA-Z0-9-]*)")
# What the parser itself writes; anything else in its output would have come through from the text.
_OWN_TAGS = set(re.findall(r"\w+", "p pre code em strong a ul ol li blockquote hr br h1 h2 h3 h4 h5 h6"))


@pytest.fixture(scope="module")
def examples():
    text = npm_file("commonmark-spec", "spec.txt").read_text(encoding="utf-8").replace("→", "\t")
    return _EXAMPLE.findall(text)


def is_plain(wanted: str) -> bool:
    """Say whether an example holds no raw HTML and no picture, which we render in our own way."""
    return set(_TAG.findall(wanted)) <= _OWN_TAGS


def settled(rendered: str) -> str:
    """Leave out the line break in an empty quotation, which the specification's own comparer ignores."""
    return rendered.replace("<blockquote>\n</blockquote>", "<blockquote></blockquote>")


def test_examples_without_html_come_out_as_the_specification_says(examples):
    parse = parser().render
    differ = [text for text, wanted in examples if is_plain(wanted) and settled(parse(text)) != settled(wanted)]
    without_tags = [text for text in differ if "<" not in text]
    assert len(examples) == 652
    assert without_tags == ["[link](foo\\)\\:)\n"]  # a colon before any slash: might be a scheme, so no link
    assert len(differ) == 31  # the others hold raw HTML made of ordinary tags, or links of schemes we refuse


def test_no_example_lets_a_tag_through(examples):
    for text, _wanted in examples:
        out = parser().render(text)
        assert set(_TAG.findall(out)) <= _OWN_TAGS, text
        assert not re.search(r"<[^>]*\son\w+=", out), text


def test_raw_html_comes_out_as_text(examples):
    raw = [text for text, wanted in examples if not is_plain(wanted) and text.lstrip().startswith("<")]
    assert len(raw) > 20
    for text in raw:
        words = re.sub(r"\s+", "", html.unescape(re.sub(r"<[^>]*>", "", parser().render(text))))
        assert "<" in words, text
