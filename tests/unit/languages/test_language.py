"""What a language says: words, numbers, lengths, times."""

import pytest

from archgen.languages.language import Language, language


@pytest.mark.parametrize(
    ("tag", "said"),
    [
        ("de", "Alle Arbeiten"),
        ("de-AT", "Alle Arbeiten"),
        ("DE", "Alle Arbeiten"),
        ("en", "All work"),
        ("it", "All work"),
    ],
)
def test_words_are_those_of_the_language_whatever_its_region(tag, said):
    assert language(tag).gettext("All work") == said


@pytest.mark.parametrize(("tag", "is_spoken"), [("en-GB", True), ("ja", True), ("sv-FI", True), ("it", False)])
def test_a_language_says_whether_the_program_speaks_it(tag, is_spoken):
    assert language(tag).is_spoken is is_spoken


@pytest.mark.parametrize(
    ("tag", "units", "said"),
    [
        # The artist's own choice holds where nothing is known of the region.
        ("en", "mm", "mm"), ("en", "in", "in"), ("it", "mm", "mm"),
        ("en-GB", "in", "cm"), ("en-US", "mm", "in"), ("es-us", "mm", "in"), ("de", "in", "cm"),
        ("zh-Hant-TW", "mm", "cm"),
    ],
)  # fmt: skip
def test_lengths_are_said_in_the_unit_of_the_region(tag, units, said):
    assert language(tag).unit(units) == said


@pytest.mark.parametrize(
    ("tag", "units", "sides", "said"),
    [
        ("de", "cm", (62, 88.4), "6,2 × 8,8 cm"),
        ("de", "mm", (62, 88.5), "62 × 88,5 mm"),
        ("sv", "in", (63.5, None), "2,5 tum bred"),
        ("ja", "cm", (None, 100), "高さ10 cm"),
        ("fr", "cm", (100, None), "10\u202fcm de large"),
        ("en", "mm", (62, 88.5), "62 × 88.5 mm"),
        ("en-GB", "cm", (62, 88), "6.2 × 8.8 cm"),
        ("en-GB", "cm", (62, None), "6.2 cm wide"),
        ("de", "cm", (None, None), None),
    ],
)
def test_a_size_has_the_decimal_mark_and_the_unit_of_the_language(tag, units, sides, said):
    assert language(tag).size(*sides, units) == said


@pytest.mark.parametrize(
    ("tag", "hours", "said"),
    [
        ("de", 3.5, "3 Std. 30 Min."),
        ("sv", 2, "2 tim"),
        ("ja", 0.5, "30 分"),
        ("en", 3.5, "3 h 30 min"),
        ("de", 0, "0 Min."),
    ],
)
def test_times_have_the_units_of_the_language(tag, hours, said):
    assert language(tag).hours(hours) == said


def test_english_counts_in_words_and_others_in_figures_which_have_no_gender():
    one, many = "%(number)s week later", "%(number)s weeks later"
    said = [language(tag).counted(one, many, number) for tag in ("en", "de") for number in (1, 12, 13)]
    assert said[:3] == ["one week later", "twelve weeks later", "13 weeks later"]
    assert said[3:] == ["1 Woche später", "12 Wochen später", "13 Wochen später"]


@pytest.mark.parametrize("tag", ["en", "de", "fr", "es", "sv", "ja"])
def test_a_month_that_was_written_is_read(tag):
    spoken = language(tag)
    assert [spoken.find_month(spoken.month(2027, month)) for month in (1, 2, 12)] == [(2027, 1), (2027, 2), (2027, 12)]
    assert [spoken.find_month(text) for text in ("soon", "", "2027", None)] == [None] * 4


def test_a_month_is_read_however_its_letters_are():
    assert language("en").find_month(" february 2027 ") == (2027, 2)


def test_a_currency_is_named_and_what_is_no_code_stays():
    assert [language("de").currency(code) for code in ("EUR", "shells")] == ["Euro", "shells"]
    assert language("en").currency("EUR") == "EUR"


def test_a_language_names_itself():
    assert [language(tag).name for tag in ("de", "fr", "ja", "pt-BR", "qzz")] == [
        "Deutsch", "Français", "日本語", "Português", "Qzz",
    ]  # fmt: skip


def test_nothing_of_this_computer_is_told_of_a_language():
    assert repr(Language("de")) == "Language('de')"
    assert language("de").digest != language("ja").digest
    assert language("en").digest == ""
