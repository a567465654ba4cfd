"""Two taps in each of two pictures: the lines are pulled in, and a yes writes where the stencil lies."""

import random
from urllib.parse import parse_qs, urlparse

import numpy as np
import pytest
from PIL import Image, ImageDraw

from archgen.desk.pens.taps import TappedPicture, carried_marks, landmark_edits, read_taps, tap_in_file, write_taps
from archgen.errors import UsageError
from archgen.records.model import Landmark, Stencil
from archgen.writing.record_text import AddTable, RemoveKey
from tests.unit.desk.pens.desk import OWL, make_archive, open_desk

# The photo shows the stencil so much smaller, so far turned, and so far from its corner.
SCALE, TURN, SHIFT = 0.8, 12.0, (420, 260)
PAGE = "lay/owl.html"
CHOSEN = {"stencil": "0", "on": "photos/skin.png", "over": ""}


def strokes():
    """Lines of a drawing that nothing else looks like, in pixels of a stencil of 900 by 1200."""
    chance = random.Random(4)
    return [
        [(chance.randrange(80, 820), chance.randrange(80, 1120)) for _ in range(chance.randrange(3, 6))]
        for _ in range(22)
    ]


def on_skin(point):
    turn = np.radians(TURN)
    x, y = SCALE * point[0], SCALE * point[1]
    return x * np.cos(turn) - y * np.sin(turn) + SHIFT[0], x * np.sin(turn) + y * np.cos(turn) + SHIFT[1]


@pytest.fixture(scope="module")
def read_archive(tmp_path_factory):
    """An archive with a stencil and its skin, whose pictures are in the cache."""
    place = tmp_path_factory.mktemp("taps")
    root = make_archive(place / "content")
    owl = root / "pieces" / "owl"
    stencil, skin = Image.new("L", (900, 1200), 255), Image.new("RGB", (1400, 1600), (214, 170, 146))
    for line in strokes():
        ImageDraw.Draw(stencil).line(line, fill=0, width=5, joint="curve")
        ImageDraw.Draw(skin).line([on_skin(point) for point in line], fill=(60, 45, 50), width=4, joint="curve")
    stencil.save(owl / "stencils" / "owl-1.png")
    skin.save(owl / "photos" / "skin.png")
    record = OWL + '\n[[photo]]\nfile = "photos/skin.png"\nstage = "fresh"\n'
    (owl / "piece.toml").write_text(record, "utf-8")
    open_desk(root, place / "build")
    return place


def tapped(desk, *taps):
    """Tap on the page as a browser without script sends it, each tap a few pixels beside its place."""
    sent = dict(CHOSEN)
    for number, (x, y) in enumerate(taps):
        width = 1400 if number % 2 else 900
        page = desk.page(PAGE, sent).text
        assert 'type="image" name="tap"' in page
        scale = 340 / width
        sent |= {"width": "340", "tap.x": str(round(x * scale)), "tap.y": str(round(y * scale))}
        page = desk.page(PAGE, sent)
        taps_now = page.text.partition('name="taps" value="')[2].partition('"')[0]
        sent = CHOSEN | {"taps": taps_now} if taps_now else sent
        last = page
    return last.text


def test_the_pairs_of_a_piece_are_listed(desk):
    page = desk.get(PAGE)
    assert "Version 1 on the fresh" in page
    assert "photos/skin.png" in page
    assert "references/field.png" in page


def test_four_taps_lay_the_stencil_on_the_skin_and_a_yes_writes_where(desk):
    one, two = strokes()[0][0], strokes()[13][1]
    page = tapped(desk, one, on_skin(one), two, on_skin(two))
    assert "The lines lie on each other" in page
    fields = {
        name: page.partition(f'name="{name}" value="')[2].partition('"')[0] for name in ("piece", "seen", "points")
    }
    desk.post("pen/landmarks", fields | CHOSEN)
    assert desk.last.status_code == 200
    marks = desk.record()["stencil"][0]["landmark"]
    assert [mark["on"] for mark in marks] == ["photos/skin.png"] * 3
    for mark in marks:
        off = np.hypot(*(np.array(on_skin(mark["stencil"])) - mark["at"]))
        assert off < 4, mark  # a tap is a whole pixel of a copy a quarter as wide: the lines did better
    assert "# my owl" in desk.text()
    other = strokes()[5][0]
    again = tapped(desk, one, on_skin(one), other, on_skin(other))
    sent = {name: again.partition(f'name="{name}" value="')[2].partition('"')[0] for name in fields}
    desk.post("pen/landmarks", sent | CHOSEN)
    assert len(desk.record()["stencil"][0]["landmark"]) == 3
    assert desk.record()["stencil"][0]["landmark"] != marks
    desk.take_back()
    assert desk.record()["stencil"][0]["landmark"] == marks
    assert "laid already" in desk.get(PAGE)


def test_one_tap_in_each_shows_the_lines_and_a_yes_is_enough_where_they_settle_it(desk):
    one = strokes()[0][0]
    page = tapped(desk, one, on_skin(one))
    assert "The lines lie here." in page
    assert 'class="laid-line"' in page
    assert "Tap a second point on the stencil" in page
    fields = {
        name: page.partition(f'name="{name}" value="')[2].partition('"')[0] for name in ("piece", "seen", "points")
    }
    desk.post("pen/landmarks", fields | CHOSEN)
    marks = desk.record()["stencil"][0]["landmark"]
    assert len(marks) == 3
    for mark in marks:
        assert np.hypot(*(np.array(on_skin(mark["stencil"])) - mark["at"])) < 4, mark


def test_one_tap_in_the_wrong_place_is_not_called_right(desk):
    page = tapped(desk, strokes()[0][0], (1300, 1500))
    assert "The lines lie here." not in page
    assert "Yes, keep it" not in page


def test_taps_in_the_wrong_place_are_not_called_right(desk):
    page = tapped(desk, (100, 100), (1300, 200), (800, 1100), (900, 300))
    assert "Look closely" in page
    assert "by eye only" in page


@pytest.mark.parametrize(
    "wrong",
    [
        {"taps": "1,2;x"},
        {"taps": "1,2;3,4;5,6;7,8;9,9"},
        {"taps": "100,100;100,100;105,100;800,800"},
        {"tap.x": "99999", "tap.y": "4"},
        {"tap.x": "-4", "tap.y": "4"},
        {"tap.x": "1e3", "tap.y": "4"},
    ],
)
def test_taps_that_cannot_be_are_asked_again(desk, wrong):
    page = desk.page(PAGE, CHOSEN | wrong)
    assert page.status_code == 200
    assert 'role="alert"' in page.text
    assert 'type="image"' in page.text


@pytest.mark.parametrize("points", ["", "1,2,3", "x,1,1,1", "99999,1,1,1;1,1,99999,1"])
def test_points_that_cannot_be_write_nothing(desk, points):
    before = desk.text()
    desk.post("pen/landmarks", CHOSEN | {"piece": "owl", "seen": "", "points": points})
    assert desk.last.status_code == 409
    assert desk.text() == before


def test_taps_come_back_as_written():
    taps = ((1.0, 2.0), (300.0, 4.0))
    assert read_taps(write_taps(taps)) == taps
    assert read_taps("") == ()


def test_points_on_the_same_picture_make_way_and_others_stay():
    stencil = Stencil(
        file="a.png",
        landmark=(
            Landmark(stencil=(1, 1), on="photos/a.jpg", at=(1, 1)),
            Landmark(stencil=(1, 1), on="photos/b.jpg", at=(1, 1)),
            Landmark(stencil=(2, 2), on="photos/a.jpg", at=(2, 2)),
        ),
    )
    edits = landmark_edits(stencil, 3, "photos/a.jpg", [((5, 6), (7, 8))])
    way = ("stencil", 3, "landmark")
    assert edits == (
        RemoveKey((*way, 2)),
        RemoveKey((*way, 0)),
        AddTable(way, {"stencil": [5, 6], "on": "photos/a.jpg", "at": [7, 8]}),
    )


def test_points_are_carried_from_the_fresh_photo_to_the_healed_one():
    marks = tuple(Landmark(stencil=(n, n), on="photos/a.jpg", at=(10 * n, 20)) for n in (1, 4))
    stencil = Stencil(file="a.png", landmark=marks)
    laid = [((0, 0), (5, 7)), ((10, 0), (25, 7)), ((0, 10), (5, 27))]  # twice as large, moved by 5 and 7
    assert carried_marks(stencil, "photos/a.jpg", laid) == (((1, 1), (25, 47)), ((4, 4), (85, 47)))
    assert carried_marks(stencil, "photos/c.jpg", laid) == ()


def test_a_tap_beside_the_picture_is_refused(desk):
    facts = desk.state.current.catalogue.facts["pieces/owl/photos/skin.png"]
    picture = TappedPicture("x", facts)
    assert tap_in_file("170", "85", 340, picture) == (700, 350)
    assert tap_in_file("170", "85", 0, picture) == (170, 85)
    with pytest.raises(UsageError):
        tap_in_file("341", "85", 340, picture)


def test_an_address_says_which_pair(desk):
    desk.get(PAGE)
    hrefs = [part.partition('"')[0] for part in desk.last.text.split('href="?')[1:]]
    chosen = [parse_qs(urlparse(f"?{one}".replace("&amp;", "&")).query) for one in hrefs]
    assert {"stencil": ["0"], "on": ["photos/skin.png"]} in chosen
