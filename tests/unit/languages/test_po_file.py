"""Catalogues of translated words, read from text."""

import pytest

from archgen.languages.po_file import read_po

HEADER = 'msgid ""\nmsgstr ""\n"Plural-Forms: nplurals=2; plural=(n > 1);\\n"\n\n'
PLURAL = 'msgid "%(number)s day"\nmsgid_plural "%(number)s days"\nmsgstr[0] "jour"\nmsgstr[1] "jours"\n'


def test_a_message_in_several_lines_with_escapes_is_one_text():
    words = read_po(
        HEADER + '#: views.py\n#, python-format\nmsgid ""\n"All "\n"work"\nmsgstr "Alle\\n\\"Arbeiten\\""\n'
    )
    assert words.gettext("All work") == 'Alle\n"Arbeiten"'


def test_a_context_tells_two_words_apart():
    words = read_po(HEADER + 'msgctxt "side"\nmsgid "left"\nmsgstr "links"\n\nmsgid "left"\nmsgstr "gegangen"\n')
    assert [words.pgettext("side", "left"), words.gettext("left")] == ["links", "gegangen"]
    assert [words.holds("side", "left"), words.holds("side", "right")] == [True, False]


def test_the_header_says_which_form_a_number_takes():
    words = read_po(HEADER + PLURAL)
    assert [words.ngettext("%(number)s day", "%(number)s days", n) for n in (0, 1, 2)] == ["jour", "jour", "jours"]


@pytest.mark.parametrize(
    "entry",
    [
        'msgid "Page"\nmsgstr ""\n',
        '#, fuzzy, python-format\nmsgid "Page"\nmsgstr "Blatt"\n',
        '#~ msgid "Page"\n#~ msgstr "Blatt"\n',
    ],
    ids=["empty", "unsure", "left over"],
)
def test_what_is_not_translated_for_sure_is_said_in_english(entry):
    assert read_po(HEADER + entry).gettext("Page") == "Page"


def test_a_plural_with_an_empty_form_is_said_in_english():
    words = read_po(HEADER + PLURAL.replace('"jours"', '""'))
    assert words.ngettext("%(number)s day", "%(number)s days", 1) == "%(number)s day"


def test_a_word_that_says_fuzzy_is_not_unsure():
    assert read_po(HEADER + 'msgid "fuzzy, Page"\nmsgstr "weich"\n').gettext("fuzzy, Page") == "weich"


def test_lines_may_end_as_on_windows():
    assert read_po((HEADER + 'msgid "Page"\nmsgstr "Seite"\n').replace("\n", "\r\n")).gettext("Page") == "Seite"
