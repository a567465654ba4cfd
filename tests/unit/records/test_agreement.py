"""What does not agree inside one record, and words brought to their canonical spelling."""

import math

import pytest

from archgen.findings import Severity
from archgen.records import model
from archgen.records.agreement import settle
from tests.builders import make_record


def codes(record):
    return [problem.code for problem in settle(record)[1]]


def stencil(**values):
    return model.Stencil(**{"file": f"stencils/{len(values)}{values.get('version')}.png", **values})


def test_a_sound_record_has_no_problem_and_stays_the_same():
    record = make_record()
    assert settle(record) == (record, [])


def test_a_trade_word_becomes_the_places_id():
    record, found = settle(make_record(placement=model.Placement(region="Left inner bicep")))
    assert (record.placement.region, record.placement.side, found) == ("upper-arm-inner", model.Side.LEFT, [])


def test_a_bare_word_is_asked_back_not_guessed():
    record, (found,) = settle(make_record(placement=model.Placement(region="arm")))
    assert record.placement.region is None
    assert (found.code, found.severity) == ("ambiguous-place", Severity.WARNING)
    assert "outer forearm" in found.problem
    assert "forearm-outer" in found.remedy


def test_an_unknown_place_gets_the_nearest():
    record, (found,) = settle(make_record(placement=model.Placement(region="forarm outer")))
    assert record.placement.region is None
    assert (found.code, found.severity) == ("unknown-word", Severity.WARNING)
    assert 'Nearest: "forearm-outer"' in found.remedy
    assert "shin" not in found.remedy


def test_two_sides_contradict():
    record = make_record(placement=model.Placement(region="left forearm-outer", side=model.Side.RIGHT))
    assert codes(record) == ["two-sides"]


@pytest.mark.parametrize(("text", "settled"), [("cc-by-4.0", "CC-BY-4.0"), ("own work", "own-work"), ("inc", "InC")])
def test_a_license_gets_its_canonical_spelling(text, settled):
    record, found = settle(make_record(reference=(model.Reference(license=text),)))
    assert (record.reference[0].license, found) == (settled, [])


def test_an_unknown_license_is_kept_and_asked_about():
    record, (found,) = settle(make_record(reference=(model.Reference(license="CC-BY-4"),)))
    assert record.reference[0].license == "CC-BY-4"
    assert (found.code, found.severity, found.key) == ("unknown-license", Severity.ERROR, "reference.0.license")
    assert found.problem.startswith('Licence "CC-BY-4": CC BY 4.0, own work, ')


def test_a_digital_source_may_be_written_as_its_address():
    address = "https://cv.iptc.org/newscodes/digitalsourcetype/trainedAlgorithmicMedia"
    record, found = settle(make_record(reference=(model.Reference(digital_source=address),)))
    assert (record.reference[0].digital_source, found) == ("trainedAlgorithmicMedia", [])


def test_a_misspelt_digital_source_is_an_error():
    record = make_record(reference=(model.Reference(digital_source="trainedAlgoritmicMedia"),))
    assert codes(record) == ["unknown-word"]


def test_an_unknown_scope_is_asked_about():
    assert codes(make_record(release=model.Release(scope=("portfolo",)))) == ["unknown-scope"]


def test_stencil_versions_are_unique():
    assert codes(make_record(stencil=(stencil(version=1), stencil(version=1, note="b")))) == ["version-twice"]


def test_a_parent_must_exist():
    assert codes(make_record(stencil=(stencil(version=2, parent=1),))) == ["no-such-parent"]


def test_a_version_is_not_its_own_ancestor():
    pair = (stencil(version=1, parent=2), stencil(version=2, parent=1))
    assert codes(make_record(stencil=pair)) == ["circular-parent", "circular-parent"]


def test_one_stencil_went_on_the_skin():
    pair = (stencil(version=1, applied=True), stencil(version=2, applied=True))
    assert codes(make_record(stencil=pair)) == ["two-applied"]


def test_one_photo_is_the_cover():
    pair = (model.Photo(file="photos/a.jpg", cover=True), model.Photo(file="photos/b.jpg", cover=True))
    assert codes(make_record(photo=pair)) == ["two-covers"]


def test_a_file_is_described_once():
    pair = (model.Photo(file="photos/a.jpg"), model.Photo(file="photos/a.jpg"))
    assert codes(make_record(photo=pair)) == ["file-twice"]


@pytest.mark.parametrize("point", [(-1.0, 2.0), (math.nan, 2.0), (math.inf, 2.0)])
def test_a_landmark_lies_in_the_picture(point):
    mark = model.Landmark(stencil=point, on="photos/a.jpg", at=(1, 1))
    assert codes(make_record(stencil=(stencil(version=1, landmark=(mark,)),))) == ["bad-landmark"]


def test_needles_warn_by_what_was_not_understood():
    _, found = settle(make_record(needle=(model.Needle(code="9XQ, 1307RL"),)))
    assert [(p.code, p.severity) for p in found] == [
        ("needle.unknown-word", Severity.WARNING),
        ("needle.disputed-diameter", Severity.NOTE),
    ]
