"""What is typed wrongly about rights and releases holds a piece and asks; nothing else of the record is lost."""

import dataclasses
import datetime as dt
import tomllib

import pytest

from archgen.config import Config, PortfolioSettings
from archgen.publication.decision import decide_publication
from archgen.records.reader import read_archive
from archgen.toml.problem import shown
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
# The words that decide, each with the strange values that mean something there all the same.
FIELDS = {
    "release.status": (),
    "release.scope": (),
    "release.date": (),
    "release.withdrawn": (),
    "release.expires": (),
    "release.file": (),
    "reference.license": (),
    "reference.allows": (),
    "reference.likeness": (),
    "reference.obtained": (),
    "reference.expires": (),
    "reference.digital_source": (),
    "reference.used": ("true",),
    "reference.made_from": (),
}
SETTINGS = PortfolioSettings()
LISTS = ("release.scope", "reference.allows", "reference.made_from")


def written(field, value):
    tables = {table: dict(fields) for table, fields in GOOD.items()}
    if field:
        table, key = field.split(".")
        tables[table][key] = value
    return RECORD.format(**{table: "\n".join(f"{k} = {v}" for k, v in keys.items()) for table, keys in tables.items()})


@pytest.fixture
def decided(tmp_path):
    """Read a record from disk and decide."""

    def decide(text, settings=SETTINGS, name="piece.toml"):
        folder = tmp_path / "pieces/owl"
        for file in ("photos/a.jpg", "references/a.jpg", "letter.pdf"):
            (folder / file).parent.mkdir(parents=True, exist_ok=True)
            (folder / file).write_text(file)
        (folder / name).write_text(text, encoding="utf-8")
        archive = read_archive(tmp_path)
        config = Config(root=tmp_path, portfolio=settings)
        named = dataclasses.replace(
            paper_catalogue(tmp_path, *archive.pieces), findings=archive.findings, config=config
        )
        return archive.pieces[0], decide_publication(archive.pieces[0], named)

    return decide


def keyed(field):
    return field.replace("reference.", "reference.0.")


def kept(piece):
    record = piece.record
    return record is not None and (record.title, record.client, record.hours) == ("Owl", "C-1", 3.5)


def test_the_record_as_it_should_be_is_shown(decided):
    piece, publication = decided(written("", ""))
    assert kept(piece)
    assert publication.shown, publication.reasons


@pytest.mark.parametrize("name", ["Piece.toml", "piece.toml.txt", "piece.toml~"])
def test_a_record_under_another_name_is_used_and_not_shown_to_others(decided, name):
    piece, publication = decided(written("", ""), name=name)
    assert kept(piece)
    assert publication.wanted
    assert len(publication.reasons) == 1
    assert "another name" in publication.reasons[0]


@pytest.mark.parametrize("value", NOTHING, ids=range(len(NOTHING)))
@pytest.mark.parametrize("field", [field for field in FIELDS if field != "release.file"])
def test_a_deciding_word_with_nothing_in_it_holds_the_piece_and_asks(decided, field, value):
    piece, publication = decided(written(field, value))
    assert kept(piece)
    assert not publication.shown
    assert piece.written(keyed(field)) == shown(tomllib.loads(f"a = {value}")["a"])


@pytest.mark.parametrize("value", NOTHING, ids=range(len(NOTHING)))
@pytest.mark.parametrize("field", LISTS)
def test_a_list_with_nothing_among_its_words_holds_the_piece(decided, field, value):
    table, key = field.split(".")
    known = {**GOOD["release"], **GOOD["reference"], "made_from": '["references/a.jpg"]'}[key]
    piece, publication = decided(written(field, known.replace("]", f", {value}]")))
    assert kept(piece)
    assert not publication.shown
    assert piece.written(keyed(f"{table}.{key}")) is not None


@pytest.mark.parametrize("value", NOTHING, ids=range(len(NOTHING)))
@pytest.mark.parametrize(
    "line", ["reference.source", "reference.creator", "reference.note", "reference.ai_terms", "release.file"]
)
def test_elsewhere_nothing_in_a_field_counts_as_not_recorded(decided, line, value):
    piece, publication = decided(written(line, value))
    assert kept(piece)
    assert publication.shown
    assert piece.as_written == ()


@pytest.mark.parametrize("value", NOTHING, ids=range(len(NOTHING)))
@pytest.mark.parametrize(
    ("line", "instead"),
    [
        ("publish = true", "publish = {}"),
        ('stage = "healed"', 'stage = "healed"\npublish = {}'),
        ("[release]\n{release}", 'release = {}\n[size]\nwidth = "62 mm"'),
        ("[[reference]]\n{reference}", 'reference = {}\n[size]\nwidth = "62 mm"'),
    ],
)
def test_nothing_where_a_wish_or_a_whole_table_should_stand_holds_it(decided, line, instead, value):
    top, table = instead.format(value).partition("\n")[::2]
    is_top = line.startswith("[")
    text = RECORD.replace(line, table if is_top else instead.format(value))
    text = f"{top}\n{text}" if is_top else text
    filled = {name: "\n".join(f"{k} = {v}" for k, v in keys.items()) for name, keys in GOOD.items()}
    settings = PortfolioSettings(require_release=False)
    assert not decided(text.format(**filled), settings)[1].shown


OVERRIDE = '[rights_override]\nreason = "it no longer resembles it"\ndate = 2026-03-20\n'


def overridden(reference, override=OVERRIDE):
    return RECORD.format(release='status = "granted"\nscope = ["portfolio"]', reference=reference) + override


@pytest.mark.parametrize(
    "word", ['""', '" "', '"\\u0007"', '"\\u3164"', '"CC-BY-99"', '"freeware"', "7", '["own-work"]']
)
def test_an_override_lifts_a_right_that_is_missing_never_one_that_is_not_understood(decided, word):
    assert decided(overridden('likeness = "none"'))[1].shown
    assert decided(overridden('license = "unknown"'))[1].shown
    assert not decided(overridden(f"license = {word}"))[1].shown
    assert not decided(overridden(f"license = {word}"), PortfolioSettings(require_rights=False))[1].shown


@pytest.mark.parametrize(
    "override",
    [
        '[rights_override]\nreason = "x"\ndate = ""\n',
        '[rights_override]\nreason = "x"\ndate = "\\u0007"\n',
        '[rights_override]\nreason = ""\ndate = 2026-03-20\n',
        '[rights_override]\nreason = "  "\n',
        '[rights_override]\nreason = "\\u3164\\u2800"\n',
        "[rights_override]\ndate = 2026-03-20\n",
        "[rights_override]\n",
        '[rights_override]\nreason = "x"\ndate = 2027-03-20\n',
        '[rights_override]\nreason = "x"\ndate = "next week"\n',
    ],
)
def test_a_decision_with_nothing_in_it_lifts_nothing(decided, override):
    assert not decided(overridden('likeness = "none"', override))[1].shown


@pytest.mark.parametrize("value", STRANGE, ids=range(len(STRANGE)))
@pytest.mark.parametrize("field", FIELDS)
def test_what_is_not_understood_holds_the_piece_and_nothing_else_is_lost(decided, field, value):
    piece, publication = decided(written(field, value))
    assert kept(piece)
    assert publication.shown is (value in FIELDS[field])
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


@pytest.mark.parametrize("slip", ["pubish = false", "publsh = false", "Publish = false", "publish_ = false"])
def test_a_slip_in_the_wish_for_a_photo_keeps_it_in(decided, slip):
    text = written("", "").replace('stage = "healed"', f'stage = "healed"\n{slip}')
    assert not decided(text)[1].shown
    assert decided(text.replace(slip, ""))[1].shown


FILLED = RECORD.format(
    release="\n".join(f"{key} = {value}" for key, value in GOOD["release"].items()),
    reference="\n".join(f"{key} = {value}" for key, value in GOOD["reference"].items()),
)


@pytest.mark.parametrize(
    ("line", "instead"),
    [
        ("publish = true", 'publish = true\n[size]\nwidth = 62\nheight = "tall"'),
        ("publish = true", 'publish = true\n[placement]\nside = "up"\nregion = "wrist"'),
        ("publish = true", "publish = true\n[placement]\nnote = “hairline”"),
        ("publish = true", 'publish = true\n[price]\ncharged = "ask"'),
        ("publish = true", 'publish = true\nartst = "x"'),
        ("publish = true", 'publish = true\n[aftercare]\ncream = "x"'),
        ("publish = true", 'publish = true\n[[sitting]]\ndate = "07/03/2026"'),
    ],
)
def test_what_is_misread_elsewhere_keeps_nothing_in(decided, line, instead):
    piece, publication = decided(FILLED.replace(line, instead, 1))
    assert publication.shown, publication.reasons
    assert piece.record is not None


@pytest.mark.parametrize(
    ("line", "instead"),
    [
        ('title = "Owl"', ""),
        ("publish = true", "publish = true\njust words"),
        ("publish = true", "publish = true\nsubjects = {who = 4}"),
        ("publish = true", 'publish = true\nsubjects = ["owl"]\nsubjects = ["portrait"]'),
        ("publish = true", 'publish = true\nsbjctss = ["portrait"]'),
        ("publish = true", 'publish = true\n[relaese]\nstatus = "refused"'),
        ("publish = true", "publish = true\n[other]\nwithdrawn = 2026-09-02"),
        ("publish = true", 'publish = true\n[price]\nlikeness = "minor"'),
        ("publish = true", "publish = yes"),
        ('status = "granted"', "status = granted"),
        ('status = "granted"', 'status = "granted"\nstatus = "refused"'),
        ('stage = "healed"', 'stage = "healed"\npubilsh = false'),
        ('stage = "healed"', 'stage = "healed"\nanything = false'),
        ("[[photo]]", "[[photo]"),
        ("photos/a.jpg", "photos/A.JPG"),
    ],
)
def test_what_may_hide_a_no_holds_the_piece(decided, line, instead):
    assert decided(FILLED)[1].shown
    assert line in FILLED
    piece, publication = decided(FILLED.replace(line, instead, 1))
    assert not publication.shown
    assert piece.record is not None
