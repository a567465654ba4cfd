"""What photos propose by their days: used on private pages, marked, and never a reason to show anything."""

import datetime as dt

import msgspec
import pytest

from archgen.catalogue import Catalogue
from archgen.pieces.survey import survey
from archgen.records.model import AsWritten, Length, Photo, Sitting, SittingKind, Size, Stage
from archgen.wording.pieces import finished_words, size_on_skin, stage_words
from tests.builders import make_piece, make_record, paper_catalogue

DAY = dt.date(2026, 3, 14)


def at(day, hour=12, minute=0):
    return dt.datetime.combine(DAY + dt.timedelta(days=day), dt.time(hour, minute))


@pytest.fixture
def overview(tmp_path):
    """Survey one piece whose photos were taken at such moments; None is a photo without one."""

    def make(moments, **record):
        as_written = record.pop("as_written", ())
        photos = record.pop("photo", tuple(Photo(file=f"photos/{n}.jpg") for n in range(len(moments))))
        piece = make_piece(
            record=make_record(**{"finished": None, "sitting": (), "healing": (), **record, "photo": photos}),
            as_written=as_written,
        )
        catalogue = paper_catalogue(tmp_path, piece)
        facts = dict(catalogue.facts)
        for number, moment in enumerate(moments):
            path = f"{piece.folder}/photos/{number}.jpg"
            facts[path] = msgspec.structs.replace(facts[path], taken=moment)
        values = {name: getattr(catalogue, name) for name in Catalogue.__dataclass_fields__}
        return survey(Catalogue(**{**values, "facts": facts})).overviews[piece.id]

    return make


def stages(overview):
    by_file = sorted(overview.photos.shown, key=lambda one: one.photo.file)
    return [one.stage.value if one.stage else None for one in by_file]


@pytest.mark.parametrize(
    ("moments", "record", "expected"),
    [
        ([at(-1), at(0), at(1), at(10), at(40)], {"finished": DAY}, ["in-progress", "fresh", "fresh", None, "healed"]),
        ([at(0, 12), at(0, 15, 45), at(0, 16)], {"finished": DAY}, ["in-progress", "fresh", "fresh"]),
        ([at(0), at(60)], {}, ["fresh", "healed"]),
        ([at(0, 12), at(0, 16)], {"sitting": (Sitting(date=DAY),)}, ["in-progress", "fresh"]),
        (
            [at(0), at(50), at(100)],
            {"sitting": (Sitting(date=DAY), Sitting(date=DAY + dt.timedelta(45), kind=SittingKind.TOUCH_UP))},
            ["fresh", None, "healed"],
        ),
        ([None, at(0)], {}, [None, "fresh"]),
        ([dt.datetime(1980, 1, 1), at(0)], {}, [None, "fresh"]),  # noqa: DTZ001 (a camera that was never set)
        ([at(4000), at(0)], {}, [None, "fresh"]),
    ],
)
def test_stages_follow_from_the_days(overview, moments, record, expected):
    assert stages(overview(moments, **record)) == expected


def test_a_stage_that_is_written_and_not_understood_is_not_guessed(overview):
    unclear = (AsWritten(key="photo.0.stage", text='"wip"'),)
    assert stages(overview([at(0), at(60)], as_written=unclear)) == [None, "healed"]


def test_the_day_is_that_of_the_first_photo_until_the_record_says_one(overview):
    proposed = overview([at(3), at(0), at(50)])
    assert (proposed.finished_on, finished_words(proposed)) == (DAY, "14 Mar 2026, from the photo")
    recorded = overview([at(3)], finished=dt.date(2026, 3, 1))
    assert (recorded.proposed.finished, finished_words(recorded)) == (None, "1 Mar 2026")
    assert overview([None]).finished_on is None


def test_a_healed_photo_is_no_day_of_work_and_a_fresh_one_is(overview):
    healed = Photo(file="photos/0.jpg", stage=Stage.HEALED)
    assert overview([at(0)], photo=(healed,)).finished_on is None
    fresh = Photo(file="photos/1.jpg", stage=Stage.FRESH)
    assert overview([at(0), at(7)], photo=(Photo(file="photos/0.jpg"), fresh)).finished_on == DAY + dt.timedelta(7)


def test_what_is_proposed_is_marked_and_stands_for_the_piece(overview):
    made = overview([at(0), at(60)])
    words = {stage_words(one) for one in made.photos.shown}
    assert words == {"Fresh, from the photo", "Healed, from the photo"}
    assert made.photos.cover.photo.file == "photos/1.jpg"
    assert made.photos.healed.days_after == 60
    assert not [due for due in made.follow_up.due if due.kind.value == "healed-photo"]
    recorded = overview([at(0)], photo=(Photo(file="photos/0.jpg", stage=Stage.FRESH),))
    assert {stage_words(one) for one in recorded.photos.shown} == {"Fresh"}


def test_a_proposed_stage_shows_no_picture(overview):
    for moments in ([at(0)], [at(0), at(60)]):
        made = overview(moments)
        assert made.photos.fresh is not None
        assert made.publication.photos == made.publication.sound_photos == ()
    shown = overview([at(0)], photo=(Photo(file="photos/0.jpg", stage=Stage.FRESH),))
    assert shown.publication.sound_photos


def test_the_side_that_is_not_recorded_follows_from_the_stencil(overview):
    made = overview([None], size=Size(width=Length(90)))
    assert size_on_skin(made, "mm") == "90 × 135 mm, height by the stencil"
    alone = overview([None], size=Size(width=Length(90)), stencil=())
    assert size_on_skin(alone, "mm") == "90 mm wide"
    assert size_on_skin(overview([None], size=Size()), "mm") is None
