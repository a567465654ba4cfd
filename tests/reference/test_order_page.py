"""The page of an order of work, measured on its raster and read by other programs."""

import datetime as dt
import subprocess
from functools import lru_cache

import numpy as np
import outloud
import pypdfium2
import pytest
from PIL import Image

from archgen.outputs.reprints.order_page import OrderSheet, draw_plan, order_page
from archgen.papers import parse_paper
from archgen.shading.light import gray_of
from archgen.shading.plan import LaidReference, PlanWish, make_plan
from archgen.wording.planning.orders import order_words
from tests.unit.shading import a_vase
from tests.unit.wording.planning.test_orders import NINE, PAST

DAY, DPI = dt.date(2026, 3, 14), 300


@lru_cache
def plan_of(width_mm, tones):
    reference = a_vase.reference()
    laid = LaidReference(reference, a_vase.stencil(), Image.new("L", reference.size, 255), width_mm)
    return make_plan(laid, PlanWish(bundle_mm=1.08, tones=tones)), laid.drawing


def page_of(width_mm=50.0, paper="A4", notes=(), title="Vase", tones=4):
    plan, drawing = plan_of(width_mm, tones)
    sheet = OrderSheet(title, "Version 2 · 50 × 70 mm", order_words(plan, PAST, NINE), notes, parse_paper(paper))
    return plan, order_page(sheet, draw_plan(plan, drawing), DAY)


def raster(pdf):
    with pypdfium2.PdfDocument(pdf) as document:
        assert len(document) == 1
        return np.asarray(document[0].render(scale=DPI / 72, grayscale=True).to_pil())


def words(pdf):
    with pypdfium2.PdfDocument(pdf) as document:
        return " ".join(document[0].get_textpage().get_text_bounded().split())


@pytest.fixture(scope="module")
def made():
    return page_of(notes=("Fern, sitting, 3 Jan 2026: skin slow",))


def test_the_toned_picture_stands_at_the_stencil_s_size(made):
    """The dark band is the only large area of its gray: twice, pale on the plan, in full beside it."""
    plan, pdf = made
    gray = raster(pdf)
    # Below the head, above the swatch of the tone, in the right half.
    found = np.argwhere(gray[320:1200, gray.shape[1] // 2 :] == gray_of(plan.levels[0]))
    counted = np.argwhere(plan.numbers == 1)
    for axis in (0, 1):
        seen = (np.ptp(np.percentile(found[:, axis], [1, 99])) + 1) / DPI * 25.4
        assert seen == pytest.approx(np.ptp(np.percentile(counted[:, axis], [1, 99])) / plan.px_per_mm, abs=0.25)


def test_a_rule_checker_for_pdf_ua_finds_no_error(made, tmp_path):
    path = tmp_path / "order.pdf"
    path.write_bytes(made[1])
    result = outloud.check(str(path))
    assert (result.error, result.errors) == (None, 0)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(("width", "is_true"), [(30, True), (50, True), (80, True), (160, False)])
def test_it_is_one_page_at_true_size_or_says_that_it_is_not(paper, width, is_true):
    _, pdf = page_of(float(width), paper)
    said = words(pdf)
    assert ("true size" in said) is is_true
    assert ("NOT TO SIZE" in said) is not is_true
    with pypdfium2.PdfDocument(pdf) as document:
        size = document[0].get_size()
    assert [round(side / 72 * 25.4, 1) for side in size] == pytest.approx([*vars_of(paper)], abs=0.2)


def vars_of(paper):
    found = parse_paper(paper)
    return found.width_mm, found.height_mm


def test_what_it_says(made):
    said = words(made[1])
    for line in (
        "NOT A STENCIL",
        "Fern, sitting, 3 Jan 2026: skin slow",
        "9CM: wash, 1 piece",
        "fresh needle",
        "100 mm: check with a ruler",
        "A proposal from the tones of the reference",
        "private",
    ):
        assert line in said


def test_every_number_of_the_table_stands_on_the_plan(made):
    plan, pdf = made
    said = words(pdf).split("No. Tone Where")[0].split()
    for number in range(2, len(plan.steps) + 2):
        assert str(number) in said


def test_it_is_gray_and_the_same_for_the_same(made):
    with pypdfium2.PdfDocument(made[1]) as document:
        colours = np.asarray(document[0].render(scale=1).to_numpy()[..., :3], int)
    assert np.ptp(colours, axis=2).max() == 0
    plan_of.cache_clear()
    assert page_of(notes=("Fern, sitting, 3 Jan 2026: skin slow",))[1] == made[1]


def test_the_rule_is_100_mm_long(made):
    gray = raster(made[1])
    foot = gray[round(0.86 * gray.shape[0]) :, : round(130 / 25.4 * DPI)] < 128
    runs = [np.flatnonzero(row) for row in foot if row.sum() > 90 / 25.4 * DPI]
    assert max((run[-1] - run[0]) / DPI * 25.4 for run in runs) == pytest.approx(100, abs=0.3)


def test_hostile_words_are_only_words():
    title = '#set page(fill: red) $x$ \\ <b>bold</b> #eval("1")'
    assert '#eval("1")' in words(page_of(title=title)[1])


def test_the_file_is_sound(made, tmp_path, qpdf):
    path = tmp_path / "order.pdf"
    path.write_bytes(made[1])
    assert subprocess.run([qpdf, "--check", path], capture_output=True, check=False).returncode == 0
