"""The language of the house: where it comes from, and what is said in it."""

import pytest

from archgen.languages import house as house_module
from archgen.languages.house import VARIABLE, house, say, say_count, say_in, speak, speak_as_the_system, to_say
from archgen.languages.po_file import read_po

WORDS = """msgid ""
msgstr "Plural-Forms: nplurals=2; plural=(n != 1);\\n"

msgid "{piece} is {width:.1f} mm wide"
msgstr "{piece} ist {width:.1f} mm breit"

msgid "{number:,} piece in {folder}"
msgid_plural "{number:,} pieces in {folder}"
msgstr[0] "{number:,} Stück in {folder}"
msgstr[1] "{number:,} Stücke in {folder}"

msgctxt "ink"
msgid "open"
msgstr "angebrochen"
"""


@pytest.fixture
def german(monkeypatch):
    speak("de")
    monkeypatch.setitem(house().__dict__, "_words", read_po(WORDS))


def test_the_archive_says_what_is_spoken_and_a_choice_wins(monkeypatch):
    speak("de-AT")
    assert house().tag == "de-AT"
    monkeypatch.setenv(VARIABLE, "fr")
    speak("de")
    assert house().tag == "fr"


@pytest.mark.parametrize(
    ("set_to", "tag"),
    [
        ({"LC_ALL": "de_AT.UTF-8", "LANG": "fr_FR"}, "de-AT"),
        ({"LC_MESSAGES": "sv_SE@euro", "LANG": "fr_FR"}, "sv-SE"),
        ({"LANG": "ja_JP.UTF-8"}, "ja-JP"),
        ({"LANG": "C.UTF-8"}, "en"),
        ({"LC_ALL": "POSIX"}, "en"),
        ({}, "en"),
        ({"LANG": "../../etc"}, "en"),
    ],
)
def test_before_an_archive_is_known_the_system_is_listened_to(monkeypatch, set_to, tag):
    for name in house_module._LOCALE:
        monkeypatch.delenv(name, raising=False)
    for name, value in set_to.items():
        monkeypatch.setenv(name, value)
    speak_as_the_system()
    assert house().tag == tag


@pytest.mark.usefixtures("german")
def test_a_message_is_said_with_numbers_as_the_language_writes_them():
    assert say("{piece} is {width:.1f} mm wide", piece="v1.5", width=1234.5) == "v1.5 ist 1234,5 mm breit"
    assert say_count("{number:,} piece in {folder}", "{number:,} pieces in {folder}", 1, folder="a") == "1 Stück in a"
    assert say_count("{number:,} piece in {folder}", "{number:,} pieces in {folder}", 1234, folder="a.b") == (
        "1.234 Stücke in a.b"
    )
    assert say_in("ink", "open") == "angebrochen"


@pytest.mark.usefixtures("german")
def test_what_is_not_translated_is_said_in_english():
    assert say(to_say("{piece} has {what}"), piece="Owl", what="no release") == "Owl has no release"
    assert say_count("{number} line", "{number} lines", 2) == "2 lines"


def test_a_message_without_values_keeps_its_braces():
    assert say('write needle = {"9RL"}') == 'write needle = {"9RL"}'


def test_english_opens_no_catalogue(monkeypatch):
    monkeypatch.setattr("archgen.languages.language.spoken", lambda: pytest.fail("a catalogue was looked for"))
    house_module.language.cache_clear()
    speak("en")
    assert say("A {word}", word="word") == "A word"
