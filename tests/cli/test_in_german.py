"""The terminal in German: help, answers and errors of the same archive beside those in English."""

import re
import shutil

import pytest

from archgen.cli import COMMANDS
from archgen.commands.speaking import yes_or_no
from archgen.languages import house
from tests.cli.archive import Terminal
from tests.cli.full_archive import PRIVATE, write, write_archive

# What the artist wrote, and what is typed: no words of the program.
WRITTEN = {"barn", "owl", "moth", "koi", "needlework", "sample", "maker", "blackwork", "nightbird"}
LOT = f"{PRIVATE}-lot-3"
CLIENT = f"{PRIVATE}-client"


@pytest.fixture(scope="module")
def archives(tmp_path_factory):
    """Give the same archive twice, one of them in German."""
    folder = tmp_path_factory.mktemp("archives")
    english = write_archive(folder / "en" / "content")
    german = shutil.copytree(english, folder / "de" / "content")
    write(german, "archive.toml", '[archive]\nlanguage = "de"\n[portfolio]\ntitle = "Needlework"\n')
    return {"en": english, "de": german}


@pytest.fixture
def said(archives, monkeypatch, capsys):
    """Run a command on both archives, and give its exit codes and what it said, a German machine's in German."""

    def run(*words):
        ran = {}
        for tag, locale in (("en", "C"), ("de", "de_DE.UTF-8")):
            monkeypatch.setenv("LC_ALL", locale)
            monkeypatch.setenv("COLUMNS", "300")
            monkeypatch.chdir(archives[tag].parent)
            ran[tag] = Terminal(archives[tag], monkeypatch, capsys).run(*words)
        return ran["en"], ran["de"]

    return run


def sentences(text):
    """Give the words of each line of three or more, without paths, numbers, and what the artist wrote or typed."""
    found = set()
    for line in text.splitlines():
        words = (word.strip(".,:;()„“”\"'") for word in line.split())
        plain = [word for word in words if word.isalpha() and word.casefold() not in WRITTEN]
        if len(plain) > 2:
            found.add(" ".join(plain))
    return found


def left_in_english(english, german):
    return sentences(english.out + english.err) & sentences(german.out + german.err)


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help_is_german_to_the_last_option(said, command):
    english, german = said(*filter(None, (command,)), "--help")
    assert german.out.startswith("Aufruf: ")
    assert {said for said in left_in_english(english, german) if not said.startswith("archgen ")} == set()
    assert sentences(english.out)  # else nothing was compared


DONE = (
    ("build",),
    ("build",),  # says again what the first one said
    ("audit",),
    ("audit", "--due"),
    ("audit", "--propose"),
    ("find", "owl"),
    ("find", "wurst"),
    ("trace", LOT),
    ("trace", "ZZ-1"),
    ("trace", LOT, "--told", CLIENT, "--how", "phone", "--dry-run"),
    ("reprint", "owl", "--plan", "--fit", "260mm"),
    ("gauge", "owl", "--widths", "30mm,60mm"),
    ("values", "owl"),
    ("twins",),
    ("twins", "--images", "content/pieces"),
    ("quote", "--width", "60mm", "--height", "90mm"),
    ("stock",),
    ("stock", "owl", "--claim", "vegan"),
    ("sleeve", CLIENT, "--new", "30mm", "40mm"),
    ("client", CLIENT),
    ("client", CLIENT, "--removal"),
    ("seal",),
    ("seal", "--verify"),
    ("leaks",),
    ("upload", "online", "--dry-run"),
    ("languages",),
    ("undo", "--list"),
    ("ruler",),
    ("intake", "content/pieces/2026-05-05-moth/photos"),
    ("handover", "handed"),
    ("handover", "handed", "--verify"),
)


def test_what_commands_say_is_german_to_the_last_sentence(said):
    """One after the other, for some need what the one before built."""
    for words in DONE:
        english, german = said(*words)
        assert (words, german.code) == (words, english.code)
        assert (words, left_in_english(english, german)) == (words, set())


REFUSED = (
    ("wurst",),
    ("find",),
    ("find", "--wurst"),
    ("quote",),
    ("quote", "--width", "0mm", "--height", "9mm"),
    ("build", "--archive", "nowhere"),
    ("build", "--jobs", "many"),
    ("build", "--out", "content"),
    ("audit", "--piece", "nobody"),
    ("audit", "--code", "wurst"),
    ("reprint", "xyzzy"),
    ("reprint", "owl", "--region", "a", "b", "c", "d"),
    ("trace",),
    ("trace", LOT, "--told", CLIENT),
    ("gauge", "none.svg"),
    ("gauge", "owl", "--width", "9000mm"),
    ("values",),
    ("twins", "--same", "x"),
    ("stock", "owl"),
    ("sleeve", "C-99"),
    ("client", "C-99"),
    ("pack", "koi"),
    ("upload", "ftp://example.org"),
    ("upload", "sftp://", "--dry-run"),
    ("intake", "nowhere"),
    ("intake", "--table", "nowhere.csv"),
    ("undo", "77"),
    ("start", "content/archive.toml"),
    ("handover", "content"),
    ("twins", "--images", "nowhere"),
    ("ruler", "--measured", "9", "9"),
)


@pytest.mark.parametrize("words", REFUSED, ids=" ".join)
def test_errors_are_german_with_the_same_exit_code(said, words):
    english, german = said(*words)
    assert german.code == english.code != 0
    assert sentences(english.err)
    assert left_in_english(english, german) == set()


def test_numbers_have_a_comma_and_days_a_german_month(said):
    _, german = said("gauge", "owl")
    assert re.search(r"\d,\d+ mm", german.out)
    assert not re.search(r"\d\.\d+ mm", german.out)
    _, german = said("trace", LOT)
    assert "14. März 2026" in german.out


@pytest.mark.parametrize(
    ("tag", "typed", "is_yes"),
    [
        ("de", "j", True),
        ("de", "Ja", True),
        ("de", "y", True),
        ("de", "nein", False),
        ("de", "", False),
        ("en", "y", True),
        ("en", "", False),
    ],
)
def test_yes_is_said_in_the_language_of_the_house_and_in_english(monkeypatch, tag, typed, is_yes):
    house.speak(tag)
    asked = []
    monkeypatch.setattr(yes_or_no.click, "prompt", lambda question, **_: asked.append(question) or typed)
    assert yes_or_no.confirmed("Los?") is is_yes
    assert asked == ["Los? [j/N]" if tag == "de" else "Los? [y/N]"]


def test_ja_is_no_answer_to_an_english_question(monkeypatch, capsys):
    answers = ["ja", "n"]
    monkeypatch.setattr(yes_or_no.click, "prompt", lambda _, **__: answers.pop(0))
    assert not yes_or_no.confirmed("Go?")
    assert answers == []
    assert capsys.readouterr().out == "Error: invalid input\n"


def test_a_point_at_the_end_of_a_value_ends_the_sentence():
    house.speak("de")
    assert house.say("{name}: {line}.", name="Dauer", line="3 Std. 30 Min.") == "Dauer: 3 Std. 30 Min."
    assert house.say("{name}: {line}.", name="Dauer", line="lang") == "Dauer: lang."
