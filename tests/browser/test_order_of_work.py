"""The desk's order of work in a real browser: three things are moved, and the plan follows where it stands."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.test_desk import OpenDesk
from tests.cli.test_values import RECORD, landmarks
from tests.unit.shading import a_vase

pytestmark = pytest.mark.browser
VASE = "2026-05-01-vase"
# A plan takes a second or two, on a busy machine many.
LONGEST_MS = 60_000


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    folder = tmp_path_factory.mktemp("desk")
    piece = folder / "archive/pieces" / VASE
    for name, picture in (("stencils", a_vase.stencil()), ("references", a_vase.reference())):
        (piece / name).mkdir(parents=True)
        picture.save(piece / name / "vase.png")
    (piece / "piece.toml").write_text(RECORD + landmarks(), encoding="utf-8")
    return OpenDesk(folder, with_archive=False)


def test_the_plan_follows_bare_skin_needle_and_areas_without_another_page(desk, visit):
    page = visit(f"{desk.address}order/{VASE}.html").page
    page.evaluate("document.body.dataset.same = 'page'")
    said = page.locator("#o-said")
    first = said.inner_text()
    assert re.fullmatch(r"\d+ areas in \d tones, \d+% left bare", first)

    page.locator("#o-bare").focus()
    for _ in range(3):
        page.keyboard.press("PageUp")
    expect(said).not_to_have_text(first, timeout=LONGEST_MS)
    assert _share(said.inner_text()) > _share(first)

    page.locator("#o-needle").fill("1001RL")
    page.keyboard.press("Tab")
    expect(page.locator("#o-result")).to_contain_text("disc of 0.30 mm", timeout=LONGEST_MS)
    page.locator("#o-areas").focus()
    page.keyboard.press("Home")
    page.wait_for_url("**areas=5&**", timeout=LONGEST_MS)
    assert re.match("[1-5] areas", said.inner_text())
    assert page.locator(".order-plan .order-number").count() <= 5
    assert page.evaluate("document.body.dataset.same") == "page"


def _share(said):
    return int(re.search(r"(\d+)% left bare", said)[1])
