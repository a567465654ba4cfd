"""The portfolio's pages in a real browser: accessible, conforming, complete by themselves, inert."""

import dataclasses

import pytest

from archgen.outputs.portfolio.theme import theme_folders
from archgen.records import model
from archgen.records.designs.model import DesignState
from tests.browser.page_checks import assert_holds_everywhere
from tests.builders import make_catalogue, make_design, make_piece, make_record
from tests.portfolio_pages import TEXTS, write_portfolio

pytestmark = pytest.mark.browser
THEMES = tuple(theme_folders())
PAGES = ("index.html", "pieces/barn-owl.html", "styles/black-and-grey.html", "designs.html", "booking.html", "404.html")
MORE_PAGES = ("about.html", "care.html")


def themed(catalogue, theme, **settings):
    portfolio = dataclasses.replace(catalogue.config.portfolio, theme=theme, url=None, **settings)
    return dataclasses.replace(catalogue, config=dataclasses.replace(catalogue.config, portfolio=portfolio))


@pytest.fixture(scope="module")
def sites(tmp_path_factory):
    titles = ("Barn owl", "Luna moth", "Fern", "Koi")
    pieces = [make_piece(f"2026-0{n}-01-x", make_record(title=title)) for n, title in enumerate(titles, 1)]
    states = zip(("fern", "moth", "koi"), DesignState, strict=True)
    designs = [make_design(name, story="For **ankles**.", styles=("line",), state=state) for name, state in states]
    catalogue = make_catalogue(tmp_path_factory.mktemp("archive"), *pieces, designs=tuple(designs))
    described = {"description": "Tattoos in line and black-and-grey."}
    return {
        theme: write_portfolio(themed(catalogue, theme, **described), tmp_path_factory.mktemp(theme))
        for theme in THEMES
    }


@pytest.mark.parametrize("width", [390, 1440])
@pytest.mark.parametrize("theme", THEMES)
def test_pages_are_accessible_and_ask_for_nothing_outside(sites, visit, axe, theme, width):
    for seen in visit.each((sites[theme] / page for page in PAGES), width=width):
        assert axe.in_both_schemes(seen.page) == [], seen.page.url
        for scheme in ("light", "dark"):
            seen.page.emulate_media(color_scheme=scheme)
            assert (seen.console, seen.outside, seen.overhang) == ([], [], 0), (seen.page.url, scheme)


@pytest.mark.parametrize("page", [*PAGES, *MORE_PAGES])
@pytest.mark.parametrize("theme", THEMES)
def test_every_page_holds_everywhere(sites, visit, theme, page):
    assert_holds_everywhere(visit(sites[theme] / page).page)


@pytest.mark.parametrize("theme", THEMES)
def test_pages_conform_to_html(sites, vnu, theme):
    assert vnu(sites[theme]) == []


@pytest.mark.parametrize("theme", THEMES)
def test_the_page_for_a_wrong_address_looks_like_the_others_at_any_depth(sites, visit, tmp_path, theme):
    looks = "(look => [look.backgroundColor, look.color, look.fontFamily])(getComputedStyle(document.body))"
    (tmp_path / "404.html").write_bytes((sites[theme] / "404.html").read_bytes())
    seen = visit(tmp_path / "404.html")
    assert (seen.console, seen.outside) == ([], [])
    assert seen.page.evaluate(looks) == visit(sites[theme] / "index.html").page.evaluate(looks)


@pytest.mark.parametrize("theme", THEMES)
def test_the_keyboard_reaches_the_work_first_and_booking_from_anywhere(sites, visit, theme):
    page = visit(sites[theme] / "pieces/barn-owl.html").page
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the work"
    assert page.evaluate("document.activeElement.getBoundingClientRect().left >= 0")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    assert page.locator("nav a", has_text="Booking").first.is_visible()


@pytest.mark.parametrize("theme", THEMES)
def test_targets_are_large_enough_for_a_thumb(sites, visit, theme):
    page = visit(sites[theme] / "index.html", width=390).page
    boxes = page.eval_on_selector_all(
        "header li a, .works a, .foot a", "els => els.map(e => e.getBoundingClientRect())"
    )
    assert all(box["height"] >= 44 for box in boxes if box["width"])


@pytest.mark.parametrize("theme", THEMES)
def test_a_focused_link_is_seen(sites, visit, theme):
    page = visit(sites[theme] / "index.html").page
    page.locator(".works a").first.focus()
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Tab")
    assert page.evaluate("parseFloat(getComputedStyle(document.activeElement).outlineWidth)") >= 3


HOSTILE = (
    "<script>window.hit=1</script>",
    "\"><img src=x onerror='window.hit=1'>",
    "'-window.hit=1-'",
    "</script><script>window.hit=1</script>",
    "javascript:window.hit=1",
    "{{ 7*7 }}{% raw %}",
    "<svg/onload=window.hit=1>",
    "&lt;b&gt;\u202eabc\u2028",
    "[x](javascript:window.hit=1) <a href='javascript:window.hit=1'>y</a>",
    "--><!--",
    "\x00\x1b[2J\ufffe",
)


@pytest.mark.parametrize("theme", THEMES)
def test_hostile_words_stay_words(visit, vnu, tmp_path, theme):
    text = " ".join(HOSTILE)
    reference = model.Reference(license="CC-BY-4.0", creator=text, source=text, ai_system=text, ai_terms=text)
    record = make_record(
        title=text,
        styles=(text, *HOSTILE),
        subjects=HOSTILE,
        photo=(model.Photo(file="photos/a.jpg", stage=model.Stage.HEALED, alt=text),),
        reference=(reference,),
        placement=model.Placement(region=text, side=model.Side.LEFT),
    )
    design = make_design(title=text, story="\n\n".join(HOSTILE), styles=HOSTILE, reference=(reference,))
    held = make_design("long", title="x" * 10_000, story="y " * 5_000)
    piece = make_piece(record=record, story="\n\n".join(HOSTILE))
    catalogue = make_catalogue(tmp_path, piece, designs=(design, held))
    words = dict.fromkeys(("title", "artist", "description", "creator", "copyright", "credit"), text)
    asked = "\n".join(f"- {one}" for one in HOSTILE)
    texts = dict.fromkeys(TEXTS, "\n\n".join((*HOSTILE, "<a@example.org>", asked)))
    site = write_portfolio(themed(catalogue, theme, form="/form", **words), tmp_path / "out", texts)
    pages = [
        site / "index.html",
        site / "booking.html",
        site / "designs.html",
        next(site.glob("pieces/*")),
        next(site.glob("styles/*")),
    ]
    for seen in visit.each(pages):
        assert seen.page.evaluate("window.hit") is None, seen.page.url
        assert (seen.console, seen.outside) == ([], []), seen.page.url
        assert seen.page.locator("a[href^='javascript' i]").count() == 0
    assert vnu(site) == []
