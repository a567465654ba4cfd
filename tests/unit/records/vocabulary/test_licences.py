"""The words a right is recorded with."""

import pytest
from packaging.licenses import canonicalize_license_expression

from archgen.records.vocabulary.licences import (
    PLAIN_WORDS,
    RIGHTS_STATEMENTS,
    LicenseKind,
    known_license,
    license_url,
    license_words,
    nearest_license,
)


@pytest.mark.parametrize(
    ("text", "license_id", "words", "url"),
    [
        ("CC-BY-4.0", "CC-BY-4.0", "CC BY 4.0", "https://creativecommons.org/licenses/by/4.0/"),
        ("cc-by-nc-sa-3.0-de", "CC-BY-NC-SA-3.0-DE", "CC BY-NC-SA 3.0 DE", "https://creativecommons.org/licenses/by-nc-sa/3.0/de/"),
        ("CC BY 4.0", "CC-BY-4.0", "CC BY 4.0", "https://creativecommons.org/licenses/by/4.0/"),
        ("CC BY-NC ND 4.0", "CC-BY-NC-ND-4.0", "CC BY-NC-ND 4.0", "https://creativecommons.org/licenses/by-nc-nd/4.0/"),
        ("https://creativecommons.org/licenses/by-sa/4.0/deed.en", "CC-BY-SA-4.0", "CC BY-SA 4.0", "https://creativecommons.org/licenses/by-sa/4.0/"),
        ("CC0", "CC0-1.0", "CC0 1.0", "https://creativecommons.org/publicdomain/zero/1.0/"),
        ("https://creativecommons.org/publicdomain/zero/1.0/", "CC0-1.0", "CC0 1.0", "https://creativecommons.org/publicdomain/zero/1.0/"),
        ("CC-PDM-1.0", "CC-PDM-1.0", "Public Domain Mark 1.0", "https://creativecommons.org/publicdomain/mark/1.0/"),
        ("InC", "InC", "in copyright", "http://rightsstatements.org/vocab/InC/1.0/"),
        ("https://rightsstatements.org/page/NoC-US/1.0/?language=en", "NoC-US", "no copyright in the United States", "http://rightsstatements.org/vocab/NoC-US/1.0/"),
        ("Own Work", "own-work", "own work", None),
        ("mit", "MIT", "MIT", "https://spdx.org/licenses/MIT.html"),
        ("LicenseRef-studio", "LicenseRef-studio", "LicenseRef-studio", None),
    ],
)  # fmt: skip
def test_known_rights(text, license_id, words, url):
    assert known_license(text).id == license_id
    assert (license_words(text), license_url(text)) == (words, url)


@pytest.mark.parametrize(
    "text", ["", "CC-BY", "CC BY", "CC-BY-9.0", "permision", "(", "somebody's", "CC-BY-4.0 OR", "\x00"]
)
def test_what_is_no_right_is_not_guessed(text):
    assert known_license(text) is None
    assert (license_words(text), license_url(text)) == (text, None)


@pytest.mark.parametrize(
    ("text", "near"),
    [
        ("CC-BY", "CC-BY-4.0"),
        ("permision", "permission"),
        ("ownwork", "own-work"),
        ("InC-EDUC", "InC-EDU"),
        ("x", None),
    ],
)
def test_the_nearest_word_is_offered(text, near):
    assert nearest_license(text) == near


# The SPDX license list as the packaging library carries it.
@pytest.mark.parametrize("terms", ["BY", "BY-SA", "BY-ND", "BY-NC", "BY-NC-SA", "BY-NC-ND"])
@pytest.mark.parametrize("version", ["1.0", "2.0", "2.5", "3.0", "4.0"])
def test_creative_commons_ids_are_in_the_spdx_list(terms, version):
    known = known_license(f"cc-{terms.lower()}-{version}")
    assert known.id == canonicalize_license_expression(f"cc-{terms}-{version}")
    assert (known.kind, known.terms, known.version) == (LicenseKind.CREATIVE_COMMONS, tuple(terms.split("-")), version)


# RightsStatements.org, data model 1.0: twelve statements.
def test_rights_statements_are_the_twelve():
    assert set(RIGHTS_STATEMENTS) == {
        "InC", "InC-OW-EU", "InC-EDU", "InC-NC", "InC-RUU", "NoC-CR", "NoC-NC", "NoC-OKLR", "NoC-US",
        "CNE", "UND", "NKC",
    }  # fmt: skip
    for statement in RIGHTS_STATEMENTS:
        assert known_license(statement.lower()).id == statement


def test_plain_words_mean_themselves():
    assert [known_license(word).id for word in PLAIN_WORDS] == list(PLAIN_WORDS)
