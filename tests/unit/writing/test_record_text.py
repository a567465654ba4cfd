"""Keys and tables changed in a text: nothing else of it changes."""

import datetime as dt
import tomllib

import pytest
import tomlkit

from archgen.errors import InputError
from archgen.writing import record_text
from archgen.writing.inline import Splice
from archgen.writing.record_text import AddTable, RemoveKey, SetKey, WrittenLine, edit_bytes, edit_text, written_lines
from archgen.writing.splices import key_set

TEXT = """# head
title     = "Owl" # why
publish   = true

# about the size
[size]
width = "62 mm"   # measured

[[reference]]   # the first
file       = "references/a.jpg"
license    = "CC0-1.0"   # looked up
# about the next one

[[reference]]
file = 'b.jpg'
allows = [
  "tattoo",  # said on the telephone
]

[[stencil]]
file = "stencils/a.png"
  [[stencil.landmark]]
  stencil = [1, 2]
  at = [3, 4]

[[stencil]]
file = "stencils/b.png"
# the end
"""


def edited(*edits, text=TEXT):
    return edit_text(text, edits, "piece.toml")


def test_a_key_goes_below_the_others_in_their_column():
    assert edited(SetKey(("client",), "C-1")) == TEXT.replace("= true\n", '= true\nclient    = "C-1"\n')
    assert edited(SetKey(("reference", 0, "creator"), "A. Sample")) == TEXT.replace(
        "  # looked up\n", '  # looked up\ncreator    = "A. Sample"\n'
    )


def test_a_value_changes_in_its_place_and_its_remark_stays():
    assert edited(SetKey(("size", "width"), "63 mm")) == TEXT.replace('"62 mm"', '"63 mm"')


def test_a_list_grows_and_its_remarks_stay():
    assert edited(SetKey(("reference", 1, "allows"), ["tattoo", "show-tattoo"])) == TEXT.replace(
        '  "tattoo",  #', '  "tattoo", "show-tattoo",  #'
    )


def test_a_list_that_becomes_another_leaves_its_remarks_above_it():
    after = edited(SetKey(("reference", 1, "allows"), []))
    assert "# said on the telephone\nallows = []\n" in after


def test_a_table_that_is_not_there_is_made_at_the_end():
    assert edited(SetKey(("release", "status"), "granted")) == f'{TEXT}\n[release]\nstatus = "granted"\n'


def test_a_new_table_of_an_array_stands_below_the_others():
    after = edited(AddTable(("reference",), {"file": "c.jpg", "creator": None}))
    assert after == TEXT.replace(
        ']\n\n[[stencil]]\nfile = "stencils/a', ']\n\n[[reference]]\nfile = "c.jpg"\n\n[[stencil]]\nfile = "stencils/a'
    )


def test_a_landmark_goes_to_its_own_stencil():
    values = {"stencil": [5, 6], "on": "photos/x.jpg", "at": [7, 8]}
    read = tomllib.loads(
        edited(AddTable(("stencil", 0, "landmark"), values), AddTable(("stencil", 1, "landmark"), values))
    )
    assert read["stencil"][0]["landmark"] == [{"stencil": [1, 2], "at": [3, 4]}, values]
    assert read["stencil"][1]["landmark"] == [values]


def test_what_is_taken_out_leaves_its_remarks():
    after = edited(RemoveKey(("reference", 0)))
    assert tomllib.loads(after)["reference"] == [{"file": "b.jpg", "allows": ["tattoo"]}]
    for remark in ("# the first", "# looked up", "# about the next one", "# about the size"):
        assert remark in after
    assert "# measured" in edited(RemoveKey(("size", "width")))
    assert "# said on the telephone" in edited(RemoveKey(("reference", 1, "allows")))


@pytest.mark.parametrize("way", [("size",), ("reference",), ("stencil", 1), ("stencil", 0, "landmark", 0), ("title",)])
def test_taking_out_leaves_everything_else(way):
    wanted = tomllib.loads(TEXT)
    inner = wanted
    for step in way[:-1]:
        inner = inner[step]
    del inner[way[-1]]
    read = tomllib.loads(edited(RemoveKey(way)))
    assert read == wanted or (way[-1] == 0 and read["stencil"][0].get("landmark", []) == [])


def test_what_is_not_there_is_not_taken_out():
    assert edited(RemoveKey(("price",)), RemoveKey(("size", "height")), RemoveKey(("price", "charged"))) == TEXT


INLINE = (
    'size = { width = "62 mm" } # x\n'
    'stencil = [{ file = "a" }, { file = "b", landmark = [{ at = [1] }] }]\n'
    "price = {}\n"
)


@pytest.mark.parametrize(
    ("edit", "line"),
    [
        (SetKey(("size", "height"), "8 mm"), 'size = { width = "62 mm", height = "8 mm" } # x'),
        (SetKey(("size", "width"), "8 mm"), 'size = { width = "8 mm" } # x'),
        (SetKey(("price", "charged"), 4), "price = { charged = 4 }"),
        (RemoveKey(("size", "width")), "size = {  } # x"),
        (AddTable(("stencil",), {"file": "c"}), INLINE.splitlines()[1][:-1] + ', { file = "c" }]'),
        (
            AddTable(("stencil", 1, "landmark"), {"at": [2]}),
            'stencil = [{ file = "a" }, { file = "b", landmark = [{ at = [1] }, { at = [2] }] }]',
        ),
        (
            AddTable(("stencil", 0, "landmark"), {"at": [2]}),
            'stencil = [{ file = "a", landmark = [{ at = [2] }] }, { file = "b", landmark = [{ at = [1] }] }]',
        ),
        (RemoveKey(("stencil", 0)), 'stencil = [{ file = "b", landmark = [{ at = [1] }] }]'),
        (SetKey(("stencil", 0, "file"), "z"), INLINE.splitlines()[1].replace('"a"', '"z"')),
    ],
)
def test_tables_in_one_line(edit, line):
    lines = edited(edit, text=INLINE).splitlines()
    assert line in lines
    assert sum(one in INLINE.splitlines() for one in lines) == 2


def test_dotted_keys_stay_dotted():
    text = 'size.width = "6 mm"\ntitle = "x"\n'
    assert (
        edited(SetKey(("size", "height"), "8 mm"), text=text)
        == 'size.width = "6 mm"\nsize.height = "8 mm"\ntitle = "x"\n'
    )
    assert edited(RemoveKey(("size", "width")), text=text) == 'title = "x"\n'


def test_line_ends_and_the_byte_order_mark_stay():
    content = b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode()
    edits = [
        SetKey(("client",), "C-1"),
        AddTable(("photo",), {"file": "a"}),
        SetKey(("release", "date"), dt.date(2026, 1, 2)),
    ]
    done = edit_bytes(content, edits, "piece.toml")
    assert done.after.startswith(b"\xef\xbb\xbf# head")
    assert done.after.count(b"\r\n") == done.after.count(b"\n") == TEXT.count("\n") + 7
    assert done.written[0] == WrittenLine(4, 'client    = "C-1"')


def test_a_text_without_a_last_line_end_gets_its_key():
    assert edited(SetKey(("b",), 1), text="a = 2") == "a = 2\nb = 1\n"
    assert edited(SetKey(("t", "b"), 1), text="[t]") == "[t]\nb = 1\n"
    assert edited(AddTable(("t",), {"b": 1}), text="a = 2") == "a = 2\n\n[[t]]\nb = 1\n"
    assert edited(SetKey(("b",), 1), text="") == "b = 1\n"


def test_the_first_key_of_all_stands_above_the_first_table():
    text = "# notes\n\n# the size\n[size]\n"
    assert edited(SetKey(("title",), "x"), text=text) == '# notes\n\ntitle = "x"\n\n# the size\n[size]\n'


BROKEN = """title = "Owl"
finished = 7/3/26 # spring
[size]
width = 62 mm
height = "88 mm"
[[ink]
batch = "B"
[[stencil]]
file = "a.png"
"""


@pytest.mark.parametrize(
    "edit",
    [
        SetKey(("client",), "C-1"),
        SetKey(("size", "height"), "89 mm"),
        SetKey(("stencil", 0, "width"), "8 mm"),
        AddTable(("photo",), {"file": "x"}),
        AddTable(("stencil", 0, "landmark"), {"at": [1]}),
        RemoveKey(("title",)),
    ],
)
def test_lines_that_cannot_be_read_stay_and_the_others_change(edit):
    after = edited(edit, text=BROKEN)
    assert after != BROKEN
    for line in ("finished = 7/3/26 # spring", "width = 62 mm", "[[ink]", 'batch = "B"'):
        assert line in after.splitlines()


def test_an_answer_takes_the_place_of_the_line_that_could_not_be_read_which_stays_as_a_remark():
    after = edited(SetKey(("size", "width"), "62 mm"), SetKey(("finished",), dt.date(2026, 3, 7)), text=BROKEN)
    assert '# width = 62 mm\nwidth = "62 mm"\nheight' in after
    assert "# finished = 7/3/26 # spring\nfinished = 2026-03-07\n[size]" in after


@pytest.mark.parametrize(
    "edit", [RemoveKey(("size",)), SetKey(("ink", 0, "batch"), "C"), SetKey(("stencil", 4, "x"), 1)]
)
def test_what_nobody_can_be_sure_of_is_refused_with_the_line(edit):
    with pytest.raises(InputError, match="line 2") as told:
        edited(edit, text=BROKEN)
    assert str(told.value).count("\n") == 0


def test_a_key_written_twice_keeps_both_lines():
    after = edited(SetKey(("title",), "C"), text='title = "A"\ntitle = "B"\n[a]\nx = 1\n[a]\ny = 2\n')
    assert after == 'title = "C"\ntitle = "B"\n[a]\nx = 1\n[a]\ny = 2\n'


@pytest.mark.parametrize(
    ("text", "edit"),
    [
        ('title = "x"', SetKey(("title", "inner"), 1)),
        ('[reference]\nfile = "a"', AddTable(("reference",), {"file": "b"})),
        ("x = [1]", AddTable(("x", 0, "y"), {"file": "b"})),
        ('title = "x"', SetKey(("stencil", 0, "x"), 1)),
    ],
)
def test_what_contradicts_the_text_is_refused(text, edit):
    with pytest.raises(InputError, match=r"by hand|can't be read"):
        edited(edit, text=text)


def test_brackets_without_end_cost_only_their_line():
    text = "x = " + "[" * 3000 + "]" * 3000 + "\n"
    assert edited(SetKey(("y",), 1), text=text) in (f"{text}y = 1\n", f"y = 1\n{text}")


def test_another_encoding_is_refused_with_a_remedy():
    with pytest.raises(InputError, match="UTF-8"):
        edit_bytes("title = 'für'".encode("latin-1"), [SetKey(("y",), 1)], "piece.toml")


@pytest.mark.parametrize(
    "value",
    ['a "b" \\ c', "two\nlines", "tab\t", "\x01", "é\u2028", "'", True, 3.5, -2, dt.date(2026, 1, 2), ["a", "b" * 99]],
)
def test_values_read_back(value):
    after = edited(SetKey(("note",), value))
    assert tomllib.loads(after)["note"] == value
    assert tomlkit.parse(after).unwrap()["note"] == value


@pytest.mark.parametrize("lost", ["height", "width = 62 mm"])
def test_an_edit_that_would_touch_anything_else_is_given_up(monkeypatch, lost):
    """Whatever may go wrong inside: a key beside it, or a line that nobody can read, is never lost."""
    start = BROKEN.index(lost)

    def careless(before, way, value):
        return [*key_set(before, way, value), Splice(start, BROKEN.index("\n", start), "")]

    monkeypatch.setattr(record_text, "key_set", careless)
    with pytest.raises(InputError):
        edited(SetKey(("client",), "C-1"), text=BROKEN)


def test_a_remark_that_ends_a_table_stays_with_it():
    text = '[[photo]]\nfile = "a"\n# so much of that one\n\n[size]\nwidth = "1 mm"\n'
    assert edited(AddTable(("photo",), {"file": "b"}), text=text) == text.replace(
        "that one\n", 'that one\n\n[[photo]]\nfile = "b"\n'
    )


def test_only_new_lines_are_given_as_written():
    assert written_lines("a\nb\n", "a\nc\n\nd\n") == (WrittenLine(2, "c"), WrittenLine(4, "d"))
