"""The lines a form writes, read back as the archive reads them."""

import datetime as dt
import tomllib

from archgen.desk.filing.answers import PieceAnswers, PlaceAnswer, ReferenceAnswers, ReleaseAnswer, SittingAnswer
from archgen.desk.filing.lines import record_text, table
from archgen.desk.filing.materials import NeedleOffer
from archgen.desk.filing.record import record_tables
from archgen.intake.plan import What
from tests.unit.desk.filing.planned import planned, taken

DAY = dt.date(2026, 11, 26)


def written(answers, *pictures, client=None, widths=None):
    text = record_text(record_tables(answers, pictures, client, widths or {}))
    return tomllib.loads(text)


def test_a_title_alone_is_a_record():
    assert record_text(record_tables(PieceAnswers("Night moth"), [], None, {})) == 'title = "Night moth"\n'


def test_titles_with_signs_of_toml_are_read_back_as_they_were_typed():
    for title in ('The "owl"', "back\\slash", "[moth]", "# 1", "昇り鯉", "a = b"):
        assert written(PieceAnswers(title))["title"] == title


def test_every_answer_writes_its_key():
    answers = PieceAnswers(
        title="Night moth",
        place=PlaceAnswer("shoulder-blade", "right", "300 mm"),
        width="78 mm",
        height="69 mm",
        sittings=(SittingAnswer(DAY, "3h25"), SittingAnswer(dt.date(2026, 12, 3), 2)),
        needles=(NeedleOffer("3RL", "N-9", "S-1", dt.date(2028, 1, 1)), NeedleOffer("15 curved mag")),
        inks=("BK-1", "GW2-1"),
        release=ReleaseAnswer("granted", ("portfolio", "print"), DAY),
        references=(
            ReferenceAnswers(planned("r.jpg", What.REFERENCE).key, (("license", "own-work"), ("likeness", "none"))),
        ),
        publish=True,
    )
    got = written(answers, planned("r.jpg", What.REFERENCE), client="C-0001")
    assert got == {
        "title": "Night moth",
        "publish": True,
        "client": "C-0001",
        "size": {"width": "78 mm", "height": "69 mm"},
        "placement": {"region": "shoulder-blade", "side": "right", "girth": "300 mm"},
        "sitting": [{"date": DAY, "hours": "3h25"}, {"date": dt.date(2026, 12, 3), "hours": 2}],
        "needle": [
            {"code": "3RL", "batch": "N-9", "sterilisation": "S-1", "expiry": dt.date(2028, 1, 1)},
            {"code": "15 curved mag"},
        ],
        "ink": [{"batch": "BK-1"}, {"batch": "GW2-1"}],
        "reference": [{"file": "references/r.jpg", "license": "own-work", "likeness": "none"}],
        "release": {"status": "granted", "scope": ["portfolio", "print"], "date": DAY},
    }


def test_a_reference_nobody_answered_for_is_described_without_a_right():
    got = written(PieceAnswers("Owl"), planned("r.jpg", What.REFERENCE))
    assert got["reference"] == [{"file": "references/r.jpg"}]


def test_only_the_cover_of_the_fresh_frames_is_shown_and_healed_ones_are():
    pictures = (
        taken("a.jpg", 11, 20, What.IN_PROGRESS),
        taken("b.jpg", 14, 45, is_cover=True),
        taken("c.jpg", 14, 46, show=False),
        taken("d.jpg", 14, 47),
        planned("e.jpg", What.HEALED),
    )
    got = written(PieceAnswers("Moth"), *pictures)["photo"]
    assert [(one["file"], one["stage"], one.get("cover"), one.get("publish")) for one in got] == [
        ("photos/a.jpg", "in-progress", None, None),
        ("photos/b.jpg", "fresh", True, None),
        ("photos/c.jpg", "fresh", None, False),
        ("photos/d.jpg", "fresh", None, False),
        ("photos/e.jpg", "healed", None, None),
    ]
    assert got[0]["taken"] == DAY


def test_a_single_stencil_is_the_one_on_the_skin_and_as_wide_as_the_piece():
    got = written(PieceAnswers("Moth", width="78 mm"), planned("s.png", What.STENCIL))
    assert got["stencil"] == [{"file": "stencils/s.png", "version": 1, "width": "78 mm", "applied": True}]


def test_a_stencil_without_a_size_on_skin_has_the_width_its_file_says():
    stencil = planned("s.png", What.STENCIL)
    got = written(PieceAnswers("Moth"), stencil, widths={stencil.key: "76 mm"})
    assert got["stencil"][0]["width"] == "76 mm"


def test_of_two_stencils_none_is_called_applied_unless_somebody_said_so():
    one, two = planned("s1.png", What.STENCIL), planned("s2.png", What.STENCIL)
    assert all("applied" not in stencil for stencil in written(PieceAnswers("Moth"), one, two)["stencil"])
    got = written(PieceAnswers("Moth", width="70 mm", applied=two.key), one, two, widths={one.key: "60 mm"})["stencil"]
    assert [(s["version"], s.get("width"), s.get("applied")) for s in got] == [(1, "60 mm", None), (2, "70 mm", True)]


def test_equals_signs_stand_below_one_another():
    assert table("[size]", {"width": "78 mm", "height": "69 mm"}).text == '[size]\nwidth  = "78 mm"\nheight = "69 mm"'
    assert table("", {"title": "", "publish": None, "client": "C"}).text == 'client = "C"'
