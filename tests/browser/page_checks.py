"""What must hold of every page of the archive, the portfolio and the desk, looked at by measured boxes and by pixels.

Enlarged, on a narrow window, on paper, without motion and in colours the reader has set. WCAG 2.2: 1.4.4 Resize Text
(200 %), 1.4.10 Reflow (320 CSS pixels, no scrolling in two directions), 1.4.1 Use of Color, 2.3.3 Animation from
Interactions.
"""

import io
import math

import numpy as np
import pypdfium2
from PIL import Image

# What stands in the page for those who hear it, is cut short on purpose, or is drawn by the browser itself.
_CUT_ON_PURPOSE = (
    ".away, .skip, .clamp, .fold-said, summary .soft, .card h2 a, .heal-list, thead, caption, option, select, output"
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
      if (!box.width || !holder.checkVisibility({ opacityProperty: true })) { continue; }
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
_MOVING = """() => [...document.querySelectorAll('*')].filter((one) => {
  const style = getComputedStyle(one);
  return style.animationName !== 'none' || parseFloat(style.transitionDuration) > 0
    || style.scrollBehavior === 'smooth';
}).map((one) => one.className)"""
# Gives the edges, on the page, of the first heading and of the first three buttons that are seen.
_SEEN = """() => {
  const boxes = (selector) => [...document.querySelectorAll(selector)]
    .filter((one) => one.checkVisibility({ visibilityProperty: true })).map((one) => one.getBoundingClientRect())
    .filter((box) => box.width && box.height)
    .map((box) => [box.left + scrollX, box.top + scrollY, box.right + scrollX, box.bottom + scrollY]);
  const head = boxes('h1, .name, h2, legend').find((box) => box[2] - box[0] > 20);
  return [head, ...boxes('main .btn').slice(0, 3)];
}"""
_MARGIN = {"left": "10mm", "right": "10mm", "top": "10mm", "bottom": "10mm"}


def unfold(page):
    page.locator("details").evaluate_all("all => all.forEach((one) => { one.open = true; })")


def overhang(page):
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


def lost_words(page):
    return page.evaluate(_LOST, _CUT_ON_PURPOSE)


def light(locator):
    """Give the lightness of what is seen of an element, 0 to 255."""
    return np.asarray(Image.open(io.BytesIO(locator.screenshot())).convert("L"), int)


def _light_of_page(page, boxes):
    """Give the lightness of what is seen within edges on the page, from one picture of all of them."""
    edges = np.array(boxes)
    left, top = (int(least) for least in np.floor(edges[:, :2].min(axis=0)))
    right, bottom = (int(most) for most in np.ceil(edges[:, 2:].max(axis=0)))
    clip = {"x": left, "y": top, "width": right - left, "height": bottom - top}
    # What lies outside the window takes twice as long to be drawn.
    shot = page.screenshot(full_page=bottom > page.viewport_size["height"], clip=clip)
    lightness = np.asarray(Image.open(io.BytesIO(shot)).convert("L"), int)
    around = [(math.floor(x0), math.floor(y0), math.ceil(x1), math.ceil(y1)) for x0, y0, x1, y1 in boxes]
    return [lightness[y0 - top : y1 - top, x0 - left : x1 - left] for x0, y0, x1, y1 in around]


def sheets_of(page, **how):
    """Give the lightness of every sheet of paper a page is printed on, without backgrounds."""
    printed = page.pdf(format="A4", print_background=False, margin=_MARGIN, **how)
    with pypdfium2.PdfDocument(printed) as document:
        return [np.asarray(sheet.render(scale=1.5).to_pil().convert("L"), int) for sheet in document]


def assert_loses_nothing_enlarged(page):
    """Look at the page at 200 % and 400 % of a window of 1280 pixels: 640 and 320 CSS pixels wide."""
    for width in (640, 320):
        page.set_viewport_size({"width": width, "height": width * 4 // 5})
        unfold(page)
        assert overhang(page) <= 0, width
        assert lost_words(page) == [], width


def assert_stands_still(page):
    page.emulate_media(reduced_motion="reduce")
    assert page.evaluate(_MOVING) == []
    page.emulate_media(reduced_motion="null")


def assert_reads_in_set_colours(page):
    """Look at a heading and three buttons, all cut out of one picture of the page."""
    page.set_viewport_size({"width": 1440, "height": 900})
    page.evaluate("window.scrollTo(0, 0)")
    for scheme in ("dark", "light"):
        page.emulate_media(forced_colors="active", color_scheme=scheme)
        seen = _light_of_page(page, page.evaluate(_SEEN))
        assert np.ptp(seen[0]) > 180, scheme
        for button in seen[1:]:
            assert np.ptp(button) > 120, scheme
    page.emulate_media(forced_colors="none", color_scheme="light")


def assert_prints_whole(page):
    """Look for ink on the first sheet, and for none beside the margins of any."""
    sheets = sheets_of(page)
    assert (sheets[0] < 110).mean() > 0.001
    for sheet in sheets:
        edge = round(sheet.shape[1] * 9 / 210)
        assert (sheet[:, -edge:] < 200).sum() == 0
        assert (sheet[:, :edge] < 200).sum() == 0


def assert_holds_everywhere(page):
    """Do all of it on one page, which is opened once."""
    assert_stands_still(page)
    assert_reads_in_set_colours(page)
    assert_prints_whole(page)
    assert_loses_nothing_enlarged(page)
