"""The page of doubles in a real browser: real pictures, compared and laid over each other."""

import datetime as dt
import io

import numpy as np
import pytest
from PIL import Image, ImageOps
from playwright.sync_api import expect

from archgen.build import Options, build
from archgen.progress import Silent
from tests.drawn_twins import drawing, photo, piece, save

pytestmark = pytest.mark.browser

NOON = "2026:03:14 12:00:0{}"
DECISIONS = """
[[same]]
images = ["pieces/moth/references/a.jpg", "pieces/moth/references/b.jpg"]
reason = "the same plate <twice>"
date = 2026-04-01
"""


@pytest.fixture(scope="module")
def doubles(tmp_path_factory):
    """An archive with a burst of three, one stencil mirrored in a second piece, and a decided pair."""
    folder = tmp_path_factory.mktemp("doubles")
    root = folder / "content"
    owl, moth = piece(root, "owl"), piece(root, "moth")
    for number in range(3):
        shifted = photo(1, shift=(6 * number, 4 * number))
        save(shifted, owl / "photos" / f"{number}.jpg", taken=NOON.format(number), quality=95)
    save(drawing(1), owl / "stencils" / "owl.png")
    save(ImageOps.mirror(drawing(1)).resize((360, 450)), moth / "stencils" / "moth.png")
    save(photo(7), moth / "references" / "a.jpg", quality=95)
    save(photo(7, light=1.2), moth / "references" / "b.jpg", quality=95)
    (root / "decisions.toml").write_text(DECISIONS)
    build(root, folder / "build", Options(2, dt.date(2026, 11, 25)), Silent())
    return folder / "build" / "archive" / "doubles.html"


@pytest.fixture
def page(doubles, visit):
    return visit(doubles).page


def group(page, words):
    found = page.locator("[data-double]", has_text=words)
    page.get_by_role("navigation", name="Open pairs").get_by_role("link").filter(has_text=words).click()
    found.scroll_into_view_if_needed()
    found.locator(".laid svg").wait_for()
    return found


def darkness(stage):
    stage.locator("image").last.evaluate("image => image.decode ? image.decode() : null")
    stage.page.wait_for_timeout(150)
    shot = Image.open(io.BytesIO(stage.locator("svg").screenshot())).convert("L")
    inner = np.asarray(shot)[40:-40, 40:-40]
    return float(255 - inner.mean())


def test_what_is_undecided_comes_first_and_what_is_decided_is_folded(page):
    assert page.locator("[data-double]").count() == 2
    assert page.get_by_text("Decided: 1").is_visible()
    assert not page.get_by_text("the same plate <twice>").is_visible()
    page.get_by_text("Decided: 1").click()
    assert page.get_by_text("the same plate <twice>").is_visible()


def test_the_keys_switch_the_group_in_view(page):
    burst = group(page, "Photos of one moment")
    views = list[str]()
    for key in "1234":
        page.keyboard.press(key)
        views.append(burst.locator(".laid").get_attribute("data-view"))
        assert burst.locator('[data-set][aria-pressed="true"]').get_attribute("data-set") == views[-1]
    assert views == ["first", "second", "both", "difference"]


def test_one_pair_is_shown_at_a_time_and_the_list_says_which(page):
    assert page.locator("[data-double]:visible").count() == 1
    links = page.get_by_role("navigation", name="Open pairs").get_by_role("link")
    assert links.count() == 2
    for number in (1, 0):
        links.nth(number).click()
        shown = page.locator("[data-double]:visible")
        assert shown.count() == 1
        assert links.nth(number).get_attribute("href") == f"#{shown.get_attribute('id')}"
        assert links.nth(number).get_attribute("aria-current") == "true"
    assert page.locator('.pairs [aria-current="true"]').count() == 1


def test_later_leads_to_the_next_pair_and_from_the_last_to_the_first(page):
    shown = page.locator("[data-double]:visible")
    first = shown.get_attribute("id")
    page.get_by_role("link", name="Later, the next pair").locator("visible=true").click()
    expect(shown).not_to_have_id(first)
    page.get_by_role("link", name="Later, the next pair").locator("visible=true").click()
    expect(shown).to_have_id(first)


def test_the_view_opens_on_the_difference(page):
    for words in ("Photos of one moment", "mirrored"):
        shown = group(page, words)
        assert shown.locator(".laid").get_attribute("data-view") == "difference"
        assert shown.locator('[data-set][aria-pressed="true"]').inner_text() == "Difference"


def test_the_keys_leave_the_pair_that_is_not_shown_alone(page):
    group(page, "Photos of one moment")
    stencils = group(page, "mirrored")
    page.keyboard.press("2")
    assert stencils.locator(".laid").get_attribute("data-view") == "second"
    burst = page.locator("[data-double]", has_text="Photos of one moment")
    assert burst.locator(".laid").get_attribute("data-view") == "difference"


@pytest.mark.parametrize("words", ["Photos of one moment", "mirrored"])
def test_the_second_picture_lies_exactly_on_the_first(page, words):
    stage = group(page, words).locator(".laid")
    page.locator("[data-double]", has_text=words).locator('[data-set="difference"]').click()
    aligned = darkness(stage)
    stage.locator(".b").evaluate("layer => layer.removeAttribute('transform')")
    assert aligned < 0.35 * darkness(stage)


def test_any_other_picture_of_the_group_can_be_laid_on_the_first(page):
    burst = group(page, "Photos of one moment")
    before = burst.locator(".b image").get_attribute("href")
    burst.locator("[data-second]").select_option("1")
    assert burst.locator(".b image").get_attribute("href") != before
    assert burst.locator(".laid svg").count() == 1


def test_a_burst_says_why_its_first_is_first(page):
    burst = group(page, "Photos of one moment")
    assert burst.get_by_text("The sharpest of 3 is first").is_visible()
    assert "the sharpest" in burst.locator("figcaption").first.inner_text()
    assert "Laplacian" not in page.locator("main").inner_text()


def test_how_the_switch_works_is_told_once(page):
    assert page.locator("main").inner_text().count("Keys 1 to 4") == 1


def test_on_a_phone_nothing_is_said_of_keys_and_three_pictures_leave_no_hole(doubles, visit):
    page = visit(doubles, width=390).page
    assert "Keys 1 to 4" not in page.locator("main").inner_text()
    third = group(page, "Photos of one moment").locator("figure").nth(2)
    picture, words = third.locator("img").bounding_box(), third.locator("figcaption").bounding_box()
    assert words["x"] >= picture["x"] + picture["width"]
    assert words["y"] < picture["y"] + picture["height"]


def test_without_scripts_the_pictures_stand_side_by_side(doubles, window):
    page = window(java_script_enabled=False)
    page.goto(doubles.as_uri())
    assert page.locator("figure:visible").count() == 5
    assert page.locator(".lay:visible").count() == 0


@pytest.mark.parametrize("width", [390, 1440])
def test_the_page_is_quiet_narrow_and_accessible(doubles, visit, axe, width):
    seen = visit(doubles, width=width)
    for words in ("Photos of one moment", "mirrored"):
        group(seen.page, words)
        assert seen.overhang <= 0
        assert axe.in_both_schemes(seen.page) == []
    seen.page.locator("details").evaluate_all("parts => parts.forEach(part => { part.open = true; })")
    assert seen.overhang <= 0
    assert axe.in_both_schemes(seen.page) == []
    seen.page.emulate_media(color_scheme="dark")
    assert seen.overhang <= 0
    assert seen.console == []
    assert seen.outside == []


def test_the_page_is_valid(doubles, vnu):
    assert vnu(doubles) == []
