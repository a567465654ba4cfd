"""The browser checks themselves: each finds what it is there to find."""

import pytest

from tests.browser.page_checks import assert_reads_in_set_colours
from tests.conftest import Windows

pytestmark = pytest.mark.browser

BODY = "<body><main><h1>Good</h1><p>Words.</p></main></body>"
GOOD = f'<!doctype html><html lang="en"><head><title>Good</title></head>{BODY}</html>'


@pytest.fixture
def write(tmp_path):
    def written(html: str):
        path = tmp_path / "page.html"
        path.write_text(html, encoding="utf-8")
        return path

    return written


def test_axe_passes_a_sound_page(write, visit, axe):
    assert axe(visit(write(GOOD)).page) == []


def test_axe_finds_a_picture_without_alt(write, visit, axe):
    bad = GOOD.replace("<p>", '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACwAAAAAAQABAAA="><p>')
    assert any(violation.startswith("image-alt") for violation in axe(visit(write(bad)).page))


def test_axe_finds_weak_contrast(write, visit, axe):
    bad = GOOD.replace("</title>", "</title><style>p { color: #aaa; background: #fff }</style>")
    assert any(violation.startswith("color-contrast") for violation in axe(visit(write(bad)).page))


@pytest.mark.parametrize("dark", ["p { color: #555 }", "p { color: #555; font-weight: bold }"])
def test_axe_finds_weak_contrast_in_the_dark_alone(write, visit, axe, dark):
    style = f"@media (prefers-color-scheme: dark) {{ body {{ background: #000; color: #fff }} {dark} }}"
    page = visit(write(GOOD.replace("</title>", f"</title><style>{style}</style>"))).page
    assert axe(page) == []
    assert [said.partition(":")[0] for said in axe.in_both_schemes(page)] == ["color-contrast"]


def test_axe_finds_what_only_stands_in_the_dark_page(write, visit, axe):
    picture = '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACwAAAAAAQABAAA=">'
    style = "img { display: none } @media (prefers-color-scheme: dark) { img { display: block } }"
    page = visit(
        write(GOOD.replace("</title>", f"</title><style>{style}</style>").replace("<p>", f"{picture}<p>"))
    ).page
    assert axe(page) == []
    assert [said.partition(":")[0] for said in axe.in_both_schemes(page)] == ["image-alt"]


def test_the_html_checker_passes_a_sound_page(write, vnu):
    assert vnu(write(GOOD)) == []


def test_the_html_checker_finds_a_misplaced_element(write, vnu):
    assert len(vnu(write(GOOD.replace("<p>Words.</p>", "<span><p>Words.</p></span>")))) == 1


def test_a_visit_hears_the_console_and_requests_to_the_outside(write, visit):
    seen = visit(
        write(
            GOOD.replace("<p>", '<script>console.log("hello")</script><img alt="" src="http://127.0.0.1:9/x.png"><p>')
        )
    )
    assert "hello" in seen.console
    assert seen.outside == ["http://127.0.0.1:9/x.png"]


def test_a_visit_measures_what_hangs_over(write, visit):
    assert visit(write(GOOD), width=320).overhang == 0
    wide = GOOD.replace("</title>", "</title><style>p { width: 700px }</style>")
    assert visit(write(wide), width=320).overhang > 300


def test_a_window_is_as_new_when_it_is_used_again(write, browser):
    windows = Windows(browser)
    looks = "[innerWidth, ...['print', '(prefers-color-scheme: dark)'].map(one => matchMedia(one).matches)]"
    page = windows.take(viewport=(390, 844), color_scheme="dark")
    page.goto(write(GOOD).as_uri())
    page.emulate_media(media="print")
    windows.give_back(page)
    again = windows.take()
    assert again is page
    assert (again.url, again.evaluate(looks)) == ("about:blank", [1440, False, False])
    again.context.close()


@pytest.mark.parametrize("left", ["localStorage.a = 1", "sessionStorage.a = 1", "window.open()"])
def test_a_window_in_which_something_was_left_is_not_used_again(write, browser, left):
    windows = Windows(browser)
    page = windows.take()
    page.goto(write(GOOD).as_uri())
    page.evaluate(f"() => {{ {left} }}")
    windows.give_back(page)
    assert page.is_closed()


PALE = "forced-color-adjust: none; color: #333; background: #333; border: 0"


@pytest.mark.parametrize("pale", ["h1", ".btn"])
def test_what_cannot_be_read_in_set_colours_is_found(write, visit, pale):
    far = '<div style="height: 1500px"></div><p><button class="btn">Save</button></p></main>'
    html = GOOD.replace("</main>", far).replace("</title>", "</title><style></style>")
    assert_reads_in_set_colours(visit(write(html)).page)
    with pytest.raises(AssertionError, match="dark"):
        assert_reads_in_set_colours(visit(write(html.replace("<style>", f"<style>{pale} {{ {PALE} }}"))).page)
