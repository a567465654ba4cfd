"""The portfolio in each of its languages in a real browser, and in Arabic for its direction."""

import dataclasses

import pytest

from archgen.languages.language import spoken
from archgen.outputs.portfolio.theme import theme_folders
from archgen.records import model
from tests.builders import make_catalogue, make_piece, make_record
from tests.portfolio_pages import TEXTS, write_portfolio

pytestmark = pytest.mark.browser
THEMES = tuple(sorted(theme_folders()))
LANGUAGES = ("en", *spoken(), "ar")
# Everyday words; from memory.
STORY = model.OtherStory(language="ar", story="# بومة الحظيرة\n\nوشم صغير على الذراع.")
LEFT = "selector => document.querySelector(selector).getBoundingClientRect().left"


@pytest.fixture(scope="module")
def sites(tmp_path_factory):
    pieces = [make_piece(f"2026-0{n}-01-x", make_record(title=f"Owl {n}"), stories=(STORY,)) for n in (1, 2, 3)]
    catalogue = make_catalogue(tmp_path_factory.mktemp("archive"), *pieces)
    settings = dataclasses.replace(
        catalogue.config.portfolio,
        url=None,
        languages=LANGUAGES,
        town="Vessholm",
        open_from="February 2027",
        currency="SEK",
        description="Tattoos in line and black-and-grey.",
    )

    def site(theme):
        themed = dataclasses.replace(catalogue.config, portfolio=dataclasses.replace(settings, theme=theme))
        return write_portfolio(
            dataclasses.replace(catalogue, config=themed), tmp_path_factory.mktemp(theme), {**TEXTS, "about.ar": "وشم."}
        )

    return {theme: site(theme) for theme in THEMES}


def page_in(site, language, name):
    return site / ("" if language == "en" else language) / name


# Each language is seen on a page of each look, and each kind of page in several languages.
KINDS = ("index.html", "pieces/owl-2.html", "styles/micro-portrait.html", "booking.html", "about.html")


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("language", LANGUAGES)
def test_a_page_is_accessible_in_every_language(sites, visit, axe, theme, language):
    name = KINDS[(LANGUAGES.index(language) + THEMES.index(theme)) % len(KINDS)]
    seen = visit(page_in(sites[theme], language, name), width=390)
    assert (seen.console, seen.outside, seen.overhang) == ([], [], 0)
    assert axe(seen.page) == []
    assert seen.page.evaluate("document.documentElement.lang") == language


@pytest.mark.parametrize("theme", THEMES)
def test_no_page_is_wider_than_a_small_phone_in_any_language(sites, visit, theme):
    pages = [page_in(sites[theme], language, name) for language in LANGUAGES for name in KINDS[:2]]
    wide = {seen.page.url: seen.overhang for seen in visit.each(pages, width=320)}
    assert wide == {page.as_uri(): 0 for page in pages}


def test_pages_conform_to_html_in_every_language(sites, vnu):
    assert vnu(sites["plate"]) == []


@pytest.mark.parametrize("theme", THEMES)
def test_a_switch_leads_to_the_same_page_in_another_language_and_is_large_enough(sites, visit, theme):
    page = visit(sites[theme] / "pieces/owl-2.html", width=390).page
    fold, link = page.locator(".tongues summary"), page.locator(".tongues a[hreflang=ja]")
    assert fold.inner_text() == "English"
    assert fold.bounding_box()["height"] >= 44
    fold.press("Enter")
    assert link.bounding_box()["height"] >= 44
    link.click()
    assert page.url.endswith("/ja/pieces/owl-2.html")
    assert page.locator("dl dt").first.inner_text() == "部位"


def test_right_to_left_turns_the_whole_page_round(sites, visit):
    """What stands first in a line stands at its right; nothing is left hanging at the old side."""
    for language, is_rtl in (("en", False), ("ar", True)):
        plate = visit(page_in(sites["plate"], language, "pieces/owl-2.html"), width=1440).page
        assert (plate.evaluate(LEFT, ".mast") > plate.evaluate(LEFT, "main")) is is_rtl
        assert (plate.evaluate(LEFT, ".pics") > plate.evaluate(LEFT, ".says")) is is_rtl
        wall = visit(page_in(sites["wall"], language, "index.html"), width=1440).page
        assert (wall.evaluate(LEFT, ".n-work") > wall.evaluate(LEFT, ".n-booking")) is is_rtl
        assert (wall.evaluate(LEFT, ".work:nth-child(1)") > wall.evaluate(LEFT, ".work:nth-child(2)")) is is_rtl


@pytest.mark.parametrize("theme", THEMES)
def test_the_hidden_way_to_the_work_shows_at_the_right_where_one_reads_from_there(sites, visit, theme):
    page = visit(page_in(sites[theme], "ar", "index.html"), width=390).page
    page.keyboard.press("Tab")
    box = page.locator(".skip").bounding_box()
    assert box["x"] + box["width"] == pytest.approx(390, abs=1)


@pytest.mark.parametrize("theme", THEMES)
def test_scripts_without_slanted_letters_stand_upright(sites, visit, theme):
    page = visit(page_in(sites[theme], "ar", "pieces/owl-2.html"), width=390).page
    assert page.evaluate("getComputedStyle(document.querySelector('h1 cite')).fontStyle") == "normal"
