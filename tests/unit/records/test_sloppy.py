"""Records as artists write them: all usable, every stencil prints, every doubt is asked once, nothing is guessed."""

import datetime as dt
from enum import Enum

import pytest

from archgen.config import PrinterSettings
from archgen.findings import Severity
from archgen.pieces.prints import WantedPrint, piece_job
from archgen.printing.stencil_plan import make_plan
from archgen.records.find import read_one
from archgen.records.reader import read_archive
from tests.cli.archive import draw_f
from tests.plain_words import assert_plain
from tests.sloppy_records import THIRTEEN

each = pytest.mark.parametrize("sloppy", THIRTEEN, ids=[one.folder[:12] for one in THIRTEEN])
# A photo that no record describes is not asked about its words.
NOT_OF_THE_WORDS = ("record.not-described",)


@pytest.fixture
def archive(tmp_path):
    for sloppy in THIRTEEN:
        folder = tmp_path / "pieces" / sloppy.folder
        draw_f(folder / "stencils" / "s.png")
        draw_f(folder / "photos" / "moon.jpg")
        (folder / "piece.toml").write_bytes(sloppy.text.encode())
    return tmp_path


def piece_of(archive, sloppy):
    read = read_archive(archive)
    (piece,) = (one for one in read.pieces if one.folder == f"pieces/{sloppy.folder}")
    return piece, [finding for finding in read.findings if finding.piece == piece.id]


def value_at(record, key):
    for step in key.split("."):
        record = record[int(step)] if step.isdecimal() else getattr(record, step)
    return record


def plain(value):
    if isinstance(value, Enum):
        return value.value
    return value.isoformat() if isinstance(value, dt.date) else value


def test_all_thirteen_are_there_under_ids_of_their_own(archive):
    pieces = read_archive(archive).pieces
    assert len({piece.id for piece in pieces}) == len(pieces) == 13
    assert all(piece.record is not None for piece in pieces)


@each
def test_what_is_sure_is_read_and_nothing_else_is_guessed(archive, sloppy):
    piece, _ = piece_of(archive, sloppy)
    assert {key: plain(value_at(piece.record, key)) for key in sloppy.reads} == sloppy.reads
    assert {one.key: one.text for one in piece.as_written} == sloppy.as_written


@each
def test_every_doubt_is_asked_once_in_plain_words(archive, sloppy):
    _, findings = piece_of(archive, sloppy)
    asked = [
        finding
        for finding in findings
        if finding.severity is not Severity.NOTE and not finding.code.startswith(NOT_OF_THE_WORDS)
    ]
    assert sorted(finding.key for finding in asked) == sorted(sloppy.asked)
    for finding in asked:
        assert_plain(finding.problem, finding.remedy)
        assert len(finding.problem) < 160


@each
def test_every_stencil_prints_at_its_size(archive, sloppy):
    piece, _ = piece_of(archive, sloppy)
    found = read_one(archive, piece.folder.removeprefix("pieces/"))
    job = piece_job(archive, found, WantedPrint(PrinterSettings(), dt.date(2026, 11, 29)))
    (drawing,) = make_plan(job).drawings
    assert drawing.width_mm == pytest.approx(sloppy.width)
