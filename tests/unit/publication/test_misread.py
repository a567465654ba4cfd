"""Which mistakes in a record keep a piece or a photo in: those that may hide a release, a right or a choice."""

from types import SimpleNamespace

import pytest

from archgen.findings import Finding, Place, Severity
from archgen.publication.misread import (
    is_understood,
    is_unreachable,
    photos_not_understood,
    record_errors,
    release_trouble,
    right_is_understood,
    whole_record_trouble,
)

PIECE = SimpleNamespace(id="owl", folder="pieces/owl", toml="pieces/owl/piece.toml", record=object())
UNREAD = SimpleNamespace(id="owl", folder="pieces/owl", toml="pieces/owl/piece.toml", record=None)


def mistaken(key="", code="record.wrong-type", severity=Severity.ERROR, file=PIECE.toml):
    found = [Finding(code, severity, "owl", Place(file, 3), f"{key or code} is wrong.", "x.", key)]
    return SimpleNamespace(findings_of=lambda _: found)


@pytest.mark.parametrize(
    ("mistake", "counts"),
    [
        ({}, True),
        ({"code": "rights.no-evidence"}, True),
        ({"code": "release.empty-paper"}, True),
        ({"code": "rights.missing"}, False),
        ({"severity": Severity.WARNING}, False),
        ({"file": "pieces/owl/notes.md"}, False),
    ],
)
def test_errors_of_the_record_itself_count(mistake, counts):
    assert bool(list(record_errors(PIECE, mistaken(**mistake)))) is counts


@pytest.mark.parametrize(
    ("code", "unreachable"), [("record.unreadable", True), ("record.no-record", True), ("record.broken", False)]
)
def test_a_record_that_is_not_there_forbids_nothing(code, unreachable):
    assert is_unreachable(UNREAD, mistaken(code=code)) is unreachable
    assert not is_unreachable(PIECE, mistaken(code=code))


@pytest.mark.parametrize(
    ("key", "understood"),
    [
        ("reference.1", False),
        ("reference.1.license", False),
        ("reference.1.expires", False),
        ("reference.1.allows.0", False),
        *((f"reference.1.{name}", True) for name in ("file", "source", "creator", "permission", "likeness", "note")),
        ("reference.0.license", True),
        ("reference.11.license", True),
        ("reference", True),
    ],
)
def test_a_right_is_understood_when_nothing_of_it_is_wrong(key, understood):
    assert right_is_understood(1, PIECE, mistaken(key)) is understood


def test_one_key_is_understood_by_itself():
    assert not is_understood("publish", PIECE, mistaken("publish"))
    assert is_understood("publish", PIECE, mistaken("published"))


@pytest.mark.parametrize(
    ("key", "trouble"),
    [("release", True), ("release.scope", True), ("release.note", False), ("releases", False), ("title", False)],
)
def test_what_is_wrong_with_a_release_is_said(key, trouble):
    assert release_trouble(PIECE, mistaken(key)) == [f"{key} is wrong."] * trouble


@pytest.mark.parametrize(
    ("mistake", "trouble"),
    [
        ({}, True),
        ({"key": "reference"}, True),
        ({"key": "size.width"}, False),
        ({"key": "subjects"}, True),  # they may have spoken of a person
        ({"key": "styles.1"}, True),
        *(({"key": "size.width", "code": f"record.{code}"}, True) for code in ("broken", "read-as", "twice")),
        *(({"key": "size.width", "code": f"record.{code}"}, True) for code in ("no-value", "encoding")),
        ({"key": "relase", "code": "record.unknown-key"}, True),
        ({"key": "relase.status", "code": "record.unknown-key"}, True),
        ({"key": "release", "code": "record.unknown-key"}, True),
        *(
            ({"key": f"{table}.x", "code": "record.unknown-key"}, False)
            for table in ("reference", "release", "rights_override", "photo")
        ),
    ],
)
def test_a_mistake_that_may_have_hidden_a_release_or_a_right_keeps_all_in(mistake, trouble):
    assert bool(whole_record_trouble(PIECE, mistaken(**mistake))) is trouble


@pytest.mark.parametrize(
    ("file", "hides"),
    [
        ("pieces/owl", True),
        ("pieces/owl/references", True),
        ("pieces/owl/references/sub", True),
        ("pieces/owl/references2", False),
        ("pieces/owl/photos", False),
    ],
)
def test_a_folder_that_was_not_followed_may_hide_references(file, hides):
    found = whole_record_trouble(PIECE, mistaken(code="record.not-followed", file=file))
    assert found == [f"{file}, line 3: record.not-followed is wrong."] * hides
    for quiet in ({"severity": Severity.WARNING}, {"code": "image.damaged"}):
        assert whole_record_trouble(PIECE, mistaken(file=file, **{"code": "record.not-followed", **quiet})) == []


@pytest.mark.parametrize(
    ("mistake", "understood"),
    [
        ({"key": "photo.1"}, False),
        ({"key": "photo.1.publish"}, False),
        ({"key": "photo.1.file"}, False),
        ({"key": "photo.1.alt"}, True),
        ({"key": "photo.1.publsh", "code": "record.unknown-key"}, False),
        ({"key": "photo.11.publsh", "code": "record.unknown-key"}, True),
        ({"key": "photo.0.publish"}, True),
        *(
            ({"key": "photo.1.file", "code": f"record.{code}"}, True)
            for code in ("missing-file", "not-a-picture", "file-twice")
        ),
    ],
)
def test_a_photo_is_understood_when_its_choice_and_its_file_are(mistake, understood):
    assert (1 not in photos_not_understood(PIECE, mistaken(**mistake))) is understood
