"""What a piece's page shows of its stencils, built from real files and opened from disk."""

import datetime as dt
from io import BytesIO

import pytest
from PIL import Image, ImageDraw

from archgen.build import Options, build
from archgen.progress import Silent

pytestmark = pytest.mark.browser

RECORD = """title = "Barn owl"
[placement]
region = "forearm-outer"
girth = "268 mm"
[[needle]]
code = "1203RL"
[[stencil]]
file = "stencils/1.png"
version = 1
width = "60 mm"
[[stencil]]
file = "stencils/2.png"
version = 2
parent = 1
width = "60 mm"
applied = true
note = "finer"
[[stencil]]
file = "stencils/3.png"
version = 3
parent = 1
width = "60 mm"
mirrored = true
"""


def draw(path, weight, moved=0):
    picture = Image.new("L", (700, 900), 255)
    pen = ImageDraw.Draw(picture)
    pen.ellipse((50, 50, 649, 849), outline=0, width=weight)
    for y in range(200, 700, 25):
        pen.line((200 + moved, y, 460 + moved, y + 40), fill=0, width=weight // 3)
    path.parent.mkdir(parents=True, exist_ok=True)
    picture.save(path)


@pytest.fixture(scope="module")
def out(tmp_path_factory):
    root = tmp_path_factory.mktemp("studio")
    owl = root / "content" / "pieces" / "2026-03-14-barn-owl"
    for number, (weight, moved) in enumerate(((18, 0), (9, 0), (18, 60)), start=1):
        draw(owl / "stencils" / f"{number}.png", weight, moved)
    (owl / "piece.toml").write_text(RECORD)
    (root / "content" / "archive.toml").write_text('[printer]\npaper = "A4"\n[printer.thermal]\nmethod = "thermal"\n')
    build(root / "content", root / "built", Options(1, dt.date(2026, 5, 1)), Silent())
    return root / "built"


@pytest.fixture
def owl(out, visit):
    seen = visit(out / "archive" / "pieces" / "2026-03-14-barn-owl.html")
    seen.page.evaluate("document.querySelectorAll('details').forEach((fold) => { fold.open = true; })")
    return seen


def test_the_print_buttons_name_paper_hand_and_width_and_lead_to_a_file(owl, out):
    page = owl.page
    first = page.locator("#print .btn").first
    assert first.inner_text().splitlines()[0] == "Stencil for ink-jet transfer paper, mirrored, 60 mm wide"
    thermal = page.locator("#print .btn").nth(1)
    assert thermal.inner_text().splitlines()[0] == "Stencil for thermal paper, not mirrored, 60 mm wide"
    links = page.locator("#print a").evaluate_all("links => links.map(link => link.getAttribute('href'))")
    assert len(links) == 5
    folder = out / "archive" / "pieces"
    assert all((folder / link).resolve().is_file() for link in links)


@pytest.fixture
def changes(out, visit):
    return visit(out / "archive" / "changes" / "2026-03-14-barn-owl.html").page


def shades(page, selector):
    """Give the colours that are seen of the first pair."""
    page.wait_for_function("Array.from(document.images).every((one) => one.complete || one.loading === 'lazy')")
    shot = Image.open(BytesIO(page.locator(selector).first.screenshot())).convert("RGB")
    return {color for count, color in shot.getcolors(1 << 22) if count > 40}


VIOLET, OCHRE = (74, 42, 138), (168, 116, 0)


def test_what_changed_opens_on_the_difference_and_says_it(changes):
    pressed = changes.locator(".changed:not([hidden]) [aria-pressed=true]")
    assert pressed.inner_text() == "Difference"
    # The lines were made half as wide: that was taken away, and nothing was added.
    seen = shades(changes, ".inked-pair")
    assert VIOLET in seen
    assert OCHRE not in seen
    assert changes.locator(".changed-words li").first.inner_text().startswith("Made thinner: 7")
    assert "You noted: finer" in changes.inner_text(".changed-words")


def test_the_keyboard_switches_to_a_line_between_and_to_side_by_side(changes):
    changes.keyboard.press("2")
    slider = changes.get_by_role("slider")
    slider.focus()
    changes.keyboard.press("End")
    assert VIOLET in shades(changes, ".over-pic")
    assert slider.get_attribute("aria-valuetext") == "100 % first, 0 % second"
    changes.keyboard.press("Home")
    slider.blur()
    left = Image.open(BytesIO(changes.locator(".over-pic").first.screenshot())).convert("RGB")
    assert OCHRE in {color for count, color in left.getcolors(1 << 22) if count > 40}
    changes.keyboard.press("3")
    assert changes.locator(".over-pic").first.is_hidden()
    assert VIOLET in shades(changes, ".only-side figure:first-child .tissue-wrap")
    assert OCHRE in shades(changes, ".only-side figure:last-child .tissue-wrap")
    changes.keyboard.press("1")
    assert changes.locator(".only-side").first.is_hidden()


def test_a_version_and_the_fold_lead_to_what_changed(owl):
    page = owl.page
    assert page.inner_text("#versions > summary").startswith("What changed\nVersion 1, then version 2: Made thinner")
    page.locator("#stencil-3 a", has_text="What changed from version 1").click()
    page.wait_for_url("**/changes/*.html#pair-2")
    assert page.locator(".changed:not([hidden]) h2").inner_text() == "Version 1, then version 3"
    page.locator(".page-head .title").click()
    page.wait_for_url("**/pieces/*.html")


def test_on_paper_every_pair_is_there_with_both_drawings(changes):
    changes.emulate_media(media="print")
    assert [one.is_visible() for one in changes.locator(".changed").all()] == [True, True]
    assert changes.locator(".only-side").first.is_visible()
    assert changes.locator(".over-pic").first.is_hidden()


def test_without_scripts_every_pair_is_there_and_no_line_to_move(window, out):
    page = window(java_script_enabled=False)
    page.goto((out / "archive" / "changes" / "2026-03-14-barn-owl.html").as_uri())
    assert [one.is_visible() for one in page.locator(".changed").all()] == [True, True]
    assert page.locator(".only-side").first.is_visible()
    assert page.locator(".over-pic").first.is_hidden()


def test_a_branch_stands_a_row_below_its_parent(owl):
    boxes = [owl.page.locator("#stencils .ver").nth(n).bounding_box() for n in range(3)]
    assert boxes[1]["x"] > boxes[0]["x"]
    assert boxes[2]["y"] > boxes[1]["y"] + boxes[1]["height"] - 1
    assert boxes[2]["x"] == boxes[1]["x"]


def test_the_limb_says_whose_girth_it_is(owl):
    words = owl.page.inner_text("#limb")
    assert "Wraps 81° of a girth of 268 mm, measured." in words
    loaded = "async image => { image.loading = 'eager'; await image.decode(); return image.naturalWidth; }"
    assert owl.page.locator("#limb img").evaluate(loaded) > 100


def test_the_gauge_names_its_places_and_the_needle(owl):
    words = owl.page.inner_text("#readable")
    assert "1203RL" in words
    assert "upper bound" in words
    assert owl.page.locator("#readable .reading").count() == 3


def test_folds_are_shut_say_what_is_in_them_and_open_for_a_link(out, visit):
    page = visit(out / "archive" / "pieces" / "2026-03-14-barn-owl.html").page
    assert page.locator(".fold[open]").count() == 0
    assert page.inner_text("#readable > summary").startswith("Will it stay readable\nVersion 2: Finest line")
    page.goto(page.url + "#stencil-3")
    assert page.locator("#stencils[open]").count() == 1
    assert page.locator("#stencil-3").is_visible()


@pytest.mark.parametrize("width", [1440, 390])
def test_axe_finds_nothing_and_nothing_hangs_over(out, visit, axe, width):
    pages = (out / "archive" / page / "2026-03-14-barn-owl.html" for page in ("pieces", "changes"))
    for seen in visit.each(pages, width=width):
        for key in "123":
            seen.page.keyboard.press(key)
            assert axe.in_both_schemes(seen.page) == []
        for scheme in ("light", "dark"):
            seen.page.emulate_media(color_scheme=scheme)
            assert seen.overhang <= 0
        assert seen.console == []
        assert seen.outside == []


def test_the_html_conforms(out, vnu):
    assert vnu(*(out / "archive" / page / "2026-03-14-barn-owl.html" for page in ("pieces", "changes"))) == []
