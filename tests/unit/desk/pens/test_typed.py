"""What is typed into a field, and the whole record as fields."""

import datetime as dt

import pytest

from archgen.answers.answer import written_as
from archgen.answers.typed import shown_value, typed_value
from archgen.desk.pens.fields import SHAPES, edits_between, sections
from archgen.desk.pens.visits import NewPhoto, TouchUpAnswers, free_name, photo_edits, stage_guess, touch_up_edits
from archgen.errors import UsageError
from archgen.records.model import PieceRecord
from archgen.writing.record_text import AddTable, RemoveKey, SetKey
from tests.builders import make_piece, make_record

TODAY = dt.date(2026, 9, 21)


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("finished", "2026-03-07", dt.date(2026, 3, 7)),
        ("date", "7 Mar 2026", dt.date(2026, 3, 7)),
        ("date", "14. März 2026", dt.date(2026, 3, 14)),
        ("date", "3. Dez. 2026", dt.date(2026, 12, 3)),
        ("date", "Sat 7 March 2026", dt.date(2026, 3, 7)),
        ("date", "March 7, 2026", dt.date(2026, 3, 7)),
        ("date", "7.3.2026", dt.date(2026, 3, 7)),
        ("date", "17/3/2026", dt.date(2026, 3, 17)),
        ("date", "3/17/2026", dt.date(2026, 3, 17)),
        ("date", "7/7/2026", dt.date(2026, 7, 7)),
        ("width", "62", "62 mm"),
        ("width", "6,2 cm", "6,2 cm"),
        ("girth", '2 1/2"', '2 1/2"'),
        ("hours", "3.5", 3.5),
        ("hours", "3h30", "3h30"),
        ("publish", "Yes", True),
        ("used", "no", False),
        ("version", "2", 2),
        ("charged", "420,50", 420.5),
        ("styles", "blackwork, fine line ,", ["blackwork", "fine line"]),
        ("title", ' "Owl" ', '"Owl"'),
        ("license", "CC0-1.0", "CC0-1.0"),
    ],
)
def test_what_is_typed_is_read_for_its_key(key, text, value):
    read = typed_value(key, text)
    assert read == value
    assert type(read) is type(value)


@pytest.mark.parametrize(
    ("key", "text", "asks"),
    [
        ("date", "7/3/2026", "2026-03-07 or 2026-07-03"),
        ("date", "31.2.2026", "isn't a day"),
        ("date", "17/17/2026", "isn't a day"),
        ("date", "7 Foo 2026", "isn't a day"),
        ("date", "soon", "isn't a day"),
        ("width", "wide", "62 mm"),
        ("height", "-3 mm", "62 mm"),
        ("hours", "long", "3h30"),
        ("cover", "maybe", "yes or no"),
        ("version", "2.5", "whole number"),
        ("charged", "much", "number"),
    ],
)
def test_what_is_not_understood_is_asked_back_in_one_sentence(key, text, asks):
    with pytest.raises(UsageError, match=asks) as told:
        typed_value(key, text)
    assert "\n" not in str(told.value)


def test_a_bare_number_is_in_the_archives_unit():
    assert typed_value("width", "2.5", "in") == "2.5 in"


@pytest.mark.parametrize("value", [True, False, 3.5, 4.0, "x", dt.date(2026, 1, 2), ["a", "b"], {"a": 1}])
def test_values_are_shown_as_words(value):
    assert shown_value(value)
    assert "datetime" not in shown_value(value)


def test_every_table_of_the_record_has_fields_or_a_page_of_its_own():
    named = {shape.name for shape in SHAPES} | {
        field.key for shape in SHAPES if not shape.name for field in shape.fields
    }
    # The tones are planned by their own command.
    assert {name.rstrip("_") for name in PieceRecord.__struct_fields__} - named == {"values"}


def test_what_was_left_alone_is_not_written():
    values = {"title": "Owl", "size": {"width": "5 cm"}, "sitting": [{"date": TODAY, "hours": 3.5}], "mine": 1}
    sent = {field.name: field.text for one in sections(values) for block in one.blocks for field in block.fields}
    assert sent["size.width"] == "5 cm"
    assert sent["sitting.0.date"] == "2026-09-21"
    assert edits_between(values, sent, [], "mm") == ()


def test_what_changed_is_written_and_what_was_emptied_goes():
    values = {"title": "Owl", "size": {"width": "5 cm"}, "needle": [{"code": "3RL"}, {"code": "5RL"}]}
    sent = {"title": "Barn owl", "size.width": "", "needle.1.use": "eye", "needle.new.code": "7RL", "unknown": "x"}
    assert edits_between(values, sent, [], "mm") == (
        SetKey(("title",), "Barn owl"),
        RemoveKey(("size", "width")),
        SetKey(("needle", 1, "use"), "eye"),
        AddTable(("needle",), {"code": "7RL"}),
    )


def test_elements_go_from_the_last_to_the_first_and_their_fields_are_not_written():
    values = {"needle": [{"code": "3RL"}, {"code": "5RL"}, {"code": "7RL"}]}
    edits = edits_between(values, {"needle.0.code": "9RL"}, ["needle.0", "needle.2"], "mm")
    assert edits == (RemoveKey(("needle", 2)), RemoveKey(("needle", 0)))


@pytest.mark.parametrize("name", ["title", "needle", "needle.new", "needle.9", "size", "needle.0.code"])
def test_only_an_element_that_is_there_is_taken_out(name):
    assert (
        edits_between({"title": "Owl", "size": {"width": "5 cm"}, "needle": [{"code": "3RL"}]}, {}, [name], "mm") == ()
    )


def test_a_word_that_is_no_choice_stays_a_choice():
    (side,) = [
        field
        for one in sections({"placement": {"side": "L"}})
        for block in one.blocks
        for field in block.fields
        if field.name == "placement.side"
    ]
    assert ("L", "L, as written") in side.choices


def test_a_touch_up_needs_no_time():
    assert touch_up_edits(TouchUpAnswers(hours=""), TODAY) == (
        AddTable(("sitting",), {"date": TODAY, "hours": None, "kind": "touch-up", "note": None}),
    )


def test_a_photo_writes_only_what_is_not_usual():
    shown = photo_edits(NewPhoto("a.jpg", "healed", None, is_shown=True))[0]
    private = photo_edits(NewPhoto("a.jpg", "healed", TODAY, is_shown=False))[0]
    working = photo_edits(NewPhoto("a.jpg", "in-progress", TODAY, is_shown=False))[0]
    assert [one.values["publish"] for one in (shown, private, working)] == [None, False, None]


def test_the_stage_follows_from_the_day():
    piece = make_piece("owl", make_record(finished=dt.date(2026, 3, 1)))
    assert stage_guess(piece, dt.date(2026, 3, 20), 28) == "fresh"
    assert stage_guess(piece, dt.date(2026, 3, 29), 28) == "healed"
    assert stage_guess(piece, None, 28) == "healed"


def test_names_that_are_taken_are_numbered():
    assert free_name("a.jpg", ["b.jpg"]) == "a.jpg"
    assert free_name("A.jpg", ["a.JPG", "a-2.jpg", "A-3.jpg"]) == "A-4.jpg"


def test_lines_are_shown_as_they_would_be_typed():
    edits = [
        SetKey(("publish",), False),
        SetKey(("release", "status"), "granted"),
        SetKey(("release", "date"), TODAY),
        SetKey(("reference", 1, "license"), "own-work"),
        RemoveKey(("reference", 1, "used")),
        AddTable(("photo",), {"file": "a", "alt": None}),
        AddTable(("photo",), {"file": "b"}),
    ]
    assert written_as(edits) == (
        'publish = false\n[release]\nstatus = "granted"\ndate = 2026-09-21\n[[reference]]\nlicense = "own-work"\n'
        '# without used\n[[photo]]\nfile = "a"\n[[photo]]\nfile = "b"'
    )
