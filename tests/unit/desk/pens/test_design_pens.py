"""The page of designs at the desk: one touch says whether a design is free, held or taken."""

import datetime as dt
import tomllib

import pytest

from archgen.desk.planning.design_pens import state_edits
from archgen.errors import UsageError
from archgen.writing.record_text import RemoveKey, SetKey
from tests.unit.desk.pens.desk import a_photo

RECORD = """title  = "Two ferns"   # for ankles
publish = true
price = 180
note = "zqnote both"
[[picture]]
file = "pictures/ferns.jpg"
"""
DESIGN = "designs/ferns"


@pytest.fixture
def ferns(desk):
    """The record of a design that is there when the desk reads again."""
    folder = desk.root / "designs" / "ferns"
    (folder / "pictures").mkdir(parents=True)
    (folder / "pictures/ferns.jpg").write_bytes(a_photo((10, 20, 30)))
    (folder / "design.toml").write_text(RECORD, "utf-8")
    desk.state.refresh()
    return folder / "design.toml"


def seen(desk):
    return desk.get("designs.html").partition('name="seen" value="')[2].partition('"')[0]


@pytest.mark.usefixtures("ferns")
def test_the_page_says_what_others_see_and_is_led_to_from_the_first(desk):
    page = desk.get("designs.html")
    assert 'href="designs.html"' in desk.get("index.html")
    for said in ("Two ferns", "Free", "180", "zqnote both", "In the portfolio"):
        assert said in page, said


def test_a_design_is_held_for_somebody_then_taken_and_back_again(desk, ferns):
    fields = {"design": DESIGN, "seen": seen(desk), "holder": "C-0042", "until": "2026-12-20", "state": "held"}
    shown = desk.post("pen/design", fields)
    said = tomllib.loads(ferns.read_text())
    assert (said["state"], said["holder"], said["until"]) == ("held", "C-0042", dt.date(2026, 12, 20))
    assert ferns.read_text().startswith(RECORD.partition("\n")[0])
    assert "Two ferns: held" in shown
    assert "until 20 Dec 2026" in shown
    desk.post("pen/design", {"design": DESIGN, "seen": seen(desk), "holder": "", "until": "", "state": "free"})
    assert {"holder", "until"}.isdisjoint(tomllib.loads(ferns.read_text()))
    desk.take_back()
    assert tomllib.loads(ferns.read_text()) == said


def test_a_record_that_changed_meanwhile_is_shown_and_not_written_over(desk, ferns):
    old = seen(desk)
    ferns.write_text(RECORD.replace("180", "200"), "utf-8")
    desk.post("pen/design", {"design": DESIGN, "seen": old, "state": "taken", "holder": "", "until": ""})
    assert "taken" not in ferns.read_text()


def test_what_is_free_is_held_for_nobody_and_what_is_taken_until_no_day():
    assert state_edits("free", "C-1", "2026-12-20") == (
        SetKey(("state",), "free"),
        RemoveKey(("holder",)),
        RemoveKey(("until",)),
    )
    assert state_edits("taken", " C-1 ", "2026-12-20") == (SetKey(("state",), "taken"), SetKey(("holder",), "C-1"))
    with pytest.raises(UsageError):
        state_edits("held", "", "tomorrow")
