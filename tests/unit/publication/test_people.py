"""Every word for somebody who may be recognised asks, in subjects and styles; in titles only portraits do."""

import pytest

from archgen.publication.gate import PersonAnswer
from archgen.publication.people import person_answer, speaks_of_a_person
from archgen.records.model import Likeness, Reference, Release, ReleaseStatus
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


@pytest.mark.parametrize(
    ("likeness", "release", "answer"),
    [
        (Likeness.NONE, "granted", PersonAnswer.NOBODY),
        (Likeness.CLIENT, "granted", PersonAnswer.CLIENT),
        (Likeness.CLIENT, "not-asked", PersonAnswer.CLIENT_NOT_ASKED),
        (Likeness.CLIENT, "refused", PersonAnswer.CLIENT_NOT_ASKED),
        (Likeness.CONSENTED, "not-asked", PersonAnswer.CONSENTED),
        (Likeness.PUBLIC_FIGURE, "granted", PersonAnswer.PUBLIC_FIGURE),
        (Likeness.MINOR, "granted", PersonAnswer.MINOR),
        (Likeness.UNKNOWN, "granted", PersonAnswer.UNKNOWN),
    ],
)
def test_each_answer_about_a_person_has_its_row(likeness, release, answer):
    told, asked = Reference(likeness=likeness), Release(status=ReleaseStatus(release))
    for may_show in (True, False):
        assert person_answer(told, asked, may_show=may_show, understood=True) is answer
        assert person_answer(told, asked, may_show=may_show, understood=False) is PersonAnswer.NOT_UNDERSTOOD


def test_silence_is_a_question_only_where_something_speaks_of_a_person():
    for reference, may_show, answer in (
        (Reference(), True, PersonAnswer.SILENT),
        (Reference(), False, PersonAnswer.NOBODY),
        (Reference(made_from=("references/b.jpg",)), True, PersonAnswer.NOBODY),  # that one is asked itself
    ):
        assert person_answer(reference, Release(), may_show=may_show, understood=True) is answer


@pytest.mark.parametrize(
    ("word", "asks"), [("protrait", True), ("potrait", True), ("portrit", True), ("trait", False), ("parrot", False)]
)
def test_a_portrait_with_a_slip_asks(word, asks):
    assert speaks_of_a_person(make_record(title="Quiet", subjects=(word,), styles=("blackwork",))) is asks
