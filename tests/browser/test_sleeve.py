"""The page with a client's limbs laid flat, in a real browser."""

import datetime as dt

import pytest

from archgen.build import Options, build
from archgen.progress import Silent
from tests.browser.page_checks import assert_loses_nothing_enlarged
from tests.cli.archive import draw_f

pytestmark = pytest.mark.browser

RECORD = """title = "{title}"
client = "C-0042"
finished = 2026-0{number}-01
[size]
width = "54 mm"
height = "103 mm"
[placement]
region = "{region}"
side = "left"
girth = "286 mm"
[[stencil]]
file = "stencils/a.png"
width = "54 mm"
"""
CLIENTS = '[[client]]\ncode = "C-0042"\nnotes = "Wants a moth on the shin."\n'


PIECES = (("Snake", "forearm-outer"), ("Owl <i>", "upper-arm-front"), ("Fern", "ribs"))
HEIGHTS = "all => all.map(one => one.getBBox().height)"


@pytest.fixture(scope="module")
def archive(tmp_path_factory):
    folder = tmp_path_factory.mktemp("sleeve")
    root = folder / "content"
    for number, (title, region) in enumerate(PIECES, 1):
        piece = root / f"pieces/2026-0{number}-01-piece"
        draw_f(piece / "stencils/a.png")
        (piece / "piece.toml").write_text(RECORD.format(title=title, number=number, region=region), encoding="utf-8")
    (root / "clients.toml").write_text(CLIENTS, encoding="utf-8")
    build(root, folder / "build", Options(2, dt.date(2026, 11, 25)), Silent())
    return folder / "build" / "archive"


@pytest.fixture
def page(archive, visit):
    seen = visit(archive / "sleeves/C-0042.html")
    assert (seen.console, seen.outside) == ([], [])
    return seen.page


def test_the_clients_page_leads_there_and_every_piece_back(archive, visit):
    page = visit(archive / "clients/C-0042.html").page
    page.get_by_role("link", name="Laid flat, to one scale").click()
    assert page.inner_text("h1") == "Client C-0042, limbs laid flat"
    page.get_by_role("link", name="Piece 2", exact=True).click()
    assert page.inner_text("h1") == "Owl <i>"


def test_the_drawing_shows_each_piece_at_its_size_with_its_stencil(page):
    ways = page.locator(".limb-edge").evaluate_all(HEIGHTS)
    assert ways == pytest.approx([103, 103], abs=0.2)
    assert page.locator(".limb-ink image").count() == 2
    assert page.locator(".limb").text_content().count("286 mm, measured") == 2
    assert "Fern: not on an arm or leg" in page.inner_text("aside")


def test_the_width_of_a_new_piece_is_said_round_each_part(page):
    assert "80 mm" in page.locator(".limb-words tbody").inner_text()
    assert page.locator(".limb-words tbody tr").count() == 5


def test_what_was_noted_is_shown_but_not_printed(page):
    noted = page.get_by_text("Wants a moth on the shin.")
    assert noted.is_visible()
    page.emulate_media(media="print")
    assert not noted.is_visible()
    assert page.locator(".limb").is_visible()


def test_it_can_be_read_enlarged_in_the_dark_and_by_those_who_listen(page, axe, vnu, archive):
    assert axe(page) == []
    page.emulate_media(color_scheme="dark")
    assert axe(page) == []
    assert_loses_nothing_enlarged(page)
    assert vnu(archive / "sleeves/C-0042.html", archive / "clients/C-0042.html") == []


def test_a_client_with_one_piece_on_a_limb_has_no_such_page(archive):
    assert [path.name for path in (archive / "sleeves").iterdir()] == ["C-0042.html"]
