"""Whatever happens to a line of a record: it is read, the other tables stay whole, and nothing more is published."""

import dataclasses
import datetime as dt
import re
import tempfile
import time
from pathlib import Path

import msgspec
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from archgen.config import Config
from archgen.publication.decision import decide_all, decide_publication
from archgen.reading.records import read_records
from archgen.records.forgiving import read_forgivingly
from archgen.records.model import PieceRecord
from archgen.records.reader import read_archive
from archgen.records.schema import table_of
from archgen.records.typed.reading import Habits
from archgen.toml.recover import parse_forgivingly
from tests.builders import paper_catalogue

usual = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
RECORD = """title = "Barn owl"
publish = true
finished = 2026-03-14
styles = ["black-and-grey", "micro"]
subjects = ["owl"]
client = "C-0042"
[size]
width = "62 mm"
height = "88 mm"
[placement]
region = "forearm-outer"
side = "left"
note = "hairline towards the elbow"
[[sitting]]
date = 2026-03-14
hours = "3h30"
[[sitting]]
date = 2026-05-02
kind = "touch-up"
[[healing]]
date = 2026-04-20
touch_up = true
[[needle]]
code = "1003RL"
batch = "N-88213"
[[ink]]
batch = "GW2-2231"
use = "second tone"
[[stencil]]
file = "stencils/owl-1.png"
version = 1
width = "62 mm"
[[stencil]]
file = "stencils/owl-2.png"
version = 2
parent = 1
width = "57 mm"
applied = true
[[stencil.landmark]]
stencil = [412, 980]
on = "photos/owl.jpg"
at = [1630, 2210]
[[reference]]
file = "references/field.jpg"
license = "client-supplied"
allows = ["tattoo", "show-tattoo"]
likeness = "none"
[[photo]]
file = "photos/owl.jpg"
stage = "fresh"
alt = "Barn owl on a forearm"
[[photo]]
file = "photos/later.jpg"
stage = "healed"
cover = true
[release]
status = "granted"
scope = ["portfolio"]
[price]
charged = 420
"""
ROWS = RECORD.splitlines()
# A remark sign at the start of a line takes it out on purpose; nobody can tell.
SIGNS = st.sampled_from(list("abz019 =\"'[]{}.,:;-_\\\t\u00e9\u201c\u0000\u200b"))
WRONG = st.sampled_from(
    ["3", "-1.5", "true", "2026-13-40", "[1, 2]", '"what"', "{a = 1}", "", "soon", '"', "07/03/2026"]
)


@st.composite
def damages(draw, row):
    """Damage one row in one of the ways in which rows are damaged."""
    way = draw(st.sampled_from(["garble", "drop-sign", "swap", "value", "twice"]))
    place = draw(st.integers(0, max(len(row) - 2, 0)))
    match way:
        case "garble":
            return row[:place] + draw(SIGNS) + row[place + 1 :]
        case "drop-sign":
            return row[:place] + row[place + 1 :]
        case "swap":
            return row[:place] + row[place + 1 : place + 2] + row[place : place + 1] + row[place + 2 :]
        case "value" if " = " in row:
            return f"{row.partition(' = ')[0]} = {draw(WRONG)}"
        case _:
            return f"{row}\n{row}"


def read(text):
    toml, _ = parse_forgivingly(text, table_of(PieceRecord))
    return read_forgivingly(toml.raw, PieceRecord, toml.lines, Habits(), "the-folder")


@settings(parent=usual, max_examples=300)
@given(st.data())
def test_any_damage_is_read(data):
    rows = list(ROWS)
    for _ in range(data.draw(st.integers(1, 8))):
        number = data.draw(st.integers(0, len(rows) - 1))
        if data.draw(st.booleans()):
            rows[number] = data.draw(damages(rows[number]))
        else:
            del rows[number]
    assert isinstance(read("\n".join(rows)).record, PieceRecord)


@settings(parent=usual, max_examples=200)
@given(st.text(st.sampled_from("[]{}=,.#'\"\\\n\r abt1photsizew“”\u0000"), max_size=80))
def test_any_text_is_read(text):
    assert isinstance(read(text).record, PieceRecord)


def tables(record):
    """Give each table of a record by itself: what its heading and its number in the text stand for."""
    found = {}
    for name in PieceRecord.__struct_fields__:
        value = getattr(record, name)
        if isinstance(value, tuple) and value and isinstance(value[0], msgspec.Struct):
            found |= {f"{name} {number}": item for number, item in enumerate(value)}
        elif isinstance(value, msgspec.Struct):
            found[name] = value
        else:
            found.setdefault("top", {})[name] = value
    return found


def owners(rows):
    """Give the table each row stands in, as `tables` names it."""
    owner, counts = "top", {}
    for row in rows:
        if match := re.fullmatch(r"(\[\[?)([\w.]+)\]\]?", row):
            name = match[2].partition(".")[0]
            if match[2] == name and match[1] == "[[":
                counts[name] = counts.get(name, -1) + 1
            owner = f"{name} {counts[name]}" if name in counts else name
        yield owner


OWNERS = list(owners(ROWS))
SOUND = tables(read(RECORD).record)
KEYS = [number for number, row in enumerate(ROWS) if not row.startswith("[")]


@settings(parent=usual, max_examples=500)
@given(st.data())
def test_a_damaged_line_costs_its_own_table_at_most(data):
    number = data.draw(st.sampled_from(KEYS))
    rows = list(ROWS)
    rows[number] = data.draw(damages(rows[number]))
    found = tables(read("\n".join(rows)).record)
    damaged = OWNERS[number]
    # An entry that lacks its file now is gone: those after it move up.
    name, _, place = damaged.partition(" ")
    kept = {key: value for key, value in found.items() if key.partition(" ")[0] != name}
    assert kept == {key: value for key, value in SOUND.items() if key.partition(" ")[0] != name}
    others = [value for key, value in SOUND.items() if key.partition(" ")[0] == name and key != damaged]
    assert all(other in found.values() for other in others), place


HELD = {
    "refused": ('status = "granted"', 'status = "refused"'),
    "withdrawn": ('status = "granted"', 'status = "granted"\nwithdrawn = 2026-09-02'),
    "for print": ('scope = ["portfolio"]', 'scope = ["print"]'),
    "minor": ('likeness = "none"', 'likeness = "minor"'),
    "not allowed": ('allows = ["tattoo", "show-tattoo"]', 'allows = ["tattoo"]'),
    "in progress": ('stage = "healed"', 'stage = "in-progress"'),
    "photo private": ("cover = true", "cover = true\npublish = false"),
    "private": ("publish = true", "publish = false"),
    "portrait": ('subjects = ["owl"]', 'subjects = ["portrait"]'),
    "sound": ("", ""),
}


def shown(folder, text):
    (folder / "pieces/owl/piece.toml").write_text(text, encoding="utf-8")
    archive = read_archive(folder)
    catalogue = paper_catalogue(folder, *archive.pieces)
    catalogue = dataclasses.replace(catalogue, findings=archive.findings, config=Config(root=folder))
    return {photo.file for photo in decide_publication(archive.pieces[0], catalogue).photos}


@settings(parent=usual, max_examples=250)
@given(st.sampled_from(list(HELD)), st.data())
def test_damage_never_publishes_more(why, data):
    rows = RECORD.replace(*HELD[why], 1).splitlines() if why != "sound" else list(ROWS)
    if why == "portrait":  # of whom, nobody has said
        rows.remove('likeness = "none"')
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for file in ("photos/owl.jpg", "photos/later.jpg", "stencils/owl-1.png", "references/field.jpg"):
            (folder / "pieces/owl" / file).parent.mkdir(parents=True, exist_ok=True)
            (folder / "pieces/owl" / file).write_bytes(file.encode())
        before = shown(folder, "\n".join(rows))
        assert before == {"sound": {"photos/owl.jpg", "photos/later.jpg"}}.get(why, before)
        for _ in range(data.draw(st.integers(1, 3))):
            # A whole row taken out may be the artist's wish, but for a heading.
            headings = [number for number, row in enumerate(rows) if row.startswith("[")]
            if data.draw(st.integers(0, 4)) == 0:
                del rows[data.draw(st.sampled_from(headings))]
            else:
                number = data.draw(st.integers(0, len(rows) - 1))
                rows[number] = data.draw(damages(rows[number]))
        assert shown(folder, "\n".join(rows)) <= before, "\n".join(rows)


def test_a_record_that_names_one_photo_hundreds_of_times_is_decided_about_at_once(tmp_path):
    rows = '[[photo]]\nfile = "photos/owl.jpg"\nstage = "fresh"\npublish = 3\n' * 400
    place = tmp_path / "pieces/owl"
    place.mkdir(parents=True)
    (place / "piece.toml").write_text('title = "Owl"\npublish = true\n' + rows)
    (tmp_path / "archive.toml").write_text("")
    began = time.process_time()
    (decision,) = decide_all(read_records(tmp_path, dt.date(2026, 11, 25))).values()
    assert not decision.shown
    assert time.process_time() - began < 10
