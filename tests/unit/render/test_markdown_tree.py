import pytest

from archgen.render.markdown_tree import blocks_of, is_right_to_left


def words(blocks):
    return "".join(span["text"] for block in blocks for span in block.get("spans", ()))


def test_a_paragraph_keeps_its_emphasis():
    assert blocks_of("left *one* **pass** `only`")[0]["spans"] == [
        {"text": "left "},
        {"text": "one", "emphasis": True},
        {"text": " "},
        {"text": "pass", "strong": True},
        {"text": " "},
        {"text": "only", "code": True},
    ]


def test_lists_nest():
    outer = blocks_of("3. one\n4. two\n   - deep")[0]
    assert (outer["kind"], outer["ordered"], outer["start"]) == ("list", True, 3)
    assert outer["items"][1][1]["items"] == [[{"kind": "paragraph", "spans": [{"text": "deep"}], "rtl": False}]]


@pytest.mark.parametrize(
    "text", ["<b>bold</b>", "<script>alert(1)</script>", "#set page(fill: red)", "$x$ @ref {{ y }}"]
)
def test_markup_of_others_is_text(text):
    assert words(blocks_of(text)) == text


def test_a_link_shows_where_it_leads():
    assert words(blocks_of("[studio](https://example.org/a)")) == "studio (https://example.org/a)"
    assert words(blocks_of("<https://example.org/a>")) == "https://example.org/a"


def test_a_picture_gives_its_words():
    assert words(blocks_of("![barn owl](owl.jpg)")) == "[barn owl]"


def test_headings_quotes_code_and_lines_have_their_kinds():
    kinds = [block["kind"] for block in blocks_of("# head\n\n> quote\n\n```\ncode\n```\n\n---\n\ntext")]
    assert kinds == ["heading", "quote", "code", "line", "paragraph"]


@pytest.mark.parametrize(
    ("text", "expected"), [("owl שלום", False), ("12: שלום", True), ("مرحبا owl", True), ("12", False)]
)
def test_the_first_letter_gives_the_direction(text, expected):
    assert is_right_to_left(text) is expected
