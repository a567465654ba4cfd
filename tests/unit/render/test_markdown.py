import pytest

from archgen.render.markdown import beginning, is_allowed_link, to_html


@pytest.mark.parametrize(
    "address", ["https://example.org", "HTTP://example.org", "mailto:a@example.org", "notes.md", "../a", "#b"]
)
def test_ordinary_links_are_allowed(address):
    assert is_allowed_link(address)


@pytest.mark.parametrize(
    "address",
    [
        "javascript:alert(1)",
        " javascript:x",
        "JAVASCRIPT:x",
        "data:text/html,x",
        "file:///etc",
        "//example.org",
        "vbscript:x",
        "\\\\x",
    ],
)
def test_other_links_are_refused(address):
    assert not is_allowed_link(address)


def test_a_refused_link_stays_text():
    assert "<a" not in to_html("[x](javascript:alert(1))")


def test_a_picture_becomes_its_words():
    assert to_html("![an *owl*](owl.png)") == "<p>an owl</p>\n"


def test_words_of_a_picture_are_escaped():
    assert "<b>" not in to_html("![<b>](owl.png)")


def test_template_and_script_syntax_stay_text():
    assert to_html("{{ x }} <script>") == "<p>{{ x }} &lt;script&gt;</p>\n"


def test_headings_start_where_asked_and_skip_no_level():
    out = to_html("### a\n\n##### b\n\n## c\n\n###### d", first_heading=3)
    assert [line[:4] for line in out.splitlines()] == ["<h3>", "<h4>", "<h3>", "<h4>"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "# Booking\n\nThe **book** is\nopen: [write](mailto:a@b.org), `58 mm`.\n\nMore.",
            "The book is open: write, 58 mm.",
        ),
        ("- a list\n- of things", "a list"),
        ("> ![an owl](owl.png) in\\\nmoss", "an owl in moss"),
        ("# Only a heading", ""),
        ("", ""),
        ("word " * 60, "word " * 31 + "word…"),
        ("a" * 200, "a" * 159 + "…"),
    ],
)
def test_a_page_is_described_by_its_first_paragraph(text, said):
    assert beginning(text, 160) == said
