"""The desk's page for a quote."""

import shutil

import html5lib
import pytest

from tests.unit.desk.asking import Asker
from tests.unit.desk.conftest import copied, opened

OWL = "2026-03-14-barn-owl"
WISH = "quote.html?width=60&height=90mm&style=fine+line&placement=calf&hour=120"


@pytest.fixture(scope="module")
def asker(read_archive_folder, tmp_path_factory):
    folder = copied(read_archive_folder, tmp_path_factory.mktemp("quote") / "desk")
    for number in range(1, 14):
        other = folder / f"archive/pieces/2026-02-{number:02}-another"
        shutil.copytree(folder / f"archive/pieces/{OWL}", other)
        text = (other / "piece.toml").read_text(encoding="utf-8")
        hours = 20 if number == 5 else 3
        (other / "piece.toml").write_text(
            text.replace("Barn owl", f"Another {number}")
            .replace("2026-03-14", f"2026-02-{number:02}")
            .replace("hours = 3", f'hours = {hours}\nnote = "slow skin {number}"'),
            encoding="utf-8",
        )
    return Asker(opened(folder / "archive", folder / "archive-built"))


def test_the_form_is_empty_and_nothing_is_foretold_yet(asker):
    page = asker.get("quote.html")
    assert page.status == 200
    assert 'name="width" value=""' in page.text
    assert "About" not in page.text
    assert "Outer forearm" in page.text


def test_the_quote_stands_below_with_the_pieces_like_it(asker):
    page = asker.get(WISH)
    assert page.status == 200
    html5lib.HTMLParser(strict=True).parse(page.text)
    assert "About 3 h" in page.text
    assert "at 120 an hour, as you set it" in page.text
    assert 'value="60"' in page.text
    assert f'href="pieces/{OWL}.html"' in page.text
    checks = page.text.split("Please check the hours of these")[1]
    assert "Another 5" in checks


def test_notes_come_back_by_place_and_by_client_and_not_on_the_clients_page(asker):
    place = asker.get(WISH.replace("calf", "outer+forearm")).text
    assert "Noted before" in place
    assert "sitting, 13 Feb 2026: slow skin 13" in place
    client = asker.get(f"{WISH}&client=c42").text
    assert "this client, sitting, 13 Feb 2026: slow skin 13" in client
    assert "client=&" in client.replace('client="', "client=&")
    assert "Noted before" not in asker.get(WISH).text
    assert "slow" not in asker.get(f"{WISH}&client=c42".replace("quote.html", "quote-client.html")).text


def test_the_clients_page_has_no_way_back_into_the_archive(asker):
    page = asker.get(WISH.replace("quote.html", "quote-client.html"))
    assert page.status == 200
    html5lib.HTMLParser(strict=True).parse(page.text)
    assert "Hours of tattooing: about 3\N{NO-BREAK SPACE}h" in page.text
    assert "href" not in page.text
    assert "owl" not in page.text.lower()
    assert "Another" not in page.text
    assert "quote-client.html?width=60&amp;height=90mm&amp;style=fine+line&amp;placement=calf" in asker.get(WISH).text


@pytest.mark.parametrize(
    ("question", "asked"),
    [
        ("width=60", "Width and height are both needed."),
        ("height=60", "Width and height are both needed."),
        ("width=x&height=90", "“x”: a length is a number"),
        ("width=60&height=90&placement=arm", "“arm” is not one place on the body."),
        ("width=60&height=90&hour=free", "The price of an hour is a number"),
        ("width=60&height=90&hour=-1", "The price of an hour is a number"),
    ],
)
def test_what_is_not_understood_is_asked_about_beside_what_was_typed(asker, question, asked):
    page = asker.get(f"quote.html?{question}")
    assert page.status == 409
    assert asked in page.text
    assert "About 3 h" not in page.text
    assert 'role="alert"' in page.text
    assert asker.get(f"quote-client.html?{question}").status == 409


def test_a_way_leads_there_from_the_first_page(asker):
    assert 'href="quote.html"' in asker.get("").text


def test_too_few_pieces_have_nothing_to_show(still_state):
    desk = Asker(still_state)
    assert "12 are needed" in desk.get(WISH).text
    assert "quote-client" not in desk.get(WISH).text
    assert "Nothing to show yet" in desk.get(WISH.replace("quote.html", "quote-client.html")).text
