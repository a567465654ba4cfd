"""What is said of a text that is not TOML."""

import pytest

from archgen.toml.text import UnreadableTextError, read_text, read_toml


def problem_of(path, content):
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(UnreadableTextError) as caught:
        read_toml(path)
    return caught.value.problem


@pytest.fixture
def path(tmp_path):
    return tmp_path / "piece.toml"


def test_a_byte_order_mark_is_left_out(path):
    path.write_bytes("﻿title = 'Owl'\n".encode())
    toml = read_toml(path)
    assert (toml.raw, toml.line("title")) == ({"title": "Owl"}, 1)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le"])
def test_utf_16_is_named(path, encoding):
    mark = b"" if encoding == "utf-16" else b"\xff\xfe"
    problem = problem_of(path, mark + 'title = "Owl"'.encode(encoding))
    assert (problem.code, problem.line) == ("encoding", None)
    assert "UTF-8" in problem.remedy


def test_another_encoding_shows_line_and_letter(path):
    problem = problem_of(path, 'title = "a"\nnote = "é"\n'.encode("cp1252"))
    assert (problem.code, problem.line) == ("encoding", 2)
    assert 'note = "é"' in problem.problem


@pytest.mark.parametrize(
    ("text", "line", "hint"),
    [
        ("title = Barn owl\n", 1, "quotes"),
        ('titel "Barn owl"\n', 1, "="),
        ("a = 1\npublish = yes\n", 2, "true or false"),
        ("a = 1\npublish = True\n", 2, "true or false"),
        ("title = “Owl”\n", 1, "straight quotes"),
        ('file = "photos\\owl.jpg"\n', 1, "/"),
        ('width = "2.5""\n', 1, "inch"),
        ("width = 62 mm\n", 1, "quotes"),
        ("hours = 3h30\n", 1, "quotes"),
        ("date = 14.03.2026\n", 1, "year-month-day"),
        ("date = 2026-02-30\n", 1, "date that exists"),
        ("expiry = 2028-05\n", 1, "year-month-day"),
        ("title = 'the owl's eye'\n", 1, "double quotes"),
        ('title = "Owl" publish = true\n', 1, "line of its own"),
        ('a = "x\nb = 2\n', 1, "Close the quotes"),
        ('a = 1\nb = """x\nc = 1\n', 2, ""),
        ("a = [1, 2\nb = 3\n", 2, "]"),
        ("[size\nw = 1", 1, "brackets"),
        ("a = 1\na = 2\n", 2, "already"),
        ("[[photo]]\n[photo]\n", 2, "already"),
        ("title: 1\n", 1, "colon"),
        ("título = 1\n", 1, "plain letters"),
        ("my key = 1\n", 1, "one word"),
        ('title = "He said "hi""\n', 1, "single quotes"),
        ('styles = "a", "b"\n', 1, "brackets"),
        ("a = \n", 1, "value"),
        ("a = {b = 1,\n c = 2}\n", 1, "one line"),
    ],
)
def test_a_broken_line_is_shown_with_what_to_do(path, text, line, hint):
    problem = problem_of(path, text)
    assert (problem.code, problem.line) == ("broken", line)
    assert hint in problem.remedy
    assert text.splitlines()[line - 1].strip()[:20] in problem.problem


@pytest.mark.parametrize("text", [f"x = {'[' * 3000}", f"x = {'9' * 5000}", "x = {a = " * 2000, 'a = "\x00"'])
def test_hostile_texts_are_a_problem_too(path, text):
    assert problem_of(path, text).code == "broken"


def test_a_folder_of_that_name_is_no_text(tmp_path):
    with pytest.raises(UnreadableTextError, match="ordinary file"):
        read_text(tmp_path)


def test_a_missing_file_is_named(path):
    with pytest.raises(UnreadableTextError, match="no such file"):
        read_text(path)


def test_a_file_that_may_not_be_opened(path, monkeypatch):
    path.write_text("a = 1")

    def refuse(_path):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(type(path), "read_bytes", refuse)
    with pytest.raises(UnreadableTextError, match="permission denied"):
        read_text(path)


def test_a_huge_file_is_not_read(path):
    with path.open("wb") as stream:
        stream.truncate(5_000_000)
    with pytest.raises(UnreadableTextError, match="5 MB"):
        read_text(path)


@pytest.mark.parametrize("text", ["a" + ".a" * 500 + " = 1", "a = " + "[" * 5000 + "]" * 5000, "[a" + ".a" * 500 + "]"])
def test_keys_nested_without_end_are_refused(path, text):
    assert problem_of(path, text).code == "broken"
