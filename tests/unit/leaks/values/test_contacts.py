"""Telephone numbers and mail addresses, in the spellings of the world.

The judge of telephone numbers is the library phonenumbers, with an example of each kind from each country.
"""

import itertools

import phonenumbers
import pytest
from phonenumbers import PhoneNumberFormat, PhoneNumberType

from archgen.leaks.values.contacts import (
    LEAST_DIGITS,
    digits_by_ending,
    is_same_number,
    mail_addresses,
    telephone_numbers,
    written_around,
)
from archgen.leaks.values.spellings import spelled


def spellings(number):
    for form in ("E164", "INTERNATIONAL", "NATIONAL", "RFC3966"):
        yield phonenumbers.format_number(number, getattr(PhoneNumberFormat, form))


def is_found(recorded, met):
    near = digits_by_ending(f"call {met} at 9")
    numbers = list(telephone_numbers(recorded))
    return any(is_same_number(one, own) for own in numbers for one in near.get(own[-LEAST_DIGITS:], ()))


@pytest.mark.parametrize("region", sorted(phonenumbers.SUPPORTED_REGIONS))
@pytest.mark.parametrize("kind", [PhoneNumberType.FIXED_LINE, PhoneNumberType.MOBILE], ids=["fixed", "mobile"])
def test_a_number_written_one_way_is_found_written_another(region, kind):
    number = phonenumbers.example_number_for_type(region, kind)
    if number is None or len(phonenumbers.national_significant_number(number)) < LEAST_DIGITS:
        pytest.skip("no example, or a number too short to be looked for without its country")
    for recorded, met in itertools.permutations(spellings(number), 2):
        assert is_found(recorded, met), (recorded, met)


@pytest.mark.parametrize("region", ["SE", "DE", "US", "JP", "BR", "IN"])
def test_the_next_number_is_another(region):
    number = phonenumbers.example_number_for_type(region, PhoneNumberType.FIXED_LINE)
    for other in (number.national_number + 1, number.national_number + 100_000):
        near = phonenumbers.PhoneNumber(country_code=number.country_code, national_number=other)
        assert not any(is_found(a, b) for a in spellings(number) for b in spellings(near))


@pytest.mark.parametrize("text", ["2026-03-14", "57 x 88 mm", "1.5 2.5 3.5", "20260314120000123456", "page 7 of 12"])
def test_other_figures_are_no_telephone_number_of_anybody(text):
    assert not is_found("+46 70 123 45 67", text)


def test_mail_addresses_are_taken_out_of_a_text():
    assert list(mail_addresses("Anna <anna.s@mail.example.org>, or a+b@c.example.")) == [
        "anna.s@mail.example.org", "a+b@c.example"
    ]  # fmt: skip


@pytest.mark.parametrize(
    "met",
    [
        "anna.s (at) example.org", "anna.s [at] example [dot] org", "anna dot s AT example dot org",
        "anna.s@example dot org", "anna punkt s ät example punkt org", "anna.s arroba example punto org",
        "gro.elpmaxe@s.anna",
    ],
)  # fmt: skip
def test_an_address_written_around_is_one_of_its_spellings(met):
    joined = {spelled(text).joined for text in written_around("anna.s@example.org")}
    assert spelled(met).joined in joined
