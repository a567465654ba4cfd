"""Stencils gauged once and kept; versions laid over each other."""

import hashlib

import msgspec
import pytest
from PIL import Image, ImageDraw, ImageOps

from archgen.errors import InputError
from archgen.picture_facts import gauge_stage
from archgen.picture_facts.gauge_facts import GaugeJob, PairJob, gauge_figures
from archgen.picture_facts.gauge_stage import compare_versions, gauge_stencils
from archgen.progress import Silent
from archgen.stencils.stroke_width import GaugeLimits
from archgen.stencils.versions.overlay import best_shift
from archgen.storage.cache import Cache
from archgen.wording.stencils.gauges import gauge_image
from tests.unit.images.pictures import encoded


def line_drawing():
    """Draw a frame of 24 px with one line of 12 px in it, 960 px wide: 1 mm and 0.5 mm when 40 mm wide."""
    picture = Image.new("L", (1000, 800), 255)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((20, 20, 979, 779), outline=0, width=24)
    pen.line((200, 150, 200, 650), fill=0, width=12)
    return picture


@pytest.fixture
def cache(tmp_path):
    return Cache(tmp_path / "cache")


def job_for(root, cache, picture, **changes):
    """Save a picture as an archive's stencil and make the job that gauges it."""
    root.mkdir(exist_ok=True)
    picture.save(root / "a.png")
    content = (root / "a.png").read_bytes()
    cut = picture.crop((20, 20, 980, 780))
    cut.save(root / "cut.png")
    design = cache.put_blob((root / "cut.png").read_bytes(), ".png")
    given = {"width_mm": 40.0, "stroke_mm": 0.6, "gap_mm": 1.0, **changes}
    return GaugeJob(path="a.png", digest=hashlib.sha256(content).hexdigest(), design=design, **given)


def gauge(root, cache, job):
    return gauge_stencils([job], root, cache, 1, Silent()).facts.get(job)


def test_lines_under_the_limit_are_counted_and_drawn(tmp_path, cache):
    job = job_for(tmp_path / "root", cache, line_drawing(), on_paper=True, girth_mm=200.0, bundle_mm=0.7)
    facts = gauge(tmp_path / "root", cache, job)
    assert facts.finest_mm == pytest.approx(0.5, abs=0.02)
    assert (facts.thin, facts.places[0].tag) == (1, "A")
    assert facts.places[0].x_mm == pytest.approx(7.5, abs=0.2)
    assert 0 < facts.thinner_than_bundle < 0.5
    assert all(cache.has_blob(blob) for blob in facts.blobs)
    assert len(facts.blobs) == 3


def test_a_mirrored_file_is_gauged_as_it_reads_on_skin(tmp_path, cache):
    job = job_for(tmp_path / "root", cache, ImageOps.mirror(line_drawing()), mirrored=True)
    assert gauge(tmp_path / "root", cache, job).places[0].x_mm == pytest.approx(7.5, abs=0.2)


def test_a_finer_file_gives_the_same_widths(tmp_path, cache):
    large = line_drawing().resize((3000, 2400), Image.Resampling.NEAREST)
    job = job_for(tmp_path / "root", cache, large)
    assert gauge(tmp_path / "root", cache, job).finest_mm == pytest.approx(0.5, abs=0.02)


def test_pages_and_terminal_say_the_same_of_the_same_file(tmp_path, cache):
    """A file finer than needed is gauged coarser; when only one of the two did that, they counted differently."""
    large = line_drawing().resize((3000, 2400), Image.Resampling.BICUBIC)
    job = job_for(tmp_path / "root", cache, large, width_mm=24.0, stroke_mm=0.4)
    facts = gauge(tmp_path / "root", cache, job)
    said = gauge_figures(gauge_image(tmp_path / "root" / "a.png", 24.0, GaugeLimits(stroke_mm=0.4)).gauge)
    assert {name: getattr(facts, name) for name in said.__struct_fields__} == msgspec.structs.asdict(said)
    assert facts.thin == 1


def test_nothing_is_gauged_twice(tmp_path, cache, monkeypatch):
    job = job_for(tmp_path / "root", cache, line_drawing())
    first = gauge(tmp_path / "root", cache, job)
    monkeypatch.setattr(gauge_stage, "_look", None)
    assert gauge(tmp_path / "root", cache, job) == first


@pytest.mark.parametrize("change", [{"width_mm": 41.0}, {"stroke_mm": 0.3}, {"gap_mm": 0.5}, {"digest": "other"}])
def test_another_width_limit_or_file_is_gauged_anew(tmp_path, cache, monkeypatch, change):
    job = job_for(tmp_path / "root", cache, line_drawing())
    gauge(tmp_path / "root", cache, job)
    asked = []
    monkeypatch.setattr(gauge_stage, "_look", lambda job, *_: asked.append(job) or refuse())

    def refuse():
        raise InputError("stop here")

    gauge(tmp_path / "root", cache, type(job)(**{**{f: getattr(job, f) for f in job.__struct_fields__}, **change}))
    assert len(asked) == 1


def test_a_stencil_that_cannot_be_read_is_left_out(tmp_path, cache):
    job = job_for(tmp_path / "root", cache, line_drawing())
    (tmp_path / "root" / "a.png").write_bytes(b"no picture")
    assert gauge(tmp_path / "root", cache, job) is None


@pytest.mark.parametrize("moved", [(0, 0), (60, 40), (120, 0)])
def test_a_part_is_laid_where_it_was_cut_from(moved):
    whole = line_drawing().crop((20, 20, 980, 780))
    ImageDraw.Draw(whole).ellipse((300, 200, 600, 420), outline=0, width=10)
    part = whole.crop((moved[0], moved[1], 700, 500))
    found = best_shift(whole, part, 96.0, part.width / 10)
    assert found == pytest.approx((moved[0] / 10, moved[1] / 10), abs=0.15)


def test_a_version_stored_mirrored_is_turned_over_first(tmp_path, cache):
    names = []
    for name, picture in (("a", line_drawing()), ("b", ImageOps.mirror(line_drawing()))):
        picture.crop((20, 20, 980, 780)).save(tmp_path / f"{name}.png")
        names.append(cache.put_blob((tmp_path / f"{name}.png").read_bytes(), ".png"))
    job = PairJob(*names, 50.0, 50.0, second_mirrored=True)
    facts = compare_versions([job], cache, 1, Silent())[job]
    assert (facts.right_mm, facts.down_mm) == pytest.approx((0, 0), abs=0.1)


def two_versions(cache, first, second):
    return PairJob(*(cache.put_blob(encoded(one, "PNG"), ".png") for one in (first, second)), 40.0, 40.0)


def hook():
    """A drawing that is not the same turned over."""
    picture = Image.new("L", (400, 500), 255)
    pen = ImageDraw.Draw(picture)
    pen.line((20, 20, 20, 480, 380, 480, 300, 300), fill=0, width=8)
    pen.ellipse((60, 60, 180, 240), outline=0, width=6)
    return picture


def test_two_versions_are_compared_line_by_line_and_shown_in_one_picture(tmp_path, cache):
    second = hook()
    ImageDraw.Draw(second).line((150, 400, 350, 400), fill=0, width=6)
    job = two_versions(cache, hook(), second)
    facts = compare_versions([job], cache, 1, Silent())[job]
    assert facts.changes.put_in_mm == pytest.approx(20, rel=0.1)
    assert facts.changes.taken_out_mm < 1
    assert not facts.turned_over
    (cache.blobs / facts.picture.blob).unlink()
    opened_again = Cache(tmp_path / "cache")
    assert compare_versions([job], opened_again, 1, Silent())[job] == facts
    assert (cache.blobs / facts.picture.blob).is_file()


def test_a_version_turned_over_is_told_from_another_drawing(cache):
    turned = two_versions(cache, hook(), ImageOps.mirror(hook()))
    other = two_versions(cache, hook(), line_drawing())
    found = compare_versions([turned, other], cache, 1, Silent())
    assert (found[turned].turned_over, found[other].turned_over) == (True, False)


def test_an_error_that_nobody_foresaw_is_told_and_keeps_no_other_from_being_gauged(tmp_path, cache, monkeypatch):
    root = tmp_path / "root"
    job = job_for(root, cache, line_drawing())

    def fail(*_):
        raise ZeroDivisionError

    monkeypatch.setattr(gauge_stage, "gauge_figures", fail)
    gauged = gauge_stencils([job], root, cache, 1, Silent())
    assert gauged.facts == {}
    assert [(found.code, found.place.file) for found in gauged.findings] == [("image.not-gauged", "a.png")]


def test_a_pair_that_cannot_be_compared_keeps_no_other_from_it(cache):
    whole = PairJob(*[cache.put_blob(encoded(line_drawing(), "PNG"), ".png")] * 2, 40.0, 40.0)
    gone = PairJob(whole.first, "gone.png", 40.0, 40.0)
    assert list(compare_versions([gone, whole], cache, 1, Silent())) == [whole]
