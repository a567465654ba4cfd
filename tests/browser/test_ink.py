"""Ink survives paper and the colours a reader has set: what is seen there, looked at by its pixels."""

import io
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from tests.browser.test_stencils import out  # noqa: F401 - the archive with real stencils

pytestmark = pytest.mark.browser

DARK = 110


def ink(picture, left=0.0, top=0.0, right=1.0, bottom=1.0):
    """Give the share of dark dots in a part of a picture."""
    dots = np.asarray(picture.convert("L"))
    height, width = dots.shape
    part = dots[int(top * height) : int(bottom * height), int(left * width) : int(right * width)]
    return float((part < DARK).mean())


def paper(page):
    """Print an open page without backgrounds, as browsers do unless told otherwise."""
    with pypdfium2.PdfDocument(page.pdf(format="A4", print_background=False)) as document:
        return [sheet.render(scale=1).to_pil() for sheet in document]


@pytest.mark.parametrize("name", ["stencils.html", "pieces/2026-03-14-barn-owl.html"])
def test_a_printed_stencil_has_ink(out, visit, name):  # noqa: F811
    page = visit(out / "archive" / name).page
    # The one that is on the skin alone; marks at its corners must not cover it.
    page.evaluate("document.querySelectorAll('.card:not(:first-child)').forEach((card) => card.remove())")
    page.emulate_media(media="print")
    box = page.locator(".tissue").first.bounding_box()
    page.wait_for_function("Array.from(document.images).every((image) => image.loading === 'lazy' || image.complete)")
    seen = Image.open(io.BytesIO(page.screenshot(clip=box)))
    assert 0.002 < ink(seen) < 0.6
    printed = sum(ink(sheet) for sheet in paper(page))
    page.evaluate("document.querySelectorAll('.tissue').forEach((one) => { one.style.visibility = 'hidden'; })")
    assert printed - sum(ink(sheet) for sheet in paper(page)) > 0.0007


@pytest.fixture(params=["dark", "light"])
def forced(out, window, request):  # noqa: F811
    page = window(forced_colors="active", color_scheme=request.param)
    page.goto(Path(out / "archive" / "stencils.html").as_uri())
    return page


def shot(element):
    return Image.open(io.BytesIO(element.screenshot()))


def test_stencils_have_ink_in_colours_the_reader_has_set(forced):
    assert 0.02 < ink(shot(forced.locator(".tissue").first)) < 0.6


def test_a_ticked_box_can_be_told_from_an_empty_one_in_forced_colours(forced):
    box = forced.locator('input[value="skin:not used"]')
    before = np.asarray(shot(box).convert("L"), dtype=int)
    box.check()
    forced.mouse.move(5, 5)
    after = np.asarray(shot(box).convert("L"), dtype=int)
    assert (abs(after - before) > 60).mean() > 0.1


def test_a_piece_prints_on_two_sheets_that_part_nothing(out, visit):  # noqa: F811
    page = visit(out / "archive" / "pieces/2026-03-14-barn-owl.html").page
    assert len(paper(page)) <= 2
    page.emulate_media(media="print")
    assert page.locator(".turn").is_hidden()


def test_a_pressed_button_can_be_told_in_forced_colours(forced, out):  # noqa: F811
    forced.goto(Path(out / "archive" / "changes" / "2026-03-14-barn-owl.html").as_uri())
    pressed, other = (forced.locator(f'.switch [aria-pressed="{state}"]').first for state in ("true", "false"))
    shares = [float((np.asarray(shot(one).convert("L")) < DARK).mean()) for one in (pressed, other)]
    assert abs(shares[0] - shares[1]) > 0.2
