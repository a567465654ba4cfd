"""Which stencils are gauged, and with what their pieces record."""

import dataclasses

import msgspec
import pytest

from archgen.config import Limits
from archgen.picture_facts.gauge_facts import PairJob
from archgen.picture_facts.gauge_stage import GaugeResults
from archgen.pieces import gauging
from archgen.pieces.from_photos import FromPhotos
from archgen.progress import Silent
from archgen.records import model
from archgen.storage.cache import Cache
from tests.builders import make_catalogue, make_facts, make_piece, make_record, paper_catalogue


@pytest.fixture
def asked(tmp_path, monkeypatch):
    """Give a function that gauges the stencils of a record and gives what was asked of the picture stages."""

    def gauge(*stencils, facts=None, apart=(), **record):
        seen = {}

        def gauge_stencils(jobs, *_):
            seen["jobs"] = jobs
            return GaugeResults({job: f"gauge of {job.path}" for job in jobs[1:]}, ())

        def compare_versions(pairs, *_):
            seen["pairs"] = pairs
            return {pair: "shift" for pair in pairs if pair.second not in apart}

        monkeypatch.setattr(gauging, "gauge_stencils", gauge_stencils)
        monkeypatch.setattr(gauging, "compare_versions", compare_versions)
        piece = make_piece("owl", make_record(**{"stencil": stencils, **record}))
        catalogue = paper_catalogue(tmp_path, piece, model.Piece(id="broken", record=None))
        config = dataclasses.replace(catalogue.config, limits=Limits(stroke_mm=0.25, gap_mm=0.75))
        found = {
            path: msgspec.structs.replace(one, digest=path[-5:], print_copy=copy(path))
            for path, one in catalogue.facts.items()
        }
        catalogue = dataclasses.replace(catalogue, config=config, facts=found if facts is None else facts(found))
        seen["catalogue"] = gauging.gauge_archive(catalogue, Cache(tmp_path / "cache"), 1, Silent())
        return seen

    def copy(path):
        return msgspec.structs.replace(
            paper_catalogue(tmp_path).facts["pieces/2026-03-14-barn-owl/stencils/owl-1.png"].screen[0], blob=path[-5:]
        )

    return gauge


def stencil(number, width=60, **changes):
    width = None if width is None else model.Length(width)
    return model.Stencil(file=f"stencils/{number}.png", version=number, width=width, **changes)


def test_a_stencil_is_gauged_with_limits_needle_and_limb(asked):
    (job,) = asked(stencil(1, 62, mirrored=True))["jobs"]
    assert (job.path, job.digest, job.design) == ("pieces/owl/stencils/1.png", "1.png", "1.png")
    assert (job.width_mm, job.stroke_mm, job.gap_mm, job.mirrored) == (62.0, 0.25, 0.75, True)
    assert job.bundle_mm == pytest.approx(0.646, abs=1e-3)  # 1003RL
    assert (job.girth_mm, job.on_paper) == (268.0, True)


def test_only_the_applied_version_stands_on_the_limb_and_on_paper(asked):
    jobs = asked(stencil(1), stencil(2, applied=True))["jobs"]
    assert [(job.girth_mm, job.on_paper) for job in jobs] == [(None, False), (268.0, True)]


@pytest.mark.parametrize("girth", [29, 2001])
def test_a_girth_no_body_has_is_left_out(asked, girth):
    placement = model.Placement(region="forearm-outer", girth=model.Length(girth))
    assert asked(stencil(1), placement=placement)["jobs"][0].girth_mm is None


def test_without_a_needle_that_was_read_there_is_no_bundle(asked):
    assert asked(stencil(1), needle=(model.Needle(code="?"),))["jobs"][0].bundle_mm is None


@pytest.mark.parametrize(("width", "gauged"), [(None, False), (0.9, False), (1, True), (2000, True), (2000.1, False)])
def test_what_has_no_width_or_none_that_is_printed_is_not_gauged(asked, width, gauged):
    assert bool(asked(stencil(1, width))["jobs"]) is gauged


@pytest.mark.parametrize("lost", ["print_copy", "marks"])
def test_what_cannot_be_read_or_shows_no_drawing_is_not_gauged(asked, lost):
    def without(facts):
        return {path: msgspec.structs.replace(one, **{lost: None}) for path, one in facts.items()}

    assert asked(stencil(1), facts=without)["jobs"] == []
    assert asked(stencil(1), facts=lambda _: {})["jobs"] == []


def test_a_gauge_stands_under_its_picture_and_width(asked):
    seen = asked(stencil(1), stencil(2, 50))
    path = "pieces/owl/stencils/2.png"
    assert seen["catalogue"].gauges == {(path, 50.0): f"gauge of {path}"}


def test_versions_are_compared_with_the_one_they_were_made_from(asked):
    seen = asked(
        stencil(1), stencil(2, 50, parent=1, mirrored=True), stencil(3, parent=9), stencil(4, parent=4), stencil(5)
    )
    pair = PairJob("1.png", "2.png", 60.0, 50.0, False, True)
    assert seen["pairs"] == [pair]
    assert seen["catalogue"].overlays == {pair: "shift"}


@pytest.mark.parametrize("widths", [(None, 50), (60, None)])
def test_without_a_width_both_versions_count_as_equally_wide(asked, widths):
    (pair,) = asked(stencil(1, widths[0]), stencil(2, widths[1], parent=1))["pairs"]
    assert (pair.first_mm, pair.second_mm) == (100.0, 100.0)


def test_what_cannot_be_read_is_not_compared(asked):
    def without(name):
        return lambda facts: {path: one for path, one in facts.items() if not path.endswith(name)}

    for name in ("1.png", "2.png"):
        assert asked(stencil(1), stencil(2, parent=1), facts=without(name))["pairs"] == []


def test_limits_of_the_settings_are_those_of_the_gauge():
    limits = gauging.gauge_limits(Limits(stroke_mm=0.2, gap_mm=0.5))
    assert (limits.stroke_mm, limits.gap_mm) == (0.2, 0.5)


def test_versions_that_cannot_be_compared_are_named(asked):
    versions = stencil(1), stencil(2, parent=1), stencil(3, parent=2)
    assert asked(*versions)["catalogue"].findings == ()
    (found,) = asked(*versions, apart=["3.png"])["catalogue"].findings
    assert (found.code, found.piece) == ("image.not-compared", "owl")
    assert found.place.file.endswith("stencils/3.png")
    assert "stencils/2.png" in found.problem


def lay_job(tmp_path, **record):
    piece = make_piece("owl", make_record(**record))
    catalogue = make_catalogue(tmp_path, piece)
    return gauging.lay_job(piece, catalogue, FromPhotos())


FRESH = model.Photo(file="photos/fresh.jpg", stage=model.Stage.FRESH)
HEALED = model.Photo(file="photos/healed.jpg", stage=model.Stage.HEALED)
DRAWN = model.Stencil(
    file="stencils/1.png",
    applied=True,
    mirrored=True,
    width=model.Length(60),
    landmark=(
        model.Landmark(stencil=(10, 20), on="photos/healed.jpg", at=(30, 40)),
        model.Landmark(stencil=(11, 21), on="references/a.jpg", at=(31, 41)),
    ),
)


def test_the_fresh_photo_is_laid_on_the_healed_one_and_the_applied_stencil_on_both(tmp_path):
    job = lay_job(tmp_path, photo=(HEALED, FRESH), stencil=(DRAWN, model.Stencil(file="stencils/2.png")))
    assert len(job.photos) == 2
    assert job.photos[0] != job.photos[1]
    assert job.drawing.mirrored
    assert job.on_photos == ((), ((10.0, 20.0, 30.0, 40.0),))
    left, _, right, _ = make_facts("pieces/owl/stencils/1.png", tmp_path / "blobs").marks
    assert job.drawing_px_per_mm == pytest.approx((right - left) / 60)


def test_without_a_stencil_the_photos_are_laid_and_without_a_second_photo_the_stencil(tmp_path):
    assert lay_job(tmp_path, photo=(FRESH, HEALED), stencil=()).drawing is None
    assert len(lay_job(tmp_path, photo=(HEALED,), stencil=(DRAWN,)).photos) == 1
    assert lay_job(tmp_path, photo=(HEALED,), stencil=()) is None
    assert lay_job(tmp_path, photo=(), stencil=(DRAWN,)) is None
    unclear = (model.Stencil(file="stencils/1.png"), model.Stencil(file="stencils/2.png"))
    assert lay_job(tmp_path, photo=(HEALED,), stencil=unclear) is None
    unsized = msgspec.structs.replace(DRAWN, width=None)
    assert lay_job(tmp_path, photo=(HEALED,), stencil=(unsized,)).drawing_px_per_mm is None


def test_what_was_laid_is_found_again_by_the_piece(tmp_path, monkeypatch):
    piece = make_piece("owl", make_record(photo=(FRESH, HEALED), stencil=(DRAWN,)))
    catalogue = paper_catalogue(tmp_path, piece, make_piece("empty", make_record(photo=(), stencil=())))
    monkeypatch.setattr(gauging, "lay_pictures", lambda jobs, *_: dict.fromkeys(jobs, "laid"))
    laid = gauging.lay_archive(catalogue, None, 1, Silent())
    assert list(laid.laid.values()) == ["laid"]
    assert gauging.laid_of(piece, laid, FromPhotos()) == "laid"
    assert gauging.laid_of(piece, catalogue, FromPhotos()) is None
