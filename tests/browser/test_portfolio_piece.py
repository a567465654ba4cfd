"""A piece's page in the portfolio: fresh laid on healed with a line to move, the next piece by link, key and swipe."""

import io
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

from archgen.outputs.portfolio.theme import theme_folders
from archgen.picture_facts.facts import Derivative
from archgen.picture_facts.laid_facts import FramePart
from archgen.publication.public_catalogue import FreshOnHealed
from tests.browser.page_checks import assert_holds_everywhere
from tests.builders import make_catalogue, make_piece, make_record
from tests.portfolio_pages import write_portfolio

pytestmark = pytest.mark.browser
THEMES = tuple(theme_folders())
OWL = "pieces/barn-owl.html"


@pytest.fixture(scope="module")
def sites(tmp_path_factory):
    """Three pieces in every look; the owl's fresh photo, plain red, covers its healed one but for the rims."""
    titles = ("Barn owl", "Luna moth", "Fern")
    pieces = [make_piece(f"2026-0{4 - n}-01-x", make_record(title=title)) for n, title in enumerate(titles, 1)]
    root = tmp_path_factory.mktemp("archive")
    catalogue = make_catalogue(root, *pieces)
    laid = Image.new("RGBA", (800, 1000))
    laid.paste((255, 0, 0, 255), (80, 50, 720, 850))
    laid.save(root / "blobs/layer.webp", lossless=True)
    layer = Derivative(800, 1000, "layer.webp")
    both = FramePart(0.1, 0.05, 0.8, 0.8)
    laid = {pieces[0].id: FreshOnHealed("photos/owl-fresh.jpg", "photos/owl-healed.jpg", layer, both)}
    made = {}
    for theme in THEMES:
        settings = replace(catalogue.config.portfolio, theme=theme, url=None, languages=("en", "ar"))
        looks = replace(catalogue, config=replace(catalogue.config, portfolio=settings))
        made[theme] = write_portfolio(looks, tmp_path_factory.mktemp(theme), laid=laid)
    return made


def red_share(page):
    """Say how much of the laid picture shows the fresh one."""
    seen = np.asarray(Image.open(io.BytesIO(page.locator(".over").screenshot())).convert("RGB"), int)
    return float(((seen[..., 0] > 200) & (seen[..., 1] < 60)).mean())


@pytest.fixture(params=THEMES)
def owl(request, sites, visit):
    return visit(sites[request.param] / OWL)


def test_the_line_moves_by_keys_and_says_where_it_is_and_no_other_piece_comes(owl):
    page, slider = owl.page, owl.page.locator(".over input")
    assert red_share(page) == pytest.approx(0.5, abs=0.05)
    slider.press("End")
    assert red_share(page) > 0.9
    slider.press("ArrowLeft")
    assert slider.get_attribute("aria-valuetext") == "Fresh, the same day 99 %, Healed, two months later 1 %"
    slider.press("Home")
    assert red_share(page) < 0.1
    slider.press("ArrowLeft")
    assert page.url.endswith(OWL)
    assert owl.console == []


def test_only_what_both_photos_show_is_shown_as_it_is_and_as_wide_as_any_photo(owl):
    box = owl.page.locator(".over").bounding_box()
    assert box["width"] / box["height"] == pytest.approx(800 / 1000, rel=0.01)
    assert box["width"] == pytest.approx(owl.page.locator(".pics").bounding_box()["width"], rel=0.2)
    healed = owl.page.locator(".over img").first.bounding_box()
    assert healed["width"] == pytest.approx(box["width"] / 0.8, rel=0.01)
    assert healed["y"] == pytest.approx(box["y"] - 0.05 * healed["height"], abs=1.5)


def test_each_of_the_two_opens_large_from_below_the_picture(owl):
    fresh, healed = owl.page.locator(".laid figcaption a").all()
    assert (fresh.inner_text(), healed.inner_text()) == ("Fresh, the same day", "Healed, two months later")
    assert fresh.get_attribute("href").endswith("barn-owl-2-800.webp")
    fresh.click()
    assert owl.page.url.endswith("barn-owl-2-800.webp")


@pytest.mark.parametrize("theme", THEMES)
def test_without_scripts_and_on_paper_both_photos_stand_by_themselves(sites, window, visit, theme):
    page = window(java_script_enabled=False)
    page.goto((sites[theme] / OWL).as_uri())
    printed = visit(sites[theme] / OWL).page
    printed.emulate_media(media="print")
    for seen in (page, printed):
        assert not seen.locator(".laid").is_visible()
        assert [one.is_visible() for one in seen.locator(".pics .apart").all()] == [True, True]
    assert page.locator(".turn a[rel=next]").is_visible()


@pytest.mark.parametrize("theme", THEMES)
def test_the_laid_picture_holds_everywhere_and_axe_finds_nothing(sites, visit, axe, vnu, theme):
    seen = visit(sites[theme] / OWL, width=390)
    assert axe(seen.page) == []
    assert_holds_everywhere(seen.page)
    assert vnu(sites[theme] / OWL) == []


@pytest.mark.parametrize(
    ("folder", "key", "place"), [("", "ArrowRight", "luna-moth"), ("ar/", "ArrowLeft", "luna-moth")]
)
def test_the_next_piece_comes_by_arrow_key_and_the_one_before_by_the_other(sites, visit, folder, key, place):
    back = {"ArrowRight": "ArrowLeft", "ArrowLeft": "ArrowRight"}[key]
    page = visit(sites[THEMES[0]] / f"{folder}{OWL}").page
    page.keyboard.press(back)  # the first has none before it
    page.keyboard.press(f"Alt+{key}")
    page.keyboard.press(key)
    page.wait_for_url(f"**/{folder}pieces/{place}.html")
    page.keyboard.press(back)
    page.wait_for_url(f"**/{folder}{OWL}")


def swipe(page, points, pause=0.02):
    """Draw one finger over the page."""
    hand = page.context.new_cdp_session(page)
    for kind, at in zip(("touchStart", *["touchMove"] * (len(points) - 1)), points, strict=True):
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": at[0], "y": at[1]}]})
        page.wait_for_timeout(pause * 1000)
    hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    page.wait_for_timeout(500)


@pytest.mark.parametrize(
    ("points", "pause", "place"),
    [
        pytest.param([(300, 300), (240, 304), (150, 310)], 0.02, "pieces/fern.html", id="along"),
        pytest.param([(120, 300), (180, 304), (270, 310)], 0.02, OWL, id="the other way"),
        pytest.param([(300, 300), (280, 300), (260, 300)], 0.02, "pieces/luna-moth.html", id="a little"),
        pytest.param([(300, 300), (260, 240), (200, 200)], 0.02, "pieces/luna-moth.html", id="across"),
        pytest.param([(300, 300), (240, 304), (150, 310)], 0.4, "pieces/luna-moth.html", id="slowly"),
        pytest.param([(385, 300), (300, 304), (200, 310)], 0.02, "pieces/luna-moth.html", id="from the edge"),
    ],
)
def test_one_quick_finger_along_turns_the_page_and_nothing_else_does(sites, window, points, pause, place):
    page = window(viewport=(390, 800), has_touch=True, is_mobile=True)
    page.goto((sites[THEMES[0]] / "pieces/luna-moth.html").as_uri())
    for _ in range(3):  # a busy machine may take a quick finger for a slow one
        if page.url.endswith("luna-moth.html"):
            swipe(page, points, pause)
    assert page.url.endswith(place)


def test_a_finger_on_the_line_moves_the_line_and_no_page(sites, window):
    page = window(viewport=(390, 800), has_touch=True, is_mobile=True)
    page.goto((sites[THEMES[0]] / OWL).as_uri())
    box = page.locator(".over").bounding_box()
    middle, high = box["x"] + box["width"] / 2, box["y"] + box["height"] / 3
    swipe(page, [(middle, high), (middle - 60, high), (middle - 140, high)])
    assert page.url.endswith(OWL)
    assert int(page.locator(".over input").input_value()) < 30


def test_the_way_from_piece_to_piece_is_that_of_the_first_page(sites):
    for theme in THEMES:
        home = (sites[theme] / "index.html").read_text()
        order = sorted(("barn-owl", "luna-moth", "fern"), key=lambda name: home.index(f"pieces/{name}.html"))
        for here, there in pairwise(order):
            assert f'href="../pieces/{there}.html" rel="next"' in (sites[theme] / f"pieces/{here}.html").read_text()
