"""Every kind of page of the archive enlarged, narrow, on paper, without motion and in colours the reader has set.

The checks that hold for every page stand in `page_checks`; here is what the archive has beside them.
"""

from itertools import pairwise

import numpy as np
import pytest

from tests.browser.page_checks import assert_holds_everywhere, light, lost_words
from tests.browser.test_archive import PAGES, site  # noqa: F401 - the archive with every kind of page

pytestmark = pytest.mark.browser


@pytest.fixture
def shown(window):
    """Give a function that opens a page in a window of this kind."""

    def opened(path, **how):
        page = window(**how)
        page.goto(path.as_uri())
        return page

    return opened


@pytest.mark.parametrize("path", PAGES)
def test_every_page_holds_everywhere(site, shown, path):  # noqa: F811
    assert_holds_everywhere(shown(site / path))


@pytest.mark.parametrize(
    "style",
    [
        "width: 40px; overflow: hidden; white-space: nowrap",
        "height: 4px; overflow: hidden",
        "position: absolute; left: 250px; white-space: nowrap",
    ],
)
def test_words_that_are_cut_or_run_out_of_the_window_are_found(site, shown, style):  # noqa: F811
    page = shown(site / "checks.html", viewport=(320, 256))
    page.locator("h1").evaluate("(head, style) => { head.style.cssText = style; }", style)
    assert lost_words(page) == ["Questions"]


@pytest.mark.parametrize("width", [320, 390, 640])
def test_every_place_of_the_head_is_a_touch_target_inside_the_shown(site, shown, width):  # noqa: F811
    page = shown(site / "index.html", viewport=(width, 700))
    boxes = [place.bounding_box() for place in page.locator(".top nav a").all()]
    assert len(boxes) == 7
    assert min(box["height"] for box in boxes) >= 44
    assert min(box["width"] for box in boxes) >= 44
    assert min(box["x"] for box in boxes) >= 0
    assert max(box["x"] + box["width"] for box in boxes) <= width
    for one, other in pairwise(boxes):
        assert one["y"] + one["height"] <= other["y"] + 1 or one["x"] + one["width"] <= other["x"] + 1


@pytest.fixture(params=["dark", "light"])
def forced(shown, request):
    def opened(path, width=1440):
        return shown(path, forced_colors="active", color_scheme=request.param, viewport=(width, 900))

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


def test_the_pair_that_is_shown_is_marked_in_colours_the_reader_has_set(site, forced):  # noqa: F811
    page = forced(site / "doubles.html")
    # The archive of these tests has one pair: put a second beside it.
    page.locator("main").evaluate("""main => main.insertAdjacentHTML('beforeend',
        '<ul class="pairs"><li><a href="#a" aria-current="true">One</a></li><li><a href="#b">Two</a></li></ul>')""")
    here, other = page.locator(".pairs a").all()
    assert (abs(light(here)[:, :6] - np.median(light(other))) > 60).mean() > 0.9
    assert (abs(light(other)[:, :6] - np.median(light(other))) > 60).mean() < 0.1
