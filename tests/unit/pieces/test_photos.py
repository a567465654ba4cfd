"""The photos of a piece: their order, their days, and which stand for it."""

import datetime as dt

import msgspec
import pytest

from archgen.catalogue import Twins
from archgen.pieces.survey import survey
from archgen.records import model
from tests.builders import make_piece, make_record, paper_catalogue, paper_facts

FINISHED = dt.date(2026, 3, 14)
FRESH, HEALED, IN_PROGRESS = model.Stage.FRESH, model.Stage.HEALED, model.Stage.IN_PROGRESS


def photo(name, stage=None, day=None, **changes):
    taken = None if day is None else FINISHED + dt.timedelta(days=day)
    return model.Photo(file=f"photos/{name}.jpg", stage=stage, taken=taken, **changes)


def photos_of(tmp_path, *photos, found=(), record=None, facts=None, **changes):
    piece = make_piece(record=make_record(photo=photos, **(record or {})))
    piece = msgspec.structs.replace(piece, photos=(*piece.photos, *(f"{piece.folder}/photos/{n}.jpg" for n in found)))
    catalogue = paper_catalogue(tmp_path, piece, **changes)
    if facts is not None:
        catalogue.facts.clear()
        catalogue.facts.update(facts)
    return survey(catalogue).overviews[piece.id].photos


def names(photos):
    return [one.path.rpartition("/")[2].removesuffix(".jpg") for one in photos]


def name(one):
    return names([one])[0] if one else None


def test_stages_come_in_the_order_of_the_page(tmp_path):
    made = photos_of(tmp_path, photo("none"), photo("work", IN_PROGRESS), photo("old", HEALED), photo("new", FRESH))
    assert names(made.shown) == ["new", "old", "work", "none"]


def test_in_a_stage_the_cover_comes_first_then_by_day_and_what_is_not_to_be_shown_last(tmp_path):
    made = photos_of(
        tmp_path,
        photo("hidden", FRESH, 0, publish=False),
        photo("undated", FRESH),
        photo("third", FRESH, 3),
        photo("b-second", FRESH, 2),
        photo("a-second", FRESH, 2),
        photo("cover", FRESH, 9, cover=True),
    )
    assert names(made.shown) == ["cover", "a-second", "b-second", "third", "undated", "hidden"]


@pytest.mark.parametrize(("day", "after"), [(-1, None), (0, 0), (61, 61), (None, None)])
def test_days_are_counted_from_the_end_of_the_work(tmp_path, day, after):
    (one,) = photos_of(tmp_path, photo("a", HEALED, day)).shown
    assert one.days_after == after


def test_without_an_end_there_are_no_days(tmp_path):
    (one,) = photos_of(tmp_path, photo("a", HEALED, 3), record={"finished": None, "sitting": ()}).shown
    assert (one.taken, one.days_after) == (dt.date(2026, 3, 17), None)


def test_the_camera_dates_a_photo_whose_record_does_not(tmp_path):
    path = "pieces/2026-03-14-barn-owl/photos/a.jpg"
    facts = {path: msgspec.structs.replace(paper_facts(path), taken=dt.datetime(2026, 3, 20, 23, 59, tzinfo=dt.UTC))}
    (one,) = photos_of(tmp_path, photo("a", HEALED), facts=facts).shown
    assert (one.taken, one.days_after) == (dt.date(2026, 3, 20), 6)
    (one,) = photos_of(tmp_path, photo("a", HEALED, 1), facts=facts).shown
    assert one.days_after == 1


def test_one_fresh_and_one_healed_photo_stand_for_the_others(tmp_path):
    made = photos_of(tmp_path, photo("f2", FRESH, 2), photo("f1", FRESH, 1), photo("h", HEALED, 60, publish=False))
    assert (name(made.fresh), name(made.healed)) == ("f1", "h")


def test_what_cannot_be_read_stands_for_nothing(tmp_path):
    made = photos_of(tmp_path, photo("a", FRESH), photo("b", HEALED, cover=True), facts={})
    assert (made.fresh, made.healed, made.cover) == (None, None, None)
    assert names(made.shown) == ["a", "b"]
    assert [one.facts for one in made.shown] == [None, None]


@pytest.mark.parametrize(
    ("photos", "cover"),
    [
        ((photo("h", HEALED), photo("c", IN_PROGRESS, cover=True)), "c"),
        ((photo("w", IN_PROGRESS), photo("n"), photo("f", FRESH), photo("h", HEALED)), "h"),
        ((photo("w", IN_PROGRESS), photo("n"), photo("f", FRESH)), "f"),
        ((photo("w", IN_PROGRESS), photo("n")), "n"),
        ((photo("z", HEALED, 90), photo("a", HEALED, 30)), "z"),
        ((), None),
    ],
)
def test_the_cover_stands_for_the_piece_else_the_healed_work(tmp_path, photos, cover):
    assert name(photos_of(tmp_path, *photos).cover) == cover


def test_of_one_moment_the_best_frame_stands_for_the_piece(tmp_path):
    folder = "pieces/2026-03-14-barn-owl/photos"
    twins = Twins(moments=((f"{folder}/b.jpg", f"{folder}/a.jpg"),))
    made = photos_of(tmp_path, photo("a", HEALED), photo("b", HEALED), twins=twins)
    assert name(made.cover) == "b"
    assert {name(one): one.is_later_frame for one in made.shown} == {"a": True, "b": False}


def test_a_photo_of_the_folder_alone_is_there_and_said_to_be_so(tmp_path):
    made = photos_of(tmp_path, photo("a", FRESH), found=("b",))
    assert [(name(one), one.is_described) for one in made.shown] == [("a", True), ("b", False)]


def test_why_a_photo_is_kept_out_is_said_where_its_piece_is_shown(tmp_path):
    shown = photos_of(tmp_path, photo("a", FRESH), photo("b", FRESH, publish=False))
    assert [bool(one.kept_out) for one in shown.shown] == [False, True]
    kept = photos_of(tmp_path, photo("a", FRESH), photo("b", FRESH, publish=False), record={"publish": False})
    assert [one.kept_out for one in kept.shown] == ["", ""]


def test_a_broken_piece_has_the_photos_of_its_folder(tmp_path):
    broken = model.Piece(id="broken", record=None, photos=("pieces/broken/photos/a.jpg",))
    made = survey(paper_catalogue(tmp_path, broken)).overviews["broken"].photos
    assert [(name(one), one.is_described) for one in made.shown] == [("a", False)]
    assert name(made.cover) == "a"
