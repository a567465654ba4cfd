"""What the client's release says about showing a piece: what was taken back or refused, on which days, and for what."""

import datetime as dt

import pytest

from archgen.publication.releases import has_ended, has_not_begun, is_withdrawn, refusal_words, release_reasons
from archgen.records.model import Release, ReleaseStatus

TODAY = dt.date(2026, 11, 25)
DAY = dt.timedelta(days=1)
PUBLIC = {"status": ReleaseStatus.GRANTED, "scope": ("portfolio",)}


@pytest.mark.parametrize(
    ("fields", "why"),
    [
        (PUBLIC, None),
        (PUBLIC | {"date": TODAY, "expires": TODAY}, None),
        (PUBLIC | {"date": TODAY + DAY}, "counts from 26 Nov 2026, not before"),
        (PUBLIC | {"expires": TODAY - DAY}, "ended on 24 Nov 2026"),
        (PUBLIC | {"withdrawn": dt.date(2026, 6, 1)}, "took the photo release back (1 Jun 2026)"),
        ({"status": ReleaseStatus.WITHDRAWN}, "took the photo release back (the day isn't recorded)"),
        ({"status": ReleaseStatus.REFUSED, "scope": ("portfolio",)}, "refused"),
        ({"status": ReleaseStatus.NOT_ASKED}, "hasn't been asked"),
        (PUBLIC | {"scope": ("print", "my website wall")}, 'names my website wall, print, not "portfolio"'),
        (PUBLIC | {"scope": ("print", "Portfolio")}, None),
        (PUBLIC | {"scope": ()}, "names no use"),
        (PUBLIC | {"scope": ("print",), "expires": TODAY - DAY}, "ended"),  # the day is said first
    ],
)
def test_a_release_keeps_a_piece_in_for_one_reason(fields, why):
    reasons = release_reasons(Release(**fields), TODAY)
    assert len(reasons) == (why is not None)
    assert all(why in reason for reason in reasons)


@pytest.mark.parametrize(
    ("fields", "held"),
    [
        ({"status": ReleaseStatus.NOT_ASKED}, False),
        ({"status": ReleaseStatus.NOT_ASKED, "scope": ("print",)}, True),
        ({"status": ReleaseStatus.NOT_ASKED, "expires": TODAY - DAY}, True),
        ({"status": ReleaseStatus.REFUSED}, True),
        ({"status": ReleaseStatus.GRANTED}, False),
    ],
)
def test_what_the_client_did_say_counts_where_no_release_is_required(fields, held):
    assert bool(release_reasons(Release(**fields), TODAY, required=False)) is held


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        (PUBLIC, None),
        ({"status": ReleaseStatus.NOT_ASKED}, None),
        (PUBLIC | {"date": TODAY + DAY}, None),  # nobody said no
        ({"status": ReleaseStatus.WITHDRAWN}, "whose client took the photo release back"),
        ({"status": ReleaseStatus.REFUSED}, "whose client refused a photo release"),
        (PUBLIC | {"expires": TODAY - DAY}, "whose photo release has ended"),
    ],
)
def test_a_refusal_is_told_of_another_piece(fields, words):
    assert refusal_words(Release(**fields), TODAY) == words


def test_a_release_counts_on_its_first_and_on_its_last_day():
    assert [has_ended(Release(expires=TODAY + n * DAY), TODAY) for n in (-1, 0, 1)] == [True, False, False]
    assert [has_not_begun(Release(date=TODAY + n * DAY), TODAY) for n in (-1, 0, 1)] == [False, False, True]
    assert (has_ended(Release(), TODAY), has_not_begun(Release(), TODAY)) == (False, False)


def test_a_release_is_taken_back_by_word_or_by_day():
    assert is_withdrawn(Release(status=ReleaseStatus.WITHDRAWN))
    assert is_withdrawn(Release(status=ReleaseStatus.GRANTED, withdrawn=TODAY))
    assert not is_withdrawn(Release(status=ReleaseStatus.GRANTED))
