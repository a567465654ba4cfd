"""What is typed wrongly about rights and releases holds a piece and asks; nothing else of the record is lost."""

import dataclasses
import datetime as dt

import pytest

from archgen.config import Config, PortfolioSettings
from archgen.publication.decision import decide_publication
from archgen.records.reader import read_archive
from tests.builders import TODAY, paper_catalogue

NOTHING = ('""', '"   "', '"\\u0007\\u200b"')
STRANGE = (
    '"\\u0007\\u001b[31mred"', f'"{"x" * 100_000}"', '"разрешено"', '"夜の蛾"', '"<script>alert(1)</script>"',
    '"../../../etc/hosts"', '"/etc/hosts"', "3", "true", "[3]", "{ a = 1 }", "2026-01-01T10:00:00",
)  # fmt: skip
RECORD = """title = "Owl"
publish = true
client = "C-1"
[[sitting]]
date = 2026-03-14
hours = 3.5
[[photo]]
file = "photos/a.jpg"
stage = "healed"
[release]
{release}
[[reference]]
file = "references/a.jpg"
{reference}
"""
GOOD = {
    "release": {"status": '"granted"', "scope": '["portfolio"]'},
    "reference": {"license": '"client-supplied"', "allows": '["tattoo", "show-tattoo"]', "likeness": '"none"'},
}
# Of each field: whether nothing in it holds the piece, and which strange values mean something there all the same.
FIELDS = {
    "release.status": (True, ()),
    "release.scope": (True, ()),
    "release.date": (False, ()),
    "release.withdrawn": (False, ()),
    "release.expires": (False, ()),
    "release.file": (False, ()),
    "reference.license": (True, ()),
    "reference.allows": (True, ()),
    "reference.likeness": (False, ()),
    "reference.obtained": (False, ()),
    "reference.expires": (False, ()),
    "reference.digital_source": (False, ()),
    "reference.used": (False, ("true",)),
    "reference.made_from": (False, ()),
}


def written(field, value):
    tables = {table: dict(fields) for table, fields in GOOD.items()}
    if field:
        table, key = field.split(".")
        tables[table][key] = value
    return RECORD.format(**{table: "\n".join(f"{k} = {v}" for k, v in keys.items()) for table, keys in tables.items()})


@pytest.fixture
def decided(tmp_path):
    """Read a record from disk and decide, with the loosest settings there are."""

    def decide(text):
        folder = tmp_path / "pieces/owl"
        for file in ("photos/a.jpg", "references/a.jpg", "letter.pdf"):
            (folder / file).parent.mkdir(parents=True, exist_ok=True)
            (folder / file).write_text(file)
        (folder / "piece.toml").write_text(text, encoding="utf-8")
        archive = read_archive(tmp_path)
        settings = Config(root=tmp_path, portfolio=PortfolioSettings(require_rights=True))
        named = dataclasses.replace(
            paper_catalogue(tmp_path, *archive.pieces), findings=archive.findings, config=settings
        )
        return archive.pieces[0], decide_publication(archive.pieces[0], named)

    return decide


def kept(piece):
    record = piece.record
    return record is not None and (record.title, record.client, record.hours) == ("Owl", "C-1", 3.5)


def test_the_record_as_it_should_be_is_shown(decided):
    piece, publication = decided(written("", ""))
    assert kept(piece)
    assert publication.shown, publication.reasons


@pytest.mark.parametrize("value", NOTHING, ids=range(len(NOTHING)))
@pytest.mark.parametrize("field", FIELDS)
def test_nothing_in_a_field_counts_as_not_recorded(decided, field, value):
    piece, publication = decided(written(field, value))
    assert kept(piece)
    assert publication.shown is not FIELDS[field][0], publication.reasons


@pytest.mark.parametrize("value", STRANGE, ids=range(len(STRANGE)))
@pytest.mark.parametrize("field", FIELDS)
def test_what_is_not_understood_holds_the_piece_and_nothing_else_is_lost(decided, field, value):
    piece, publication = decided(written(field, value))
    assert kept(piece)
    assert publication.shown is (value in FIELDS[field][1])
    assert all(len(reason) < 1000 and reason.isprintable() for reason in publication.reasons)


@pytest.mark.parametrize("value", STRANGE[:7], ids=range(7))
@pytest.mark.parametrize("key", ["source", "creator", "ai_system", "ai_terms", "note"])
def test_any_text_may_stand_where_no_right_is_said(decided, key, value):
    piece, publication = decided(written(f"reference.{key}", value))
    assert kept(piece)
    assert publication.shown


@pytest.mark.parametrize("value", STRANGE[:7], ids=range(7))
def test_a_letter_by_a_strange_name_is_no_letter(decided, value):
    record = written("reference.license", '"permission"').replace("likeness =", f"permission = {value}\nlikeness =")
    piece, publication = decided(record)
    assert kept(piece)
    assert not publication.shown
    assert decided(record.replace(value, '"letter.pdf"'))[1].shown


def test_the_days_of_the_tests_are_in_the_past():
    assert dt.date(2026, 3, 14) < TODAY
