"""Printed stencils, read back with pikepdf, qpdf and poppler: size, dots, hand, tiles, and PDF facts of ISO 32000."""

import datetime as dt
import subprocess
from dataclasses import replace
from functools import cache
from io import BytesIO

import numpy as np
import pikepdf
import pytest
from PIL import Image

from archgen.config import PrinterSettings
from archgen.papers import PAPERS
from archgen.printing.page import OVERLAP_MM, Rect
from archgen.printing.stencil_pdf import write
from archgen.printing.stencil_plan import ReprintJob, StencilPrint, make_plan
from tests import printed_page
from tests.drawn_lines import marks_of, sign

DAY = dt.date(2026, 3, 14)
PLAIN = PrinterSettings()
MEASURED = PrinterSettings(name="desk", measured_x_mm=99.4, measured_y_mm=100.2)
THERMAL = PrinterSettings(name="copier", method="thermal", dpi=203)


@cache
def print_sign(width_mm=40.0, printer=PLAIN, *, one_bit=False, **changes):
    stencil = StencilPrint(marks_of(sign(one_bit=one_bit)), width_mm=width_mm, label="Version 2")
    job_changes = {key: changes.pop(key) for key in ("paper", "mirror") if key in changes}
    plan = make_plan(ReprintJob("Barn owl", (replace(stencil, **changes),), printer, DAY, **job_changes))
    return plan, write(plan)


@pytest.fixture
def on_disk(tmp_path):
    def save(data):
        path = tmp_path / "stencil.pdf"
        path.write_bytes(data)
        return path

    return save


@pytest.mark.parametrize("printer", [PLAIN, MEASURED, THERMAL], ids=lambda printer: printer.name)
@pytest.mark.parametrize("width_mm", [17.3, 62.0, 120.0])
def test_the_content_stream_places_the_marks_within_a_thousandth_of_a_millimetre(printer, width_mm):
    _, data = print_sign(width_mm, printer)
    factors = 100 / printer.measured_x_mm, 100 / printer.measured_y_mm
    assert printed_page.size_complaints(data, width_mm * factors[0], width_mm * 800 / 600 * factors[1]) == []


def test_a_wanted_height_is_exact_too():
    _, data = print_sign(None, height_mm=88.0)
    assert printed_page.size_complaints(data, 66.0, 88.0) == []


def test_a_print_at_98_percent_is_noticed():
    _, data = print_sign(40.0, percent=98.0)
    assert len(printed_page.size_complaints(data, 40.0, 40.0 * 800 / 600)) == 2


@pytest.mark.parametrize("printer", [PLAIN, MEASURED], ids=lambda printer: printer.name)
def test_poppler_prints_the_edges_within_a_hundredth_of_a_millimetre(printer, pdftoppm, on_disk):
    _, data = print_sign(30.0, printer)
    box = printed_page.placed_images(data)[0]
    path = on_disk(data)
    across = (box.left - 2, box.top + 0.4, box.width + 4, 0.5)
    down = (box.left + box.width - 1, box.top - 2, 0.6, box.height + 4)
    left, right = printed_page.black_span(pdftoppm, path, across)
    assert right - left == pytest.approx(30 * 100 / printer.measured_x_mm, abs=0.010)
    # Mirrored: the upright stroke stands on the right and reaches from top to bottom.
    top, bottom = printed_page.black_span(pdftoppm, path, down, axis=0)
    assert bottom - top == pytest.approx(40 * 100 / printer.measured_y_mm, abs=0.010)


@pytest.mark.parametrize("printer", [PLAIN, MEASURED], ids=lambda printer: printer.name)
def test_poppler_prints_both_rules_100_mm_long(printer, pdftoppm, on_disk):
    plan, data = print_sign(30.0, printer)
    path, sheet = on_disk(data), plan.sheet
    # From the outer edges of the end ticks; a hairline (0.25 pt) belongs to both ends. The corner is 2 mm outside.
    x, y = (sheet.drawing.left - 2) * sheet.factor_x, (sheet.drawing.bottom + 2) * sheet.factor_y
    left, right = printed_page.black_span(pdftoppm, path, (x - 1, y + 1.5, 104, 0.2))
    assert right - left - 0.25 / 72 * 25.4 * sheet.factor_x == pytest.approx(100 * sheet.factor_x, abs=0.012)
    top, bottom = printed_page.black_span(pdftoppm, path, (x - 1.8, y - 102, 0.2, 103), axis=0)
    assert bottom - top - 0.25 / 72 * 25.4 * sheet.factor_y == pytest.approx(100 * sheet.factor_y, abs=0.012)


def dots_of_the_file():
    return printed_page.ink_of(np.asarray(sign(one_bit=True)) < 128)


def test_an_ink_and_paper_file_keeps_every_pixel():
    _, data = print_sign(one_bit=True, mirror=False)
    assert printed_page.dot_complaints(data, dots_of_the_file()) == []


def test_mirroring_turns_the_pixels_and_changes_none():
    _, data = print_sign(one_bit=True)
    assert printed_page.dot_complaints(data, dots_of_the_file()[:, ::-1]) == []


def test_dots_shifted_by_one_pixel_are_noticed():
    _, data = print_sign(one_bit=True)
    assert printed_page.dot_complaints(data, np.roll(dots_of_the_file()[:, ::-1], 1, axis=1)) != []


def test_a_gray_drawing_is_cut_at_one_half_of_its_reduction():
    plan, data = print_sign(30.0, mirror=False)
    gray, size = plan.drawings[0].stencil.marks, plan.drawings[0].size_px
    reduced = gray.gray.resize(size, Image.Resampling.LANCZOS, box=gray.box)
    assert printed_page.dot_complaints(data, printed_page.ink_of(np.asarray(reduced) <= 127)) == []


@pytest.mark.parametrize(
    ("printer", "stored_mirrored", "mirrored"),
    [(PLAIN, False, True), (PLAIN, True, True), (THERMAL, False, False), (THERMAL, True, False)],
)
def test_the_print_has_the_hand_its_method_needs_whatever_the_file_has(
    printer, stored_mirrored, mirrored, pdftoppm, on_disk
):
    upright = sign()
    file = upright.transpose(Image.Transpose.FLIP_LEFT_RIGHT) if stored_mirrored else upright
    stencil = StencilPrint(marks_of(file), width_mm=60.0, stored_mirrored=stored_mirrored)
    data = write(make_plan(ReprintJob("Barn owl", (stencil,), printer, DAY)))
    box = printed_page.placed_images(data)[0]
    dark = printed_page.render(pdftoppm, on_disk(data), 150, window_mm=(box.left, box.top, box.width, box.height)) < 128
    original = printed_page.ink_of(np.asarray(upright) < 128)
    assert printed_page.hand_complaints(dark, original, mirrored=mirrored) == []
    assert printed_page.hand_complaints(dark, original, mirrored=not mirrored) != []


@pytest.mark.parametrize(("printer", "words"), [(PLAIN, "MIRRORED"), (THERMAL, "NOT MIRRORED")])
def test_every_sheet_says_its_hand_size_and_number_and_asks_for_the_rule_to_be_checked(
    printer, words, pdftotext, on_disk
):
    plan, data = print_sign(300.0, printer)
    count = len(plan.pages)
    text = subprocess.run([pdftotext, "-layout", on_disk(data), "-"], check=True, capture_output=True, text=True).stdout
    pages = text.split("\f")[:count]
    for number, page in enumerate(pages, start=1):
        assert words in page
        assert words.startswith("NOT") or "NOT MIRRORED" not in page
        for said in ("Barn owl", "Version 2", "300 × 400 mm", "14 Mar 2026", printer.name, f"Page {number} of {count}"):
            assert said in page
        assert "Check the rule before the stencil touches skin." in page
        assert "must measure 100 mm" in page


def test_the_test_letters_are_printed_the_way_the_drawing_is(pdftoppm, on_disk):
    shown = {}
    for mirror in (True, False):
        plan, data = print_sign(mirror=mirror)
        x, y = plan.sheet.drawing.left - 2 + 100 + 6, plan.sheet.drawing.bottom + 2
        dark = printed_page.render(pdftoppm, on_disk(data), 300, window_mm=(x, y, 14, 5.8)) < 128
        shown[mirror] = printed_page.ink_of(dark)
    assert printed_page.hand_complaints(shown[True], shown[False], mirrored=True) == []
    assert printed_page.hand_complaints(shown[False], shown[False], mirrored=True) != []


def test_qpdf_finds_nothing_wrong(qpdf, on_disk):
    for width_mm in (40.0, 300.0):
        _, data = print_sign(width_mm)
        assert subprocess.run([qpdf, "--check", on_disk(data)], capture_output=True, check=False).returncode == 0


def test_all_fonts_are_embedded(pdffonts, on_disk):
    _, data = print_sign()
    listed = subprocess.run([pdffonts, on_disk(data)], check=True, capture_output=True, text=True).stdout.splitlines()[
        2:
    ]
    assert len(listed) == 2
    assert all(line.split()[-5:-2] == ["yes", "yes", "yes"] for line in listed)


@pytest.mark.parametrize("paper", list(PAPERS))
def test_the_sheet_has_the_size_of_its_paper(paper, pdfinfo, on_disk):
    _, data = print_sign(20.0, paper=paper)
    said = subprocess.run([pdfinfo, on_disk(data)], check=True, capture_output=True, text=True).stdout
    size = next(line for line in said.splitlines() if line.startswith("Page size"))
    width, height = (float(part) * 25.4 / 72 for part in size.split()[2:5:2])
    # pdfinfo writes six digits: a hundredth of a point on the largest sheets.
    assert (width, height) == pytest.approx(PAPERS[paper], abs=0.002)


@pytest.mark.parametrize(("paper", "margin_mm"), [("A5", 9.3), ("A5", 14.0), ("A4", 25.0), ("A6", 6.0)])
def test_nothing_is_printed_in_the_margins(paper, margin_mm, pdftoppm, on_disk):
    printer = replace(PLAIN, margin_mm=margin_mm)
    _, data = print_sign(20.0, printer, paper=paper)
    dark = printed_page.render(pdftoppm, on_disk(data), 254) < 128
    inside = dark.copy()
    edge = round((margin_mm - 0.3) * 10)
    inside[edge:-edge, edge:-edge] = False
    assert dark.any()
    assert not inside.any(), np.argwhere(inside)[:3] / 10


def test_printers_are_told_not_to_scale():
    """ISO 32000-2, Table 147: PrintScaling None, and Enforce so that a dialog may not override it."""
    _, data = print_sign()
    with pikepdf.open(BytesIO(data)) as pdf:
        assert pdf.Root.ViewerPreferences.PrintScaling == "/None"
        assert list(pdf.Root.ViewerPreferences.Enforce) == ["/PrintScaling"]


def test_the_page_boxes_are_the_sheet_and_no_user_unit_changes_them():
    _, data = print_sign(printer=MEASURED)
    with pikepdf.open(BytesIO(data)) as pdf:
        page = pdf.pages[0]
        for box in (page.MediaBox, page.CropBox, page.BleedBox, page.TrimBox):
            assert [float(side) for side in box] == pytest.approx([0, 0, 595.2756, 841.8898])
        assert "/UserUnit" not in page
        left, bottom, right, top = (float(side) / 72 * 25.4 for side in page.ArtBox)
    assert (right - left, top - bottom) == pytest.approx((40 / 0.994, 40 * 800 / 600 / 1.002), abs=0.001)


def test_the_stencil_is_a_group_4_mask_painted_in_pure_black():
    _, data = print_sign()
    with pikepdf.open(BytesIO(data)) as pdf:
        mask = pdf.pages[0].Resources.XObject["/Stencil1"]
        assert (mask.Filter, mask.DecodeParms.K) == ("/CCITTFaxDecode", -1)
        operators = [(list(map(float, operands)) if str(name) == "g" else None, str(name))
                     for operands, name in pikepdf.parse_content_stream(pdf.pages[0])]  # fmt: skip
    upto = [name for _, name in operators].index("Do")
    assert [value for value, name in operators[:upto] if name == "g"][-1] == [0.0]


def test_the_same_job_gives_the_same_bytes():
    assert print_sign.__wrapped__(300.0)[1] == print_sign(300.0)[1]


def large_images(data):
    """Leave out the small map."""
    return [image for image in printed_page.placed_images(data) if image.width > 200]


def test_tiles_sewn_together_are_the_whole_drawing(pdftoppm, on_disk):
    """The same drawing on one sheet large enough for all of it is the truth."""
    dpi, k = 127, 5  # five pixels to the millimetre
    _, whole = print_sign(300.0, paper="500 x 700 mm")
    box = printed_page.placed_images(whole)[0]
    truth = printed_page.render(pdftoppm, on_disk(whole), dpi) < 128
    plan, tiled = print_sign(300.0)
    path = on_disk(tiled)
    sewn, seen = np.zeros_like(truth), np.zeros(truth.shape, int)
    for page, image in zip(plan.pages, large_images(tiled), strict=True):
        sheet = printed_page.render(pdftoppm, path, dpi, page=image.page + 1) < 128
        free = np.ones_like(sheet)
        for x, y in page.crosses:
            free[round((y - 5) * k) : round((y + 5) * k), round((x - 5) * k) : round((x + 5) * k)] = False
        left, top, width, height = (round(value * k) for value in image.clip)
        dx, dy = round((box.left - image.left) * k), round((box.top - image.top) * k)
        part = np.s_[top + 1 : top + height - 1, left + 1 : left + width - 1]
        there = np.s_[top + 1 + dy : top + height - 1 + dy, left + 1 + dx : left + width - 1 + dx]
        sewn[there] |= sheet[part] & free[part]
        seen[there] += free[part]
    ink = np.s_[round(box.top * k) + 1 : round((box.top + box.height) * k) - 1,
                round(box.left * k) + 1 : round((box.left + box.width) * k) - 1]  # fmt: skip
    covered = seen[ink] > 0
    assert covered.mean() > 0.98
    # A pixel of grid shift between sheets is allowed along edges: nothing thicker than that may differ.
    differs = (sewn[ink] != truth[ink]) & covered
    assert differs.mean() < 0.004
    assert (sewn[ink] & covered).sum() == pytest.approx((truth[ink] & covered).sum(), rel=0.01)


def test_nine_tiles_store_the_drawing_once():
    _, data = print_sign(400.0)
    with pikepdf.open(BytesIO(data)) as pdf:
        assert len(pdf.pages) == 9
        assert len({page.Resources.XObject["/Stencil1"].objgen for page in pdf.pages}) == 1


def test_neighbouring_tiles_share_their_overlap_and_their_crosses():
    plan, data = print_sign(400.0)
    first, second = large_images(data)[:2]
    end_of_first = first.clip[0] + first.clip[2] - first.left
    assert end_of_first - (second.clip[0] - second.left) == pytest.approx(OVERLAP_MM, abs=0.001)

    def in_drawing(page, image):
        return {(round(x - image.left, 3), round(y - image.top, 3)) for x, y in page.crosses}

    assert len(in_drawing(plan.pages[0], first) & in_drawing(plan.pages[1], second)) == 2


def test_a_region_prints_that_part_at_its_place_and_size(pdftoppm, on_disk):
    """Region of the right-reading design: its left part holds the upright stroke, mirrored onto the right."""
    region = Rect(0, 0, 12, 16)
    _, data = print_sign(40.0, region=region)
    image = printed_page.placed_images(data)[0]
    assert image.clip[2:] == pytest.approx((12, 16), abs=0.001)
    assert image.clip[0] - image.left == pytest.approx(40 - 12, abs=0.001)
    dark = printed_page.render(pdftoppm, on_disk(data), 254, window_mm=image.clip) < 128
    stroke = dark[60:140].mean(axis=0)
    assert stroke[-45:].min() == 1
    assert stroke[:70].max() == 0


def test_iso_216_halves_each_sheet_and_us_sizes_are_inches():
    """ISO 216: A0 is 841 x 1189 mm, the next size halves the long side, rounded down. US: ANSI/ASME Y14.1."""
    width, height = 841, 1189
    for step in range(7):
        assert PAPERS[f"A{step}"] == (width, height)
        width, height = height // 2, width
    inches = {"Letter": (8.5, 11), "Legal": (8.5, 14), "Tabloid": (11, 17)}
    for name, sides in inches.items():
        assert PAPERS[name] == pytest.approx([side * 25.4 for side in sides])
