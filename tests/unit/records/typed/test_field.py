"""One field as typed: understood, understood and asked, or only asked; what decides about publication isn't guessed."""

import datetime as dt

import pytest

from archgen.records.model import PieceRecord
from archgen.records.typed.days import is_day_first
from archgen.records.typed.field import read_field
from archgen.records.typed.reading import Habits
from archgen.units import length_words, parse_hours, parse_length

DAY = dt.date(2026, 3, 14)


@pytest.mark.parametrize(
    ("key", "typed", "value"),
    [
        *(
            ("placement.side", word, side)
            for side, words in {
                "left": "L|l.|Left|left side|the client's left|links|gauche|izquierda|sinistra|esquerda|vänster",
                "right": "R|rechts|Rechte Seite|droite|derecha|destra|direita|höger|dx",
                "centre": "center|middle|mitte|Mitten|centro",
            }.items()
            for word in words.split("|")
        ),
        *(("sitting.kind", word, "touch-up") for word in ("touch up", "Touchup", "retouch", "touch_up", "Nachstechen")),
        *(("sitting.0.kind", word, "sitting") for word in ("session", "Sitzung", "sitting")),
        *(("photo.cover", word, True) for word in ("yes", "ja", "Oui", "sí", "sim", "1", 1, "true")),
        *(("stencil.applied", word, False) for word in ("no", "nein", "non", "não", "nej", 0, "off")),
        *(
            ("sitting.date", word, DAY)
            for word in (
                "2026-03-14", "14.3.2026", "14/03/26", "03/14/2026", "2026/03/14", "2026.3.14", "20260314",
                "14 March 2026", "March 14th, 2026", "14. März 2026", "14 de marzo de 2026", "14 mars 2026",
                "2026-03-14 16:30", dt.datetime(2026, 3, 14, 9),  # noqa: DTZ001 (a TOML file's local time)
            )
        ),
        ("sitting.date", "03/03/2026", dt.date(2026, 3, 3)),
        *(("sitting.hours", word, 3.5) for word in ("3 1/2", "3½ h", "3 Std 30", "3,5 Stunden")),
        *(("size.width", word, "62 mm") for word in ("62 millimetres", "6,2 Zentimeter", "62mm wide", "62 mm breit")),
        ("size.width", "2 1/2 Zoll", "63.5 mm"),
        *(("size.width", f"66 {unit}", "66 mm") for unit in ("milimeters", "millimeteres", "milímetros", "Milimeter")),
        *(("stencil.width", f"6.6 {unit}", "66 mm") for unit in ("centimters", "Zentimter", "centímetros")),
        *(("sitting.hours", f"4 {unit}", 4) for unit in ("horus", "Stundne", "huors", "timar")),
        ("sitting.hours", "3 horus 30 minuts", 3.5),
        ("stencil.version", "v2", 2),
        ("stencil.version", 2.0, 2),
        ("price.charged", "420 €", 420),
        ("styles", "fine line, black", ["fine line", "black"]),
        ("needle.batch", 8213, "8213"),
        *((key, 4, ["4"]) for key in ("styles", "subjects")),
        ("title", 1984, "1984"),
    ],
)  # fmt: skip
def test_what_can_mean_one_thing_only_is_understood(key, typed, value):
    reading = read_field(key, typed)
    assert (reading.value, reading.question, reading.is_sure) == (value, "", True)
    assert reading.words


@pytest.mark.parametrize(
    ("key", "typed", "units", "value", "others"),
    [
        ("size.width", "62", "mm", "62 mm", ["62 cm"]),
        ("size.width", 62, "mm", "62 mm", ["62 cm"]),
        ("stencil.0.width", "6,2", "mm", "6.2 mm", ["6.2 cm", "6.2 in"]),
        ("placement.girth", "2.5", "in", "2.5 in", ["2.5 cm"]),
    ],
)
def test_a_length_without_a_unit_is_taken_in_the_archives_and_asked(key, typed, units, value, others):
    reading = read_field(key, typed, Habits(units))
    assert (reading.value, reading.is_sure) == (value, False)
    assert "without a unit" in reading.question
    assert [choice.value for choice in reading.choices] == [value, *others]


@pytest.mark.parametrize(
    ("key", "typed", "value"),
    [
        *(
            ("size.width", typed, "75 mm")
            for typed in (
                "~75 mm", "75 mm?", "75 mm (?)", "c. 75 mm", "ca.75 mm", "about 75 mm", "75 mm approx.",
                "roughly 75 mm", "75 mm or so", "75-ish mm", "ungefähr 75 mm", "etwa 75 mm", "environ 75 mm",
                "à peu près 75 mm", "unos 75 mm", "más o menos 75 mm", "circa 75 mm", "mais ou menos 75 mm",
                "omkring 75 mm", "± 75 mm", "75 mm (approx.)", "about 75", "~7.5 centimters",
            )
        ),
        *(("sitting.hours", typed, 4) for typed in ("approx 4", "~4 h", "4h?", "4ish", "rund 4 Stunden", "presque 4h")),
        *(("placement.side", typed, "left") for typed in ("left?", "maybe left", "links (?)", "left probably")),
        ("sitting.kind", "touch up?", "touch-up"),
        ("stencil.applied", "yes?", True),
        ("stencil.version", "2?", 2),
        ("price.charged", "ca. 420 €", 420),
    ],
)  # fmt: skip
def test_a_word_of_doubt_is_asked_about_once_and_the_rest_is_used(key, typed, value):
    reading = read_field(key, typed)
    used = reading.value
    if key == "sitting.hours":
        used = parse_hours(used)
    elif key == "size.width":
        used = length_words(parse_length(used))
    assert used == value
    assert reading.question.startswith(f'"{typed}": ')
    assert reading.choices[0].words == reading.words


@pytest.mark.parametrize("typed", ["75 mm ± 2", "about", "?", "approx 60-65 mm"])
def test_doubt_about_nothing_in_reach_is_only_asked(typed):
    reading = read_field("size.width", typed)
    assert (reading.value, bool(reading.question)) == (None, True)


def test_a_day_in_doubt_is_offered_and_not_used():
    reading = read_field("sitting.date", "ca. 14 March 2026")
    assert (reading.value, [choice.value for choice in reading.choices]) == (None, [DAY])


def test_two_sides_in_one_field_are_both_read_and_asked():
    reading = read_field("size.width", "62 by 88 mm")
    assert (reading.value, reading.beside) == ("62 mm", (("height", "88 mm"),))
    assert "62 mm wide and 88 mm high?" in reading.question
    assert read_field("size.height", "62x88").value == "88 mm"
    assert read_field("size.width", "62x88 mm", beside={"height": "9 cm"}).beside == ()
    assert read_field("stencil.width", "62x88 mm").beside == ()


@pytest.mark.parametrize(
    ("day_first", "days"), [(None, ["2026-03-07", "2026-07-03"]), (True, None), (False, ["2026-07-03", "2026-03-07"])]
)
def test_a_date_that_can_be_two_is_asked_in_the_archives_order_and_not_used(day_first, days):
    reading = read_field("sitting.date", "07/03/2026", Habits(find_day_first=lambda: day_first))
    assert reading.value is None
    expected = days or ["2026-03-07", "2026-07-03"]
    assert [choice.value.isoformat() for choice in reading.choices] == expected
    assert all(choice.words in reading.question for choice in reading.choices)


def test_the_order_of_dates_follows_those_that_can_be_read_one_way():
    assert is_day_first([b"14/03/2026 and 07/03/2026"]) is True
    assert is_day_first([b"03/14/2026", b"x 12.31.26"]) is False
    assert is_day_first([b"07/03/2026", b"2026-03-14"]) is None


@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        ("placement.side", "upwards", "left, right or centre?"),
        ("placement.side", "left or right", "left, right or centre?"),
        ("sitting.kind", "consultation", "sitting or touch-up?"),
        ("sitting.date", "last spring", "which day is that?"),
        ("sitting.date", "March 2026", "which day is that?"),
        ("sitting.date", "31/02/2026", "which day is that?"),
        ("sitting.hours", "3.30", "3 h 30 min or 3 h 18 min?"),
        ("sitting.hours", "long", "how many hours?"),
        ("size.width", "60-65 mm", "how many mm, cm or in?"),
        ("size.width", True, "how many mm, cm or in?"),
        ("photo.cover", "maybe", "yes or no?"),
        ("styles", True, "what is meant?"),
        ("stencil.version", "two", "which number is that?"),
        ("price.charged", "1.200", "which number is that?"),
    ],
)
def test_what_is_not_understood_is_asked_and_not_used(key, typed, said):
    reading = read_field(key, typed)
    assert reading.value is None
    assert said in reading.question


@pytest.mark.parametrize(
    ("key", "typed"),
    [
        ("publish", "yes"),
        ("photo.0.publish", "ja"),
        ("photo.0.publish", "true?"),
        ("release.status", "granted?"),
        ("photo.stage", "verheilt"),
        ("release.status", "yes"),
        ("release.status", "grantd"),
        ("release.date", "14.3.2026"),
        ("reference.0.likeness", "nobody"),
        ("reference.used", "no"),
        ("reference.expires", "31/12/2029"),
        ("rights_override.date", "14 March 2026"),
    ],
)
def test_what_decides_about_publication_is_never_guessed(key, typed):
    reading = read_field(key, typed)
    assert reading.value is None
    assert reading.question


def test_a_place_is_read_with_its_side_and_an_unclear_one_is_asked():
    reading = read_field("placement.region", "left outer forearm")
    assert (reading.value, reading.beside) == ("forearm-outer", (("side", "left"),))
    assert "inner wrist or top of the wrist?" in read_field("placement.region", "wrist").question


def test_nothing_typed_is_nothing_and_an_unknown_key_is_refused():
    assert read_field("title", "  ").value is None
    assert read_field("title", "  ").question == ""
    with pytest.raises(KeyError):
        read_field("size.depth", "3")
    assert "size" in PieceRecord.__struct_fields__
