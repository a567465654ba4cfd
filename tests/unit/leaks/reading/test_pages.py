"""Text as an outsider reads it; the manners of hiding are tried as a whole in tests/unit/leaks/test_find.py."""

import base64
import random
import time

import pytest

from archgen.leaks.reading.pages import as_text, encoded_in, texts_among, undo_escapes, views


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("S&amp;ouml;der", "Söder"), ("%C3%B6", "ö"), ("\\u00f6", "ö"), ("\\\\u00f6", "ö"), ("\\f6 x", "öx"),
        ("S=C3=B6der", "Söder"), ("no=10", "no=10"), ("\\x41\\/", "A/"), ("\\u{1f989}", "🦉"),
    ],
)  # fmt: skip
def test_escapes_are_undone_where_they_are_nested_too(written, meant):
    assert undo_escapes(written) == meant


@pytest.mark.parametrize("half", ["\\ud83d", "\\u{dc00}", "\\d800 ", "&#xd800;", "\\udc00\\ud800"])
def test_half_a_character_is_no_letter_and_ends_nothing(half):
    for view in views(f'"rested {half}"'):
        assert view.encode()


def test_what_a_reader_sees_is_parted_where_the_page_is():
    seen = views("<p>Anna <b>Sö</b>der</p><p>Peony</p>")
    assert "Anna Söder" in [" ".join(view.split()) for text in seen for view in text.split("  ")]
    assert any("Söder  Peony" in view for view in seen)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_text_is_decoded_with_and_without_a_mark(encoding):
    assert "Anna Söderqvist" in as_text("Anna Söderqvist, 2026".encode(encoding))


@pytest.mark.parametrize("content", [b"\x89PNG\r\n\x1a\n\0\0", random.Random(1).randbytes(200), b"\xff\xd8\xff\xe0"])
def test_what_is_no_text_is_none(content):
    assert as_text(content) is None


def test_letters_among_other_bytes_are_text_when_they_are_many():
    noise = bytes(range(128, 250))
    assert list(texts_among(noise + b"four words of a note" + noise)) == []
    assert list(texts_among(noise + b"four words of a longer note" + noise)) == ["four words of a longer note"]
    assert list(texts_among(random.Random(2).randbytes(300_000))) == []


def test_words_digests_and_paths_are_no_base64():
    text = "elements HTMLInputElement 3f2a9c0d1e4b5a69 assets/img/owl-1.webp sha256-abc camelCaseName"
    assert [found for found in encoded_in(text) if found.isascii() and found.decode().isprintable()] == []


def test_the_first_part_of_a_file_in_base64_is_no_file_of_its_own():
    content = b"RIFF\x10\x00\x00\x00WEBP" + bytes(range(256)) * 3 + b"\xff" * 30
    written = base64.b64encode(content).decode()
    assert "/" in written
    assert list(encoded_in(f"<img src='data:image/webp;base64,{written}'>")) == [content]


def test_a_file_in_base64_is_given_whole():
    content = b"\x89PNG\r\n\x1a\n" + bytes(range(200, 256)) * 5
    assert content in list(encoded_in(f"x = '{base64.b64encode(content).decode()}'"))


@pytest.mark.parametrize("text", ["Aa0" * 100_000, "41 " * 100_000, "65, " * 100_000, "<" * 100_000, "=C3" * 50_000])
def test_long_texts_take_no_more_than_their_length(text):
    started = time.process_time()
    views(text)
    list(encoded_in(text))
    assert time.process_time() - started < 5
