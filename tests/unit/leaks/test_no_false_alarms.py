"""Where nothing private is, nothing is found: ordinary prose, in a folder of strangers and in a portfolio of ours."""

import datetime as dt
import random

import pytest

from archgen.leaks.find import find_leaks
from archgen.leaks.findings import leak_findings
from archgen.leaks.values.private_values import private_values
from archgen.publication.decision import decide_all
from archgen.reading.records import read_records
from archgen.records import model
from tests.builders import make_piece, make_record, paper_catalogue
from tests.conftest import ROOT
from tests.stories import STORIES

PAGE = "<!doctype html><html lang='en'><title>{title}</title><nav><a href='index.html'>Work</a></nav><h1>{title}</h1>"
PAGE += "<p>{story}</p><p>Fine-line, black and grey. Forearm, 62 × 88 mm, 3.5 h. Fresh and healed.</p></html>"
NOTES = (
    "sat well, no breaks", "skin a little dry", "asked for more black in the tail", "wants to come back in autumn",
    "nervous, talked about the harbour", "paid half before", "left leg longer on paper", "two chairs next time",
)  # fmt: skip


def write_pages(folder):
    for number, (title, story) in enumerate(STORIES.items()):
        (folder / f"{number:02}.html").write_text(PAGE.format(title=title, story=story), encoding="utf-8")
    return folder


def test_there_are_twenty_stories():
    assert len(STORIES) == 20
    assert all(len(story.split()) > 12 for story in STORIES.values())


def test_stories_of_a_stranger_are_no_alarm_for_the_demo(tmp_path):
    records = read_records(ROOT / "content", dt.date(2026, 11, 25))
    found = find_leaks(write_pages(tmp_path), private_values(records, decide_all(records)))
    assert [leak for leak in found if leak.sure] == []
    # A word or two of the trade may be anybody's: they are asked about, never claimed.
    assert {leak.value for leak in found} <= {"scales", "dense black"}


@pytest.fixture
def own(tmp_path):
    """An archive whose pieces have these stories, and private notes in the same everyday words."""
    source, pieces = random.Random(7), []
    for number, (title, story) in enumerate(STORIES.items()):
        sittings = (model.Sitting(date=dt.date(2026, 3, 14), note=source.choice(NOTES)),)
        needles = (model.Needle(code="3RL", use=source.choice(("outline", "whiskers", "scales", "stems", "the tail"))),)
        record = make_record(
            title=title, client=f"C-{number:04}", sitting=sittings, needle=needles, healing=(), reference=(),
            price=model.Price(charged=200 + 10 * number, deposit=50),
        )  # fmt: skip
        pieces.append(make_piece(f"2026-03-{number + 1:02}-piece", record, story=story, notes=source.choice(NOTES)))
    clients = {
        f"C-{number:04}": model.Client(code=f"C-{number:04}", name=name)
        for number, name in enumerate(("May Brandvold", "Sky Ostermarr", "Rose Falkensted", "June Vantaranta"))
    }
    return paper_catalogue(tmp_path, *pieces, clients=clients)


def test_stories_of_our_own_are_no_alarm_at_all(own, tmp_path):
    folder = tmp_path / "site"
    folder.mkdir()
    found = find_leaks(write_pages(folder), private_values(own, decide_all(own)))
    assert leak_findings(found) == ()


def test_a_note_among_the_stories_is_found_all_the_same(own, tmp_path):
    folder = tmp_path / "site"
    folder.mkdir()
    page = write_pages(folder) / "00.html"
    note = own.pieces[0].notes
    page.write_text(page.read_text("utf-8").replace("</p>", f" {note}.</p>", 1), encoding="utf-8")
    assert [(leak.file, leak.value) for leak in find_leaks(folder, private_values(own, decide_all(own)))] == [
        ("00.html", note)
    ]


@pytest.mark.parametrize("text", ["charged 200 EUR", "€ 210", "was 220,00 €", "230 euros", "cost 240", "USD 1,250.50"])
def test_what_was_charged_is_a_question_where_a_currency_stands_beside_it(own, tmp_path, text):
    folder = tmp_path / "site"
    folder.mkdir()
    prices = {piece.record.price.charged for piece in own.pieces} | {1250.5}
    own = paper_catalogue(tmp_path, *own.pieces, make_piece("p", make_record(price=model.Price(charged=1250.5))))
    (folder / "a.html").write_text(f"<p>The heron, {text}.</p>", encoding="utf-8")
    ((leak),) = find_leaks(folder, private_values(own, decide_all(own)))
    assert (leak.what, leak.sure, float(leak.value) in prices) == ("price", False, True)


@pytest.mark.parametrize("text", ["200 pieces", "in 2019, 210 more", "€ 205", "call 220 230 240", "room 200", "9 EUR"])
def test_a_number_that_is_no_price_is_none(own, tmp_path, text):
    folder = tmp_path / "site"
    folder.mkdir()
    (folder / "a.html").write_text(f"<p>{text}</p>", encoding="utf-8")
    assert find_leaks(folder, private_values(own, decide_all(own))) == []


def test_an_amount_that_the_site_itself_names_is_no_question(own, tmp_path):
    folder = tmp_path / "site"
    folder.mkdir()
    (folder / "a.html").write_text("<p>Deposit 50 EUR.</p>", encoding="utf-8")
    assert find_leaks(folder, private_values(own, decide_all(own))) != []
    public = paper_catalogue(tmp_path, *own.pieces, texts={"booking": "The deposit is 50 €."})
    assert find_leaks(folder, private_values(public, decide_all(public))) == []
