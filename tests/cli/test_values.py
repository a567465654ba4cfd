"""archgen values: the page, what is kept, and every bad input once."""

import pikepdf
import pypdfium2
import pytest

from archgen.outputs.reprints import working_print
from archgen.outputs.reprints.registration import ReferencePlace, Registration
from archgen.printing.reference_pdf import PrintedLandmark
from archgen.records.find import read_one
from tests.unit.shading import a_vase

POINTS = ((120, 640), (440, 30), (310, 180))
RECORD = """title = "Vase"
[[needle]]
code = "1009RL"
use = "soft shade"
[[ink]]
name = "dense black"
[placement]
region = "calf"
[[reference]]
file = "references/vase.png"
[[stencil]]
file = "stencils/vase.png"
version = 1
width = "50 mm"
applied = true
from = ["references/vase.png"]
"""


def landmarks():
    return "".join(
        f'[[stencil.landmark]]\nstencil = [{x}, {y}]\non = "references/vase.png"\nat = [{x}, {y}]\n' for x, y in POINTS
    )


@pytest.fixture
def studio(terminal):
    folder = terminal.root / "pieces/2026-05-01-vase"
    for name in ("stencils", "references"):
        (folder / name).mkdir(parents=True)
    a_vase.stencil().save(folder / "stencils/vase.png")
    a_vase.reference().save(folder / "references/vase.png")
    (folder / "piece.toml").write_text(RECORD + landmarks(), encoding="utf-8")
    return terminal


def test_the_page_is_written_and_its_steps_are_said(studio):
    ran = studio.run("values", "vase")
    assert ran.code == 0, ran.err
    assert [path.name for path in studio.written] == ["2026-05-01-vase-order-of-work.pdf"]
    with pikepdf.open(studio.written[0]) as pdf:
        assert len(pdf.pages) == 1
        assert str(pdf.docinfo["/Title"]) == "Vase, order of work"
    steps = [line for line in ran.out.splitlines() if line[:3].strip().isdecimal()]
    assert steps[0] == "  1  all lines, lightly · 1203RL: 1 piece · dense black: 1 piece"
    assert "1009RL: soft shade, 1 piece" in steps[1]
    assert "whites last: 1 light left open" in steps[-1]
    assert "disc of 1.08 mm" in ran.out
    assert "NOT A STENCIL" in ran.out


def areas_of(ran):
    return int(ran.out.split("order of work: ")[1].split()[0])


def test_needle_share_areas_and_start_are_followed(studio):
    usual, fine = studio.run("values", "vase"), studio.run("values", "vase", "--needle", "1003RL")
    assert "disc of 0.65 mm" in fine.out
    few = studio.run("values", "vase", "--areas", "5", "--needle", "1003RL")
    assert areas_of(few) < 5
    assert areas_of(few) < areas_of(usual) or areas_of(usual) < 5
    bare = studio.run("values", "vase", "--bare", "70")
    (row,) = [line for line in bare.out.splitlines() if "bare skin" in line]
    assert 60 <= int(row.rsplit("·", 1)[1].strip(" %")) <= 80
    assert "within a tone from the right, in bands" in studio.run("values", "vase", "--start", "right").out


def test_what_was_noted_on_the_place_stands_on_the_page(studio):
    other = studio.root / "pieces/2026-01-01-fern"
    other.mkdir()
    note = '[placement]\nregion = "calf"\n[[sitting]]\ndate = 2026-01-01\nnote = "skin slow"\n'
    (other / "piece.toml").write_text(f'title = "Fern"\n{note}', encoding="utf-8")
    own = studio.root / "pieces/2026-05-01-vase/piece.toml"
    with own.open("a", encoding="utf-8") as file:
        file.write('[[sitting]]\ndate = 2026-05-01\nnote = "this very day"\n')
    assert studio.run("values", "vase").code == 0
    with pypdfium2.PdfDocument(studio.written[0]) as document:
        said = " ".join(document[0].get_textpage().get_text_bounded().split())
    assert "Fern, sitting, 1 Jan 2026: skin slow" in said
    assert "this very day" in said  # it may be touched up


def test_a_plan_is_kept_after_a_yes_and_taken_back(studio):
    path = studio.root / "pieces/2026-05-01-vase/piece.toml"
    before = path.read_bytes()
    shown = studio.run("values", "vase", "--keep")
    assert "Nothing is written yet" in shown.out
    assert path.read_bytes() == before
    kept = studio.run("values", "vase", "--keep", "--yes", "--areas", "20", "--enclosed", "20 60 bare")
    assert kept.code == 0, kept.err
    values = read_one(studio.root, "vase").record.values
    assert (values.reference, values.needle) == ("references/vase.png", "1009RL")
    assert (values.areas, values.start, values.enclosed) == (20, "bottom", ("20.0 60.0 bare",))
    assert 5 <= values.zones == len(values.cuts) + 1 <= 7
    assert values.edges in {"even", "sharp"}
    assert "keeps this plan already" in studio.run("values", "vase", "--keep", "--yes").out
    assert studio.run("undo", "--yes").code == 0
    assert path.read_bytes() == before


def steps_of(ran):
    return [line for line in ran.out.splitlines() if line[:3].strip() in {"-", *map(str, range(40))}]


def test_a_kept_plan_outlives_a_picture_that_was_saved_again(studio):
    kept = studio.run("values", "vase", "--keep", "--yes")
    picture = studio.root / "pieces/2026-05-01-vase/references/vase.png"
    a_vase.reference().point(lambda level: int(255 * (level / 255) ** 1.1)).save(picture)
    again, anew = studio.run("values", "vase"), studio.run("values", "vase", "--anew", "--keep", "--yes")
    assert [line.split("·")[0] for line in steps_of(again)] == [line.split("·")[0] for line in steps_of(kept)]
    assert "cuts = " in anew.out
    assert "cuts = " in studio.run("values", "vase", "--tones", "3", "--keep", "--yes").out


def test_pictures_outside_the_archive_are_looked_at_first(studio, tmp_path, monkeypatch):
    marks = tuple(PrintedLandmark((x, y), (x, y)) for x, y in POINTS)
    found = Registration(ReferencePlace.PROPOSED, marks, ((10.0, 10.0),))
    monkeypatch.setattr(working_print, "register", lambda *_: found)
    a_vase.stencil().save(tmp_path / "s.png")
    a_vase.reference().save(tmp_path / "r.png")
    words = ("values", "--image", tmp_path / "r.png", "--stencil", tmp_path / "s.png", "--width", "50mm")
    assert "isn't sure, so no tones are planned" in studio.run(*words).err
    assert [path.name for path in studio.written if "reprints" in path.parts] == ["r-order-of-work-look-reference.png"]
    ran = studio.run(*words, "--yes")
    assert ran.code == 0, ran.err
    assert "r-order-of-work.pdf" in ran.out


def test_points_say_where_a_picture_outside_the_archive_lies(studio, tmp_path):
    a_vase.stencil().save(tmp_path / "s.png")
    a_vase.reference().resize((1000, 1400)).save(tmp_path / "r.png")
    words = ["values", "--image", tmp_path / "r.png", "--stencil", tmp_path / "s.png", "--width", "50mm"]
    right = [word for x, y in POINTS for word in ("--at", f"{x},{y}={2 * x},{2 * y}")]
    ran = studio.run(*words, *right)
    assert ran.code == 0, ran.err
    assert "r-order-of-work.pdf" in ran.out
    wrong = studio.run(*words, "--at", "120,640=900,100", "--at", "440,30=100,1300")
    assert "isn't sure, so no tones are planned. Name two points" in wrong.err


def test_a_reference_alone_is_told_what_is_missing(studio):
    (studio.root / "pieces/2026-05-01-vase/stencils/vase.png").unlink()
    path = studio.root / "pieces/2026-05-01-vase/piece.toml"
    path.write_text(RECORD.partition("[[stencil]]")[0], encoding="utf-8")
    assert "Vase has a reference picture but no stencil whose lines it could be under" in studio.refused(
        2, "values", "vase"
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("values",), "Name a piece, or a reference with --image"),
        (("values", "vase", "--needle", "the thick one"), "doesn't say how many needles"),
        (("values", "vase", "--tones", "9"), "Use 3 to 7"),
        (("values", "vase", "--enclosed", "31 bare"), 'such as "31 42.5 bare"'),
        (("values", "bare"), "Bare has neither a stencil nor a reference picture"),
        (("values", "fern"), "Fröhliche Ranke has a stencil but no reference picture the tones could come from"),
        (("values", "--stencil", "y.png"), "Which reference was this drawing made from? Add --image FILE"),
        (("values", "vase", "--at", "1,2=3,4"), "--at is for --image"),
        (("values", "--image", "x.png", "--stencil", "y.png", "--width", "50mm", "--at", "1,2"), "isn't understood"),
        (("values", "--image", "x.png", "--stencil", "y.png", "--width", "50mm", "--at", "1,2=3,4"), "One point tells"),
        (("values", "--image", "x.png"), "Add --stencil FILE"),
        (("values", "--image", "x.png", "--stencil", "y.png", "--width", "50mm"), "y.png"),
    ],
)
def test_what_cannot_be_planned_is_said_in_a_sentence(studio, words, said):
    assert said in studio.refused(4 if said == "y.png" else 2, *words)
    assert studio.written == []


def test_a_place_that_is_not_sure_asks_for_points(studio):
    path = studio.root / "pieces/2026-05-01-vase/piece.toml"
    wrong = RECORD + landmarks().replace("at = [120, 640]", "at = [400, 40]").replace(
        "at = [440, 30]", "at = [60, 650]"
    )
    path.write_text(wrong, encoding="utf-8")
    assert "lay" in studio.run("values", "vase").err or "points" in studio.run("values", "vase").err
    assert not [path for path in studio.written if path.suffix == ".pdf"]
