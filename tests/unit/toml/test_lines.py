"""Where keys stand in a TOML text."""

import tomllib

import pytest

from archgen.toml.lines import key_lines


def test_plain_keys_and_tables():
    lines = key_lines('title = "Owl"\n\n[size] # on skin\nwidth = "62 mm"\n')
    assert lines == {"title": 1, "size": 3, "size.width": 4}


def test_tables_of_an_array_are_counted_from_zero():
    lines = key_lines('[[photo]]\nfile = "a"\n[[photo]]\nfile = "b"\n')
    assert (lines["photo.0"], lines["photo.0.file"], lines["photo.1"], lines["photo.1.file"]) == (1, 2, 3, 4)


def test_an_array_inside_an_array_starts_anew_in_each_table():
    first = "[[stencil]]\n[[stencil.landmark]]\non = 'a'\n[[stencil.landmark]]\n"
    text = f"{first}[[stencil]]\n[[stencil.landmark]]\non = 'b'\n"
    lines = key_lines(text)
    assert lines["stencil.0.landmark.1"] == 4
    assert lines["stencil.1.landmark.0.on"] == 7
    assert "stencil.1.landmark.1" not in lines


@pytest.mark.parametrize(
    "value",
    [
        '"""one\ntwo = 2\n[three]\n"""',
        "'''one\n\"two\" = 2\n'''",
        '"""ends in quotes\n"""""',
        '"""escaped \\""" inside\n"""',
        "[\n  1, # note ] \n  2,\n]",
        "[ 'a]', \"b\\\"]\",\n'c' ]",
        "[[1, 2],\n [3]]",
        '"a # b" # c = 3',
        "'C:\\path' # x",
        "{ a = 1, b = { c = [1,\n2] } }",
        "2026-03-14 10:00:00",
        "1_000",
        "[]",
    ],
)
def test_a_value_of_any_form_is_stepped_over(value):
    text = f"first = {value}\nlast = 1\n"
    tomllib.loads(text)
    assert key_lines(text)["last"] == text.count("\n")


def test_keys_of_an_inline_table():
    lines = key_lines(
        'size = { width = "62 mm", height = "88 mm" }\nphoto = [\n  { file = "a" },\n  { file = "b" },\n]\n'
    )
    assert (lines["size.height"], lines["photo.0.file"], lines["photo.1.file"]) == (1, 3, 4)


def test_values_of_a_list_on_lines_of_their_own():
    lines = key_lines('scope = [\n  "portfolio",\n  # said twice\n  "print",\n]\n')
    assert (lines["scope.0"], lines["scope.1"]) == (2, 4)


def test_quoted_and_dotted_keys():
    lines = key_lines('"a b" = 1\n\'c.d\' = 2\nsize.width = 3\n[ placement . "no te" ]\nx = 4\n')
    assert (lines["a b"], lines["c.d"], lines["size.width"], lines["placement.no te.x"]) == (1, 2, 3, 5)


def test_line_ends_of_windows_count_once():
    assert key_lines("a = 1\r\n\r\n[b]\r\nc = 2\r\n") == {"a": 1, "b": 3, "b.c": 4}


def test_the_last_line_needs_no_end():
    assert key_lines("a = 1\nb = [1]") == {"a": 1, "b": 2}


@pytest.mark.parametrize("text", ["[}", "a = [}", "a = {]", "= = =", "[[[", "a = [1,,}", '"', "a = '''x", "a", "\\"])
def test_broken_text_ends(text):
    assert isinstance(key_lines(text), dict)
