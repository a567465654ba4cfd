"""Questions, recalls and doubles answered on their pages, as a browser without script does it."""

import datetime as dt
import re
import tomllib

import pytest

from tests.unit.desk.pens.desk import INKS, OWL, OWL_PAGE

TODAY = dt.date(2026, 9, 21)
BATCH_PAGE = "batches/GW2-2231.html"


def ask(desk, words):
    """Give the fields and answers of the question whose form stands below these words."""
    page = desk.get("checks.html")
    place = page.index(words)
    form = page[page.index('action="pen/answer"', place) :].partition("</form>")[0]
    fields = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form))
    answers = dict(re.findall(r'<button class="ans" type="submit" name="answer" value="(\d+)">([^<]+)<', form))
    return fields, {words.strip(): number for number, words in answers.items()}


def test_a_question_to_the_client_is_answered_by_one_touch_and_is_gone(desk):
    fields, answers = ask(desk, "This piece is to be published.")
    assert "Mayumi Ostbrink" in desk.get("checks.html")
    shown = desk.post("pen/answer", fields | {"answer": answers["Yes, online only"]})
    assert desk.record()["release"] == {"status": "granted", "date": TODAY, "scope": ["portfolio"]}
    assert "Barn owl: Yes, online only" in shown
    assert "This piece is to be published." not in shown
    assert desk.text().startswith(OWL.rstrip())
    desk.take_back()
    assert desk.text() == OWL
    assert "This piece is to be published." in desk.get("checks.html")


def test_what_to_ask_is_a_list_for_paper_with_every_question_and_no_form(desk):
    asked = re.findall(r'<h3 id="q\d+-\d+">(.*?)</h3>', desk.get("checks.html"))
    page = desk.get("asking-list.html")
    assert asked
    assert all(question in page for question in asked)
    assert "Ask Mayumi Ostbrink" in page
    assert "<form" not in page.partition("<main")[2].partition("</main>")[0]


def test_a_question_answered_twice_is_written_once(desk):
    fields, answers = ask(desk, "This piece is to be published.")
    desk.post("pen/answer", fields | {"answer": answers["No"]})
    assert desk.record()["publish"] is False
    before = desk.text()
    assert "answered already" in desk.post("pen/answer", fields | {"answer": answers["Yes, online only"]})
    assert desk.text() == before


def test_whose_picture_a_reference_is(desk):
    fields, answers = ask(desk, "field.png")
    desk.post("pen/answer", fields | {"answer": answers["Mine"]})
    assert desk.record()["reference"] == [{"file": "references/field.png", "license": "own-work"}]


def test_which_stencil_went_on_the_skin(desk):
    fields, answers = ask(desk, "which of the 2 stencils")
    desk.post("pen/answer", fields | {"answer": answers["Version 2"]})
    assert [one.get("applied") for one in desk.record()["stencil"]] == [None, True]
    assert "which of the 2 stencils" not in desk.last.text


def test_an_answer_in_words_is_typed(desk):
    fields, _ = ask(desk, "There are no words for those who cannot see it")
    number = re.search(r'name="typed-(\d+)"', desk.get("checks.html").partition("There are no words")[2])[1]
    assert "Write the answer first" in desk.post("pen/answer", fields | {"answer": number})
    desk.post("pen/answer", fields | {"answer": number, f"typed-{number}": 'Barn owl, "facing" left'})
    assert desk.record()["photo"][0]["alt"] == 'Barn owl, "facing" left'


@pytest.mark.parametrize(
    "wrong",
    [{"answer": "99"}, {"answer": "9" * 5000}, {"answer": "-1"}, {"answer": ""}, {"question": "x", "answer": "0"}],
)
def test_an_answer_that_is_none_writes_nothing(desk, wrong):
    fields, _ = ask(desk, "This piece is to be published.")
    desk.post("pen/answer", fields | wrong)
    assert desk.last.status_code == 409
    assert desk.text() == OWL


def test_what_a_sloppy_record_may_mean_is_offered_and_one_touch_writes_it(desk):
    path = desk.root / "pieces" / "owl" / "piece.toml"
    sloppy = OWL.replace("finished = 2026-03-14", 'finished = "07/03/2026"').replace('"50 mm"\n\n[pl', '"62"\n\n[pl')
    path.write_text(sloppy, "utf-8")
    desk.state.refresh()
    fields, answers = ask(desk, "07/03/2026")
    assert {"7 Mar 2026", "3 Jul 2026"} <= set(answers)
    desk.post("pen/answer", fields | {"answer": answers["7 Mar 2026"]})
    assert desk.record()["finished"] == dt.date(2026, 3, 7)
    fields, answers = ask(desk, "62 without a unit")
    desk.post("pen/answer", fields | {"answer": answers["62 mm"]})
    assert desk.record()["size"] == {"width": "62 mm"}
    assert "# as the client says it" in desk.text()


def test_a_recall_is_one_question_that_leads_to_its_people(desk):
    page = desk.get("checks.html")
    assert page.count("recalled 2 May 2026") == 1
    assert f'href="{BATCH_PAGE}">Tell them one by one' in page


def test_a_client_is_told_and_the_recall_is_over(desk):
    page = desk.get(BATCH_PAGE)
    assert "1 of 1 still to be told" in page
    assert "Mayumi Ostbrink" in page
    fields, buttons = desk.form(BATCH_PAGE, "pen/told")
    assert buttons == [("how", "phone"), ("how", "letter"), ("how", "in person")]
    shown = desk.post("pen/told", fields | {"how": "phone", "day": "2026-05-06"})
    told = tomllib.loads((desk.root / "told.toml").read_text())["told"]
    assert told == [{"batch": "GW2-2231", "client": "C-0042", "date": dt.date(2026, 5, 6), "how": "phone"}]
    assert "Everyone is told." in shown
    assert "still to be told" not in shown
    desk.take_back()
    assert not (desk.root / "told.toml").exists()
    assert "1 of 1 still to be told" in desk.get(BATCH_PAGE)


@pytest.mark.parametrize("wrong", [{"day": "2026-12-01"}, {"day": "2026-04-01"}, {"how": ""}, {"client": "C-9999"}])
def test_a_telling_that_cannot_be_is_refused(desk, wrong):
    fields, _ = desk.form(BATCH_PAGE, "pen/told")
    desk.post("pen/told", fields | {"how": "phone", "day": "2026-05-06"} | wrong)
    assert desk.last.status_code == 409
    assert not (desk.root / "told.toml").exists()


def test_a_number_that_is_almost_the_same_is_settled_by_the_label(desk):
    assert "GW2-2213" in desk.get(BATCH_PAGE)
    fields, _ = desk.form(BATCH_PAGE, "pen/label", having={"piece": "moth"})
    shown = desk.post("pen/label", fields | {"says": "this"})
    assert desk.record("moth")["ink"] == [{"batch": "GW2-2231"}]
    assert "2 of 2 still to be told" in shown
    desk.take_back()
    page = desk.get(BATCH_PAGE)
    register = re.findall(r'name="seen" value="([0-9a-f]+)"', page)[1]
    desk.post("pen/label", fields | {"says": "other", "seen": register})
    assert (desk.root / "inks.toml").read_text() == f'{INKS}\n[[batch]]\nbatch = "GW2-2213"\n'
    assert "Almost the same number: look" not in desk.get(BATCH_PAGE)


def test_a_double_is_decided_by_a_button_and_the_next_one_follows(desk):
    page = desk.get("doubles.html")
    assert "One picture, keep the first" in page
    fields, buttons = desk.form("doubles.html", "pen/double")
    assert [value for _, value in buttons] == ["0", "1", "all"]
    desk.post("pen/double", fields | {"keep": "1"})
    (decision,) = tomllib.loads((desk.root / "decisions.toml").read_text())["same"]
    assert decision["keep"] == decision["images"][1]
    assert len(decision["digests"]) == 2
    assert "None open" in desk.get("doubles.html")
    desk.post("pen/double", fields | {"keep": "0"})
    assert desk.last.status_code == 409
    assert len(tomllib.loads((desk.root / "decisions.toml").read_text())["same"]) == 1


def test_different_drawings(desk):
    fields, _ = desk.form("doubles.html", "pen/double")
    desk.post("pen/double", fields | {"keep": "all"})
    assert list(tomllib.loads((desk.root / "decisions.toml").read_text())) == ["different"]
    desk.take_back()
    assert not (desk.root / "decisions.toml").exists()


@pytest.mark.parametrize("keep", ["2", "", "first", "9" * 5000])
def test_a_decision_that_is_none_writes_nothing(desk, keep):
    fields, _ = desk.form("doubles.html", "pen/double")
    desk.post("pen/double", fields | {"keep": keep})
    assert desk.last.status_code == 409
    assert not (desk.root / "decisions.toml").exists()


# The whole record as fields.


def test_any_field_is_changed_and_nothing_else(desk):
    fields, _ = desk.form("change/owl.html", "change/owl.html")
    assert fields["size.width"] == "50 mm"
    sent = fields | {"title": "Barn owl, left", "size.height": "88", "price.charged": "420", "finished": "15.3.2026"}
    shown = desk.post("change/owl.html", sent)
    assert "Written." in shown
    after = OWL.replace('title  = "Barn owl"   #', 'title  = "Barn owl, left"   #').replace(
        "2026-03-14\nx", "2026-03-15\nx"
    )
    after = after.replace('width = "50 mm"\n\n[placement]', 'width = "50 mm"\nheight = "88 mm"\n\n[placement]')
    assert desk.text() == f"{after}\n[price]\ncharged = 420\n"
    desk.take_back()
    assert desk.text() == OWL


def test_elements_come_and_go(desk):
    fields, _ = desk.form("change/owl.html", "change/owl.html")
    sent = fields | {
        "needle.new.code": "9 round liner bugpin",
        "needle.new.batch": "N-1",
        "remove": ["stencil.0", "sitting.0"],
    }
    desk.post("change/owl.html", sent)
    record = desk.record()
    assert record["needle"] == [{"code": "9 round liner bugpin", "batch": "N-1"}]
    assert [one["version"] for one in record["stencil"]] == [2]
    assert "sitting" not in record


def test_nothing_changed_writes_nothing(desk):
    fields, _ = desk.form("change/owl.html", "change/owl.html")
    desk.post("change/owl.html", fields)
    assert desk.last.path == OWL_PAGE
    assert desk.text() == OWL
    assert not (desk.state.out / "kept").exists()


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("finished", "7/3/2026", "2026-03-07 or 2026-07-03"),
        ("size.width", "wide", "Width"),
        ("sitting.0.hours", "long", "Time"),
        ("stencil.0.version", "two", "whole number"),
    ],
)
def test_what_is_not_understood_is_asked_and_what_was_typed_stays(desk, name, text, said):
    fields, _ = desk.form("change/owl.html", "change/owl.html")
    shown = desk.post("change/owl.html", fields | {name: text, "client": "C-0007"})
    assert desk.last.status_code == 422
    assert said in shown
    assert f'value="{text}"' in shown
    assert 'value="C-0007"' in shown
    assert desk.text() == OWL


def test_a_record_with_broken_lines_can_be_changed_beside_them(desk):
    path = desk.root / "pieces" / "owl" / "piece.toml"
    path.write_text(OWL.replace('width = "50 mm"\n\n[placement]', "width = 50 mm\n\n[placement]"), "utf-8")
    fields, _ = desk.form("change/owl.html", "change/owl.html")
    assert "width = 50 mm" in desk.get("change/owl.html")
    desk.post("change/owl.html", fields | {"client": "C-0007", "size.width": "51 mm"})
    assert '# width = 50 mm\nwidth = "51 mm"\n' in path.read_text("utf-8")
    assert desk.record()["client"] == "C-0007"
