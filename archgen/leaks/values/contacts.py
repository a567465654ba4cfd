"""Mail addresses and telephone numbers in private texts, and the ways strangers would find them written.

Telephone numbers follow ITU-T E.164: at most 15 digits, of which one to three say the country; within it most countries
put a 0 in front. The words for @ and the dot are those in use in a few languages: common practice, no source.
"""

import re
from collections.abc import Iterator, Mapping
from itertools import product

_MAIL = re.compile(r"([\w.+-]+)@((?:[\w-]+\.)+[\w-]+)")
# Digits with what people put between them; a country's + or 00 in front, a trunk's (0) inside.
_PHONE = re.compile(r"(?<![\w+])\+?\d(?:[\s().\u00a0\u2007\u2009\u202f/\u2010-\u2015-]{0,3}\d){5,}(?!\w)")
_TRUNK = re.compile(r"\(\s*0\s*\)")
# Fewer digits are numbers of many other things; more than a whole number with 00 in front is none.
LEAST_DIGITS, MOST_DIGITS = 6, 17
_SURE_TAIL = 8
_LONGEST_COUNTRY = 3
_AT_AND_DOT = (
    ("at", "dot"), ("at", "."), ("", "dot"), ("at", "punkt"), ("ät", "punkt"), ("arroba", "punto"), ("arroba", "."),
    ("arrobase", "point"), ("arobase", "point"), ("chiocciola", "punto"), ("snabel a", "punkt"), ("snabela", "punkt"),
)  # fmt: skip


def mail_addresses(text: str) -> Iterator[str]:
    """Give the mail addresses in a text."""
    for match in _MAIL.finditer(text):
        yield match[0].strip(".")


def written_around(address: str) -> Iterator[str]:
    """Give the ways a mail address is written to hide it from machines, and itself backwards."""
    name, _, site = address.partition("@")
    for at, dot in _AT_AND_DOT:
        plain_site = site.replace(".", f" {dot} ")
        yield f"{name} {at} {plain_site}"
        if "." in name:
            yield f"{name.replace('.', f' {dot} ')} {at} {plain_site}"
    yield address[::-1]


def telephone_numbers(text: str) -> Iterator[str]:
    """Give the digits of the telephone numbers in a text; what stands together in a line counts as one."""
    for match in _PHONE.finditer(_TRUNK.sub(" ", text)):
        digits = "".join(re.findall(r"\d", match[0]))
        if len(digits) <= MOST_DIGITS:
            yield digits


def digits_by_ending(text: str) -> Mapping[str, set[str]]:
    """Give everything in a text that may be a telephone number, by its last digits.

    What stands together may be more than one number, such as two of them or a number and a year: every run of its
    groups counts.
    """
    found: dict[str, set[str]] = {}
    for match in _PHONE.finditer(_TRUNK.sub(" ", text)):
        groups = re.findall(r"\d+", match[0])
        for first in range(len(groups)):
            digits = ""
            for group in groups[first:]:
                digits += group
                if len(digits) > MOST_DIGITS:
                    break
                if len(digits) >= LEAST_DIGITS:
                    found.setdefault(digits[-LEAST_DIGITS:], set()).add(digits)
    return found


def is_same_number(one: str, other: str) -> bool:
    """Say whether two strings of digits are one telephone number, with or without its country and its trunk's digit."""
    if min(len(one.lstrip("0")), len(other.lstrip("0"))) < LEAST_DIGITS:
        return False
    # A zero in front may be the trunk's, or in some countries the number's own first digit.
    for a, b in product({one, one.lstrip("0")}, {other, other.lstrip("0")}):
        short, long = sorted((a, b), key=len)
        if long.endswith(short) and len(long) - len(short) <= _LONGEST_COUNTRY:
            return True
    # Countries whose trunk digit is no 0, such as 8: the subscriber's number is the same.
    return one[-_SURE_TAIL:] == other[-_SURE_TAIL:] and min(len(one), len(other)) > _SURE_TAIL
