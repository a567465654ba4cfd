"""The catalogues of words and the facts of each language beside Babel, which carries the Unicode CLDR.

Checked by Babel: placeholders, numbers of plural forms, syntax. Rules of plurals: CLDR, "Language Plural Rules". Tags:
BCP 47 as Babel reads them.
"""

import datetime as dt
import re

import pytest
from babel import Locale
from babel.dates import format_skeleton
from babel.messages.checkers import checkers
from babel.numbers import format_decimal, get_currency_name
from babel.units import format_unit

from archgen.languages.language import language, spoken
from release.take_words import WORDS, catalogue, messages, wanted

LANGUAGES = tuple(spoken())


@pytest.fixture(scope="module")
def said():
    """All that the program says by itself."""
    return messages()


def of(tag):
    return [one for one in catalogue(WORDS / f"{tag}.po") if one.id]


def test_five_languages_are_spoken_beside_english():
    assert LANGUAGES == ("de", "es", "fr", "ja", "sv")


@pytest.mark.parametrize("tag", LANGUAGES)
def test_every_word_is_translated_and_no_other(said, tag):
    """In German all; in the others what is on public pages and sheets, and whatever else somebody translated."""
    found = {(one.context, one.id): one.string for one in of(tag)}
    due = {(one.context, one.id) for one in wanted(said, tag)}
    assert found.keys() >= due
    assert found.keys() <= {(one.context, one.id) for one in said}
    texts = {key: string if isinstance(string, tuple) else (string,) for key, string in found.items()}
    assert [key for key, forms in texts.items() if not all(forms)] == []
    assert [one.id for one in of(tag) if one.fuzzy] == []


def test_a_word_said_in_two_ways_has_one_form_of_values(said):
    """Templates and public pages write %(name)s, everything else {name}; never both."""
    both = [one.id for one in said if "%(" in str(one.id) and re.search(r"(?<!%)\{\w*\}", str(one.id))]
    assert both == []


@pytest.mark.parametrize("tag", LANGUAGES)
def test_babel_finds_nothing_wrong_with_a_catalogue(tag):
    words = catalogue(WORDS / f"{tag}.po")
    assert checkers  # which Babel runs over every message
    assert [(one.id, error) for one, errors in words.check() for error in errors] == []


def placeholders(text):
    return set(re.findall(r"%\(\w+\)s|\{\w+(?=[^{}]*\})", text))


@pytest.mark.parametrize("tag", LANGUAGES)
def test_a_translation_has_the_very_placeholders_of_its_message(tag):
    """Babel lets a form of a plural leave its number out; here every form says what the English one does."""
    for one in of(tag):
        texts = one.string if isinstance(one.string, tuple) else (one.string,)
        single, *many = (placeholders(text) for text in ((one.id,) if isinstance(one.id, str) else one.id))
        first, *others = (placeholders(text) for text in texts)
        assert first in (single, *many), one.id
        assert others == many * len(others), one.id


@pytest.mark.parametrize("tag", LANGUAGES)
def test_our_reader_reads_what_babel_reads(tag):
    ours = language(tag)
    for one in of(tag):
        if isinstance(one.id, tuple):
            read = [ours._words.ngettext(*one.id, number) for number in (1, 2, 10**6)]
            assert set(read) == set(one.string)
        else:
            assert (ours.pgettext(one.context, one.id) if one.context else ours.gettext(one.id)) == one.string


@pytest.mark.parametrize("tag", LANGUAGES)
def test_numbers_take_the_form_that_the_cldr_says(tag):
    locale, words = Locale(tag), language(tag)._words
    forms = [form for form in ("one", "many", "other") if form in {*locale.plural_form.rules, "other"}]
    for number in (*range(200), 10**6, 10**6 + 1):
        assert forms[words.plural(number)] == locale.plural_form(number)


@pytest.mark.parametrize("tag", LANGUAGES)
def test_months_are_written_as_the_cldr_says(tag):
    for month in range(1, 13):
        assert language(tag).month(2027, month) == format_skeleton("yMMMM", dt.date(2027, month, 1), locale=tag)


@pytest.mark.parametrize("tag", LANGUAGES)
def test_lengths_and_times_are_written_as_the_cldr_says(tag):
    ours = language(tag)
    for millimetres in (62, 100, 7.5):
        for units, name, factor in (("mm", "millimeter", 1), ("cm", "centimeter", 10)):
            length = format_unit(round(millimetres / factor, 1), f"length-{name}", "short", locale=tag)
            assert ours.size(millimetres, None, units) == ours.gettext("%(length)s wide") % {"length": length}
    for hours in range(1, 13):
        assert ours.hours(hours) == format_unit(hours, "duration-hour", "short", locale=tag)
        assert ours.hours(hours / 60) == format_unit(hours, "duration-minute", "short", locale=tag)
    assert ours.size(63.5, 50.8, "in") == format_unit(2, "length-inch", "short", locale=tag).replace(
        "2", f"{format_decimal(2.5, locale=tag)} × 2"
    )


@pytest.mark.parametrize("tag", LANGUAGES)
def test_currencies_are_named_as_prices_are_in_them(tag):
    for code in ("EUR", "SEK", "CHF", "JPY", "GBP", "PLN"):
        assert language(tag).currency(code) == get_currency_name(code, count=1000, locale=tag)


def test_languages_name_themselves_and_say_how_they_are_written():
    for tag in ("de", "fr", "ja", "sv", "es", "en", "ar", "he", "fa", "ur", "nl", "pl"):
        locale = Locale.parse(tag)
        assert language(tag).name.casefold() == locale.get_display_name().casefold()
        assert language(tag).is_rtl == (locale.text_direction == "rtl")
