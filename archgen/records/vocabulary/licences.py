"""The words a right may be recorded with: SPDX ids, rightsstatements.org ids and archgen's plain words.

Says what a word means and where its text stands; what may be done with a picture is decided elsewhere.
Sources: SPDX License List (through the `packaging` library, which carries all its ids); RightsStatements.org data
model 1.0; Creative Commons addresses as each deed states them. A record of what was told, not a legal opinion.
"""

import re
from enum import Enum
from functools import lru_cache

from packaging.licenses import InvalidLicenseExpression, canonicalize_license_expression

from archgen.languages.house import say_in
from archgen.toml.problem import nearest
from archgen.values.frozen import Value


class LicenseKind(Enum):
    """Which list a word is from."""

    CREATIVE_COMMONS = "Creative Commons licence"
    PUBLIC_DOMAIN = "public domain"
    OTHER_SPDX = "SPDX licence"
    RIGHTS_STATEMENT = "rights statement"
    PLAIN = "plain word"


class License(Value, frozen=True):
    """A known right.

    Attributes:
        id: The canonical spelling.
        words: For people, such as "CC BY 4.0".
        url: Where its text stands; None for plain words.
        terms: Of a Creative Commons licence, its conditions, such as ("BY", "NC").
        version: Of a Creative Commons licence, such as "4.0".
        port: Of a Creative Commons licence adapted to a country, such as "DE".
    """

    id: str
    kind: LicenseKind
    words: str
    url: str | None = None
    terms: tuple[str, ...] = ()
    version: str | None = None
    port: str | None = None


PLAIN_WORDS = {
    "own-work": "own work",
    "permission": "written permission",
    "commissioned": "commissioned",
    "client-supplied": "supplied by the client, nothing in writing",
    "stock": "paid licence",
    "all-rights-reserved": "all rights reserved",
    "unknown": "not known",
}
# RightsStatements.org 1.0, http://rightsstatements.org/vocab/<id>/1.0/
RIGHTS_STATEMENTS = {
    "InC": "in copyright",
    "InC-OW-EU": "in copyright, EU orphan work",
    "InC-EDU": "in copyright, educational use allowed",
    "InC-NC": "in copyright, non-commercial use allowed",
    "InC-RUU": "in copyright, rights holder not to be found",
    "NoC-CR": "no copyright, restricted by contract",
    "NoC-NC": "no copyright, non-commercial use only by contract",
    "NoC-OKLR": "no copyright, other legal restrictions",
    "NoC-US": "no copyright in the United States",
    "CNE": "copyright not evaluated",
    "UND": "copyright undetermined",
    "NKC": "no known copyright",
}
_PUBLIC_DOMAIN = {
    "CC0-1.0": ("CC0 1.0", "https://creativecommons.org/publicdomain/zero/1.0/"),
    "CC-PDM-1.0": ("Public Domain Mark 1.0", "https://creativecommons.org/publicdomain/mark/1.0/"),
    "CC-PDDC": ("public domain dedication", "https://creativecommons.org/licenses/publicdomain/"),
    "PDDL-1.0": ("PDDL 1.0", "https://opendatacommons.org/licenses/pddl/1-0/"),
}
# What pictures are found under: offered when a word is misspelt. Most of the SPDX list is for software.
_OFFERED = (
    "CC-BY-4.0", "CC-BY-SA-4.0", "CC-BY-ND-4.0", "CC-BY-NC-4.0", "CC-BY-NC-SA-4.0", "CC-BY-NC-ND-4.0",
    "CC-BY-3.0", "CC-BY-SA-3.0", "CC-BY-2.0", "CC-BY-SA-2.0", *_PUBLIC_DOMAIN, *RIGHTS_STATEMENTS, *PLAIN_WORDS,
)  # fmt: skip
_CC = re.compile(r"CC-(?P<terms>(?:BY|NC|ND|SA)(?:-(?:NC|ND|SA))*)-(?P<version>\d\.\d)(?:-(?P<port>[A-Z]+))?")
_CC_URL = re.compile(
    r"https?://(?:www\.)?creativecommons\.org/(?:licenses/(?P<terms>[a-z-]+)|publicdomain/(?P<free>zero|mark))"
    r"/(?P<version>\d\.\d)(?:/(?P<port>[a-z]+))?(?:/(?:deed|legalcode)[\w.-]*)?/?",
    re.IGNORECASE,
)
_STATEMENT_URL = re.compile(r"https?://rightsstatements\.org/(?:vocab|page)/([A-Za-z-]+)/1\.0/?(?:\?.*)?")


@lru_cache(maxsize=1024)
def known_license(text: str) -> License | None:
    """Give the right a word stands for, capitals aside; None when it is not known.

    Also accepted: "CC BY 4.0" with spaces, and the address of a Creative Commons deed or a rights statement.
    """
    word = text.strip()
    plain = re.sub(r"[\s_]+", "-", word).lower()
    if plain == "cc0":  # there is one version only
        word = "CC0-1.0"
    if plain in PLAIN_WORDS:
        return License(plain, LicenseKind.PLAIN, PLAIN_WORDS[plain])
    statement = _STATEMENT_URL.fullmatch(word)
    for key, words in RIGHTS_STATEMENTS.items():
        if key.lower() in (plain, statement[1].lower() if statement else None):
            url = f"http://rightsstatements.org/vocab/{key}/1.0/"
            return License(key, LicenseKind.RIGHTS_STATEMENT, words, url)
    return _spdx_license(_id_of_deed(word) or re.sub(r"(?i)^(cc)[\s_]+|(?<=[\w.])[\s_]+(?=\w)", _join, word))


def _join(match: re.Match[str]) -> str:
    return f"{match[1]}-" if match[1] else "-"


def _id_of_deed(url: str) -> str | None:
    """Turn the address of a Creative Commons deed into its SPDX id."""
    match = _CC_URL.fullmatch(url)
    if match is None:
        return None
    if match["free"]:
        return "CC0-1.0" if match["free"].lower() == "zero" else "CC-PDM-1.0"
    port = f"-{match['port']}" if match["port"] else ""
    return f"CC-{match['terms']}-{match['version']}{port}".upper()


def _spdx_license(text: str) -> License | None:
    try:
        spdx = str(canonicalize_license_expression(text))
    except (InvalidLicenseExpression, ValueError):
        # The library's list may be older than the Public Domain Mark's place in it (SPDX 3.26).
        spdx = next((key for key in _PUBLIC_DOMAIN if key.lower() == text.lower()), "")
        if not spdx:
            return None
    if spdx in _PUBLIC_DOMAIN:
        words, url = _PUBLIC_DOMAIN[spdx]
        return License(spdx, LicenseKind.PUBLIC_DOMAIN, words, url)
    match = _CC.fullmatch(spdx)
    if match is None:
        has_page = not spdx.startswith("LicenseRef-")
        return License(
            spdx, LicenseKind.OTHER_SPDX, spdx, f"https://spdx.org/licenses/{spdx}.html" if has_page else None
        )
    terms, version, port = match["terms"], match["version"], match["port"]
    url = f"https://creativecommons.org/licenses/{terms.lower()}/{version}/" + (f"{port.lower()}/" if port else "")
    words = f"CC {terms} {version}" + (f" {port}" if port else "")
    return License(spdx, LicenseKind.CREATIVE_COMMONS, words, url, tuple(terms.split("-")), version, port)


def nearest_license(text: str) -> str | None:
    """Give the word probably meant, among those pictures are found under."""
    return nearest(text, _OFFERED)


def license_words(text: str) -> str:
    """Write a recorded right in the language of the house: "CC BY 4.0"; an unknown word stays as it is."""
    known = known_license(text)
    return say_in("licence", known.words) if known else text


def plain_license_words(text: str) -> str:
    """Write a recorded right in English."""
    known = known_license(text)
    return known.words if known else text


def license_url(text: str) -> str | None:
    """Give where the text of a recorded right stands."""
    known = known_license(text)
    return known.url if known else None
