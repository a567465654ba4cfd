"""Every kind of page enlarged, on a narrow window, on paper, without motion and in colours the reader has set.

WCAG 2.2: 1.4.4 Resize Text (200 %), 1.4.10 Reflow (320 CSS pixels, no scrolling in two directions), 1.4.1 Use of Color,
2.3.3 Animation from Interactions; looked at by measured boxes and by pixels.
"""

import io
from itertools import pairwise

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from tests.browser.test_archive import PAGES, site  # noqa: F401 - the archive with every kind of page

pytestmark = pytest.mark.browser

# What stands in the page for those who hear it.
_CUT_ON_PURPOSE = (
    ".away, .skip, .clamp, .fold-said, summary .soft, .card h2 a, .heal-list, thead, caption, option, select"
)
# Gives what is seen of every line of words: those that lie outside the window, or are cut by what they stand in.
_LOST = """cut => {
  const lost = [], wide = document.documentElement.clientWidth;
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const holder = node.parentElement;
    if (!node.textContent.trim() || holder.closest(cut) || holder.closest('script, style, template, svg')) { continue; }
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) {
      if (!box.width || !holder.checkVisibility()) { continue; }
      let edge = [0, wide], top = -Infinity, bottom = Infinity;
      for (let around = holder; around; around = around.parentElement) {
        const style = getComputedStyle(around);
        if (style.overflowX === 'visible' || around === document.body) { continue; }
        const own = around.getBoundingClientRect();
        edge = [Math.max(edge[0], own.left), Math.min(edge[1], own.right)];
        if (style.overflowY === 'hidden') { top = Math.max(top, own.top); bottom = Math.min(bottom, own.bottom); }
      }
      const middle = (box.top + box.bottom) / 2;
      if (box.left < edge[0] - 1 || box.right > edge[1] + 1 || middle < top || middle > bottom) {
        lost.push(node.textContent.trim().slice(0, 60));
        break;
      }
    }
  }
  return lost;
}"""


@pytest.fixture
def window(browser):
    """Give a function that opens a page in a window of this kind."""
    contexts = []

    def opened(path, **how):
        contexts.append(browser.new_context(**how))
        page = contexts[-1].new_page()
        page.goto(path.as_uri())
        return page

    yield opened
    for context in contexts:
        context.close()


def unfold(page):
    page.locator("details").evaluate_all("all => all.forEach((one) => { one.open = true; })")


def overhang(page):
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


# A window of 1280 x 1024 at 200 % shows 640 CSS pixels in width, at 400 % 320.
@pytest.mark.parametrize("times", [2, 4])
@pytest.mark.parametrize("path", PAGES)
def test_enlarged_nothing_is_lost_and_nothing_scrolls_sideways(site, window, path, times):  # noqa: F811
    size = {"width": 1280 // times, "height": 1024 // times}
    page = window(site / path, viewport=size, device_scale_factor=times)
    unfold(page)
    assert overhang(page) <= 0
    assert page.evaluate(_LOST, _CUT_ON_PURPOSE) == []


@pytest.mark.parametrize(
    "style",
    [
        "width: 40px; overflow: hidden; white-space: nowrap",
        "height: 4px; overflow: hidden",
        "position: absolute; left: 250px; white-space: nowrap",
    ],
)
def test_words_that_are_cut_or_run_out_of_the_window_are_found(site, window, style):  # noqa: F811
    page = window(site / "checks.html", viewport={"width": 320, "height": 256})
    page.locator("h1").evaluate("(head, style) => { head.style.cssText = style; }", style)
    assert page.evaluate(_LOST, _CUT_ON_PURPOSE) == ["Questions"]


@pytest.mark.parametrize("width", [320, 390, 640])
def test_every_place_of_the_head_is_a_touch_target_inside_the_window(site, window, width):  # noqa: F811
    page = window(site / "index.html", viewport={"width": width, "height": 700})
    boxes = [place.bounding_box() for place in page.locator(".top nav a").all()]
    assert len(boxes) == 7
    assert min(box["height"] for box in boxes) >= 44
    assert min(box["width"] for box in boxes) >= 44
    assert min(box["x"] for box in boxes) >= 0
    assert max(box["x"] + box["width"] for box in boxes) <= width
    for one, other in pairwise(boxes):
        assert one["y"] + one["height"] <= other["y"] + 1 or one["x"] + one["width"] <= other["x"] + 1


@pytest.mark.parametrize("path", PAGES)
def test_nothing_moves_by_itself(site, window, path):  # noqa: F811
    page = window(site / path, reduced_motion="reduce", viewport={"width": 1440, "height": 900})
    moving = page.locator("*").evaluate_all(
        """all => all.filter((one) => {
          const style = getComputedStyle(one);
          return style.animationName !== 'none' || parseFloat(style.transitionDuration) > 0
            || style.scrollBehavior === 'smooth';
        }).map((one) => one.className)"""
    )
    assert moving == []


def light(locator):
    """Give the lightness of what is seen of an element, 0 to 255."""
    return np.asarray(Image.open(io.BytesIO(locator.screenshot())).convert("L"), int)


@pytest.fixture(params=["dark", "light"])
def forced(window, request):
    def opened(path, width=1440):
        return window(
            path, forced_colors="active", color_scheme=request.param, viewport={"width": width, "height": 900}
        )

    return opened


@pytest.mark.parametrize("path", ["index.html", "checks.html", "followup.html"])
@pytest.mark.parametrize("width", [1440, 390])
def test_the_place_one_is_at_has_a_bar_in_colours_the_reader_has_set(site, forced, path, width):  # noqa: F811
    page = forced(site / path, width)
    here, other = page.locator(".top nav [aria-current]"), page.locator(".top nav a:not([aria-current])").first
    # The last line of dots is the ruling between the places.
    bars = [light(one)[-4:-1, 10:-10] for one in (here, other)]
    ground = np.median(light(other))
    assert (abs(bars[0] - ground) > 60).mean() > 0.9
    assert (abs(bars[1] - ground) > 60).mean() < 0.1


@pytest.mark.parametrize("path", ["checks.html", "index.html", "pieces/2026-03-14-barn-owl.html", "followup.html"])
def test_every_mark_has_a_shape_in_colours_the_reader_has_set(site, forced, path):  # noqa: F811
    page = forced(site / path)
    marks = [mark for mark in page.locator("main .mark svg").all() if mark.is_visible()][:6]
    assert marks
    for mark in marks:
        pixels = light(mark)
        ground = np.median(np.concatenate([pixels[0], pixels[-1]]))
        assert (abs(pixels - ground) > 60).mean() > 0.03


@pytest.mark.parametrize("path", PAGES)
def test_words_stand_out_in_colours_the_reader_has_set(site, forced, path):  # noqa: F811
    page = forced(site / path)
    pixels = light(page.locator("h1").first)
    assert np.ptp(pixels) > 180
    for button in [one for one in page.locator("main .btn").all() if one.is_visible()][:3]:
        assert np.ptp(light(button)) > 120


def test_the_pair_that_is_shown_is_marked_in_colours_the_reader_has_set(site, forced):  # noqa: F811
    page = forced(site / "doubles.html")
    # The archive of these tests has one pair: put a second beside it.
    page.locator("main").evaluate("""main => main.insertAdjacentHTML('beforeend',
        '<ul class="pairs"><li><a href="#a" aria-current="true">One</a></li><li><a href="#b">Two</a></li></ul>')""")
    here, other = page.locator(".pairs a").all()
    assert (abs(light(here)[:, :6] - np.median(light(other))) > 60).mean() > 0.9
    assert (abs(light(other)[:, :6] - np.median(light(other))) > 60).mean() < 0.1


@pytest.mark.parametrize("path", PAGES)
def test_on_paper_every_page_has_ink_and_nothing_runs_off_the_sheet(site, window, path):  # noqa: F811
    page = window(site / path, viewport={"width": 1440, "height": 900})
    with pypdfium2.PdfDocument(page.pdf(format="A4", print_background=False, margin=_MARGIN)) as document:
        sheets = [np.asarray(sheet.render(scale=1.5).to_pil().convert("L"), int) for sheet in document]
    assert (sheets[0] < 110).mean() > 0.001
    for sheet in sheets:
        width = sheet.shape[1]
        edge = round(width * 9 / 210)
        assert (sheet[:, width - edge :] < 200).sum() == 0
        assert (sheet[:, :edge] < 200).sum() == 0


_MARGIN = {"left": "10mm", "right": "10mm", "top": "10mm", "bottom": "10mm"}
