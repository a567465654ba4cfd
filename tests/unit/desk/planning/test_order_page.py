"""The desk's page of an order of work: the plan follows what is moved, and is kept after a yes."""

import dataclasses
import re
import tomllib

import html5lib
import pytest

from archgen.desk.planning import order_page
from archgen.outputs.reprints.registration import ReferencePlace
from archgen.outputs.reprints.working_print import registered
from tests.cli.test_values import RECORD, landmarks
from tests.unit.desk.asking import Asker
from tests.unit.desk.conftest import copied, opened
from tests.unit.shading import a_vase

VASE = "2026-05-01-vase"


@pytest.fixture
def archive(read_archive_folder, tmp_path):
    return copied(read_archive_folder, tmp_path / "desk") / "archive"


@pytest.fixture
def asker(archive):
    piece = archive / f"pieces/{VASE}"
    for name, picture in (("stencils", a_vase.stencil()), ("references", a_vase.reference())):
        (piece / name).mkdir(parents=True)
        picture.save(piece / name / "vase.png")
    (piece / "piece.toml").write_text(RECORD + landmarks(), encoding="utf-8")
    order_page._laid.__wrapped__.cache_clear()
    (archive / "pieces/2026-01-02-bare").mkdir()
    (archive / "pieces/2026-01-02-bare/piece.toml").write_text('title = "Bare"\n', encoding="utf-8")
    return Asker(opened(archive, archive.with_name("archive-built")))


def shares(page):
    (share,) = re.findall(r"bare skin, or one lightest wash</td><td>[^<]*</td><td>(\d+)%", page.text)
    return int(share)


def numbers(page):
    return set(re.findall(r'class="order-number"[^>]*>(\d+)<', page.text))


def test_the_plan_its_numbers_and_its_steps_stand_on_the_page(asker):
    page = asker.get(f"order/{VASE}.html")
    assert page.status == 200
    html5lib.HTMLParser(strict=True).parse(page.text)
    assert "Version 1 · 50" in page.text
    steps = set(re.findall(r'<th scope="row">(\d+)</th>', page.text))
    assert numbers(page) == steps - {"1", max(steps, key=int)}
    assert page.text.count('src="data:') + page.text.count('href="data:image/png;base64,') == 2
    assert "1009RL: soft shade, 1 piece" in page.text
    assert f'href="order/{VASE}.html"' in asker.get(f"pieces/{VASE}.html").text.replace("../", "")


def test_three_things_are_moved_and_the_plan_follows(asker):
    usual = asker.get(f"order/{VASE}.html")
    was = re.search(r'name="was-bare" value="(\d+)"', usual.text)[1]
    same = asker.get(f"order/{VASE}.html?bare={was}&was-bare={was}&areas=40")
    assert shares(same) == shares(usual)
    assert re.search(rf'role="status">\d+ areas in \d tones, {shares(usual)}% left bare<', usual.text)
    moved = asker.get(f"order/{VASE}.html?bare=70&was-bare={was}")
    assert 60 <= shares(moved) <= 80
    assert 'name="set-bare" value="yes"' in moved.text
    still = asker.get(f"order/{VASE}.html?bare=70&was-bare=70&set-bare=yes")
    assert shares(still) == shares(moved)
    fine = asker.get(f"order/{VASE}.html?needle=1003RL")
    assert "disc of 0.65 mm" in fine.text
    assert len(numbers(asker.get(f"order/{VASE}.html?areas=5"))) <= 4
    assert "from the left, in bands" in asker.get(f"order/{VASE}.html?start=left").text


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("areas=x", "“x” isn't a whole number"),
        ("tones=9", "Use 3 to 7"),
        ("needle=thick", "doesn't say how many needles"),
    ],
)
def test_what_makes_no_sense_is_said(asker, query, said):
    page = asker.get(f"order/{VASE}.html?{query}")
    assert page.status == 409
    assert said in page.text.replace("&#39;", "'")


def test_the_page_is_printed_as_it_is_shown(asker):
    printed = asker.get(f"order/{VASE}.pdf?needle=1003RL")
    assert printed.status == 200
    assert printed.body[:5] == b"%PDF-"


def test_the_plan_is_kept_and_comes_out_again(asker, archive):
    page = asker.get(f"order/{VASE}.html?areas=20&bare=50&was-bare=1&enclosed=20+60+bare")
    form = page.text.split('action="')[-1].split("</form>")[0]
    fields = re.findall(r'name="([^"]+)" value="([^"]*)"', form)
    answer = asker.post("pen/order", fields)
    assert answer.status == 303
    kept = tomllib.loads((archive / f"pieces/{VASE}/piece.toml").read_text(encoding="utf-8"))["values"]
    assert (kept["areas"], kept["enclosed"], kept["needle"]) == (20, ["20.0 60.0 bare"], "1009RL")
    again = asker.get(f"order/{VASE}.html")
    assert shares(again) == shares(page)
    assert "Keep it so" in again.text


def test_a_place_that_is_only_proposed_is_looked_at_first(asker, monkeypatch):
    def proposed(plan, beside):
        return dataclasses.replace(registered(plan, beside), placement=ReferencePlace.PROPOSED)

    monkeypatch.setattr(order_page, "registered", proposed)
    page = asker.get(f"order/{VASE}.html")
    assert "Do its lines lie right?" in page.text
    assert 'id="h-plan"' not in page.text
    assert asker.get(f"order/{VASE}-place.png").body[:4] == b"\x89PNG"
    seen = asker.get(f"order/{VASE}.html?seen=yes")
    assert "laid by its lines, checked by eye" in seen.text
    assert 'name="place" value="yes"' in seen.text


def test_a_piece_without_a_drawing_says_what_to_do(asker):
    page = asker.get("order/2026-01-02-bare.html")
    assert page.status == 409
    assert "Bare has neither a stencil nor a reference picture" in page.text
    assert "Order of work" not in asker.get("pieces/2026-01-02-bare.html").text
