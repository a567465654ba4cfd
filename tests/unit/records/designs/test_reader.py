"""Designs are read strictly: what is not understood whole is not offered to anybody."""

import datetime as dt

import pytest

from archgen.findings import Severity
from archgen.records.designs.model import DesignState
from archgen.records.designs.reader import read_designs
from archgen.records.model import Length

RECORD = """title = "Two ferns"
publish = true
state = "held"
price = 180
again = true
styles = ["botanical"]
holder = "C-0009"
until = 2026-12-20
note = "both ankles"
[size]
width = "6 cm"
[[picture]]
file = "pictures/ferns.png"
alt = "Two ferns"
[[reference]]
file = "references/fern.jpg"
license = "CC-BY-4.0"
"""


def write(root, record=RECORD, name="two-ferns", **files):
    folder = root / "designs" / name
    (folder / "pictures").mkdir(parents=True, exist_ok=True)
    (folder / "references").mkdir(exist_ok=True)
    if record is not None:
        (folder / "design.toml").write_text(record)
    for file in ("pictures/ferns.png", "references/fern.jpg"):
        (folder / file).write_bytes(b"picture")
    for file, text in files.items():
        (folder / file.replace("_", ".")).write_text(text)
    return folder


def read(root):
    (design,), findings = read_designs(root)
    return design, findings


def test_an_archive_without_designs_has_none(tmp_path):
    assert read_designs(tmp_path) == ((), [])


def test_a_design_tells_all_its_record_says_and_where_its_files_are(tmp_path):
    write(tmp_path, story_md="For **ankles**.\n", story_de_md="# Zwei Farne\n")
    design, findings = read(tmp_path)
    said = design.record
    assert findings == []
    assert (said.title, said.state, said.price, said.again) == ("Two ferns", DesignState.HELD, 180, True)
    assert (said.holder, said.until, said.size.width) == ("C-0009", dt.date(2026, 12, 20), Length(60))
    assert design.bare.story == "For **ankles**."
    assert [(one.language, one.story) for one in design.bare.stories] == [("de", "# Zwei Farne")]
    assert design.bare.photos == ("designs/two-ferns/pictures/ferns.png",)
    assert design.bare.references == ("designs/two-ferns/references/fern.jpg",)
    assert (design.id, design.toml) == ("designs/two-ferns", "designs/two-ferns/design.toml")


@pytest.mark.parametrize(
    ("change", "code", "key"),
    [
        (('state = "held"', 'state = "maybe"'), "record.unknown-word", "state"),
        (('state = "held"', "state = false"), "record.unknown-word", "state is a plain no"),
        (("price = 180", 'price = "dear"'), "record.wrong-type", "price"),
        (("price = 180", "price = -5"), "record.bad-number", "price"),
        (("again = true", "agian = true"), "record.unknown-key", "agian"),
        (('title = "Two ferns"', ""), "record.missing-key", "title"),
        (("pictures/ferns.png", "pictures/fern.png"), "record.missing-file", ""),
        (("pictures/ferns.png", "../ferns.png"), "record.outside", ""),
        (("references/fern.jpg", "references/gone.jpg"), "record.missing-file", ""),
        (("publish = true", "publish = "), "record.broken", ""),
    ],
)
def test_what_is_not_understood_is_asked_with_file_and_line_and_the_design_is_not_offered(tmp_path, change, code, key):
    write(tmp_path, RECORD.replace(*change))
    design, findings = read(tmp_path)
    assert design.record is None
    assert design.title == "two-ferns"
    finding = findings[0]
    assert (finding.place.file, finding.piece) == ("designs/two-ferns/design.toml", None)
    assert finding.code == code
    assert key in (finding.problem + finding.remedy).lower()


def test_a_folder_without_a_record_is_asked_about(tmp_path):
    write(tmp_path, record=None)
    design, findings = read(tmp_path)
    assert design.record is None
    assert findings[0].place.file == "designs/two-ferns/design.toml"


def test_a_picture_that_the_record_does_not_name_is_mentioned_and_holds_nothing(tmp_path):
    folder = write(tmp_path)
    (folder / "pictures/extra.png").write_bytes(b"x")
    (folder / "sketch.png").write_bytes(b"x")
    design, findings = read(tmp_path)
    assert design.record is not None
    assert {(one.place.file, one.severity) for one in findings} == {
        ("designs/two-ferns/pictures/extra.png", Severity.NOTE),
        ("designs/two-ferns/sketch.png", Severity.NOTE),
    }


def test_a_link_out_of_the_folder_is_not_followed_and_holds_the_design(tmp_path):
    (tmp_path / "secret.png").write_bytes(b"x")
    folder = write(tmp_path)
    (folder / "references/linked.jpg").symlink_to(tmp_path / "secret.png")
    design, findings = read(tmp_path)
    assert design.record is None
    assert [one.code for one in findings] == ["record.outside"]
