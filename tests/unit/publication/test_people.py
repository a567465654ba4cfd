"""Every word for somebody who may be recognised asks, in subjects and styles; in titles only portraits do."""

import pytest

from archgen.publication.people import speaks_of_a_person
from tests.builders import make_record

# Written down a second time on purpose: a word that is lost would publish a person.
PORTRAITS = "portrait portraits self-portrait selfie"
PEOPLE = (
    "face faces person people man men woman women boy boys girl girls child children kid kids baby babies toddler lady "
    "gentleman bride groom couple family mother father mum mom dad parents son daughter brother sister twins "
    "grandmother grandfather grandma grandpa granny husband wife celebrity actor actress singer musician athlete "
    "footballer boxer"
)


@pytest.mark.parametrize("key", ["subjects", "styles"])
def test_each_word_for_a_person_asks(key):
    for word in f"{PORTRAITS} {PEOPLE}".split():
        assert speaks_of_a_person(make_record(title="Quiet", **{key: (f"the {word.title()}, seated",)})), word


def test_in_a_title_only_portraits_ask():
    plain = {"subjects": ("moth",), "styles": ("blackwork",)}
    assert all(speaks_of_a_person(make_record(title=f"A {word}", **plain)) for word in PORTRAITS.split())
    assert not any(speaks_of_a_person(make_record(title=f"A {word}", **plain)) for word in PEOPLE.split())
