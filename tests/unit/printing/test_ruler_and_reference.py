"""The calibration page and the working print beside the skin, measured by poppler and pikepdf."""

import datetime as dt
import math
import re
import subprocess
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from archgen.config import PrinterSettings
from archgen.errors import ConfigError, UsageError
from archgen.printing import reference_pdf
from archgen.printing.reference_pdf import (
    PrintedLandmark,
    PrintedReference,
    ReferenceJob,
    placed_reference,
    write_reference,
)
from archgen.printing.ruler_pdf import STAIRS_MM, write_ruler
from archgen.stencils.grey_wash import WashLimits, simplify
from tests import printed_page

DAY = dt.date(2026, 3, 14)
MEASURED = PrinterSettings(name="desk", measured_x_mm=99.4, measured_y_mm=100.2)


def test_the_ruler_page_is_never_corrected(pdftoppm, tmp_path):
    path = tmp_path / "ruler.pdf"
    path.write_bytes(write_ruler(MEASURED, DAY))
    # The corner of the rules: margin 5 + side 9 - 2 across; sheet 297 - margin 5 - foot 15 + 2 down.
    left, right = printed_page.black_span(pdftoppm, path, (11, 279 + 1.5, 104, 0.2), dpi=2400)
    assert right - left - 0.25 / 72 * 25.4 == pytest.approx(100, abs=0.02)


def test_the_lines_of_the_staircase_have_the_weights_beside_them(pdftoppm, tmp_path):
    path = tmp_path / "ruler.pdf"
    path.write_bytes(write_ruler(PrinterSettings(), DAY))
    # Column 76 mm from the drawing's left (14 mm), lines from 10 mm on; steps of 6 mm below the drawing's top + 24 mm.
    for index, weight in enumerate(STAIRS_MM):
        top, bottom = printed_page.black_span(
            pdftoppm, path, (14 + 76 + 20, 18 + 24 + 6 * (index + 1) - 2, 1, 4), dpi=2400, axis=0
        )
        assert bottom - top == pytest.approx(weight, abs=0.02)


def test_the_ruler_page_names_the_printer_in_the_line_to_type(pdftotext, tmp_path):
    path = tmp_path / "ruler.pdf"
    path.write_bytes(write_ruler(MEASURED, DAY))
    text = subprocess.run([pdftotext, path, "-"], check=True, capture_output=True, text=True).stdout
    assert 'archgen ruler --measured 99.4 100.2 --printer "desk"' in text


def test_the_ruler_page_needs_room_for_its_rules():
    with pytest.raises(ConfigError, match="A5"):
        write_ruler(PrinterSettings(), DAY, "A6")


def dotted(width, height, *spots):
    picture = Image.new("L", (width, height), 255)
    for x, y in spots:
        picture.paste(0, (x - 6, y - 6, x + 7, y + 7))
    return picture


def dark_middle(picture, near, radius=40):
    """Find the middle of the dark pixels near a spot."""
    values = 255.0 - np.asarray(picture, float)
    x, y = int(near[0]), int(near[1])
    left, top = max(x - radius, 0), max(y - radius, 0)
    part = values[top : y + radius, left : x + radius]
    rows, columns = np.mgrid[: part.shape[0], : part.shape[1]]
    return left + (columns * part).sum() / part.sum(), top + (rows * part).sum() / part.sum()


@pytest.mark.parametrize("stored_mirrored", [False, True])
def test_landmarks_turn_scale_and_shift_the_reference_onto_the_stencil(stored_mirrored):
    """The reference is turned by 20 degrees and three times as large; its spots must land on the stencil's."""
    stencil_spots = [(250, 300), (700, 900), (300, 800)]
    turn, scale, shift = math.radians(20), 3.0, (900, 250)
    there = [
        (
            round(scale * (x * math.cos(turn) - y * math.sin(turn)) + shift[0]),
            round(scale * (x * math.sin(turn) + y * math.cos(turn)) + shift[1]),
        )
        for x, y in stencil_spots
    ]
    box = (100.0, 200.0, 900.0, 1000.0)
    file_spots = [(1000 - x, y) for x, y in stencil_spots] if stored_mirrored else stencil_spots
    marks = tuple(PrintedLandmark(one, two) for one, two in zip(file_spots, there, strict=True))
    placed = placed_reference(PrintedReference(dotted(4200, 4200, *there), box, 67.7333, stored_mirrored, marks))
    assert placed.size == (800, 800)
    for x, y in stencil_spots:
        assert dark_middle(placed, (x - 100, y - 200)) == pytest.approx((x - 100, y - 200), abs=1.0)


def test_without_landmarks_the_frame_is_laid_into_the_box_whole():
    placed = placed_reference(PrintedReference(Image.new("L", (400, 200), 0), (0.0, 0.0, 100.0, 100.0), 25.4))
    dark = np.asarray(placed) < 128
    assert placed.size == (300, 300)
    assert (dark.any(axis=1).sum(), dark.any(axis=0).sum()) == pytest.approx((150, 300), abs=2)


def test_landmarks_on_one_spot_are_refused():
    same = PrintedLandmark((5, 5), (9, 9))
    with pytest.raises(UsageError, match="one spot"):
        placed_reference(PrintedReference(Image.new("L", (40, 40)), (0.0, 0.0, 10.0, 10.0), 20, landmarks=(same, same)))


def test_a_landmark_outside_the_reference_is_refused():
    marks = (PrintedLandmark((5, 5), (9, 9)), PrintedLandmark((9, 9), (9, 41)))
    with pytest.raises(UsageError, match=r"at = \[9, 41\] lies outside"):
        placed_reference(PrintedReference(Image.new("L", (40, 40)), (0.0, 0.0, 10.0, 10.0), 20, landmarks=marks))


def reference_job(width_mm, paper="A4", printer=MEASURED):
    ramp = Image.fromarray(np.tile(np.linspace(0, 255, 600).astype(np.uint8), (900, 1)))
    reference = PrintedReference(ramp, (0.0, 0.0, 600.0, 900.0), width_mm)
    gray = placed_reference(reference)
    simple = simplify(gray, WashLimits(reference_pdf.spread_px(0.3)), 4)
    return ReferenceJob("Koi", "Version 1", reference, gray, simple.picture, simple.tones, printer, DAY, paper)


def test_both_pictures_are_printed_at_the_very_scale_of_the_stencil():
    images = printed_page.placed_images(write_reference(reference_job(80)))
    assert [image.page for image in images] == [0, 0]
    for image in images:
        assert (image.width, image.height) == pytest.approx((80 / 0.994, 120 / 1.002), abs=0.001)


def test_pictures_that_do_not_fit_together_get_sheets_of_their_own():
    assert {image.page for image in printed_page.placed_images(write_reference(reference_job(150)))} == {0, 1}


def test_every_tone_is_named_with_its_share(pdftotext, tmp_path):
    for paper in ("A4", "A6"):
        job = reference_job(40, paper)
        path = tmp_path / f"{paper}.pdf"
        path.write_bytes(write_reference(job))
        text = subprocess.run([pdftotext, path, "-"], check=True, capture_output=True, text=True).stdout
        for tone in job.tones:
            assert tone.name in text
            assert f"{tone.share:.0%}" in text
        assert "NOT MIRRORED" in text
        assert "NOT TO SCALE" not in text


def test_the_background_is_in_the_legend_hatched_and_not_counted(pdftotext, tmp_path):
    job = reference_job(40)
    ground = replace(job.tones[0], name="background", share=0.0, hatched=True)
    slants = []
    for tones in (job.tones, (*job.tones, ground)):
        path = tmp_path / "legend.pdf"
        path.write_bytes(write_reference(replace(job, tones=tones)))
        text = subprocess.run([pdftotext, path, "-"], check=True, capture_output=True, text=True).stdout
        assert ("background" in text, "not counted" in text) == (len(tones) > 4, len(tones) > 4)
        slants.append(sum(x1 != x2 and y1 != y2 for x1, y1, x2, y2 in printed_page.drawn_lines(path.read_bytes())))
    assert slants == [0, 5]


def test_what_is_not_laid_on_the_stencil_says_so_as_large_as_the_hand(pdftotext, tmp_path):
    path = tmp_path / "loose.pdf"
    path.write_bytes(write_reference(replace(reference_job(40), is_to_scale=False, rests_on="common practice")))
    text = subprocess.run([pdftotext, "-bbox", path, "-"], check=True, capture_output=True, text=True).stdout
    tall = {
        word: float(low) - float(high)
        for high, low, word in re.findall(r'yMin="([\d.]+)".*yMax="([\d.]+)">(.*)<', text)
    }
    mirrored = tmp_path / "exact.pdf"
    mirrored.write_bytes(write_reference(reference_job(40)))
    exact = subprocess.run([pdftotext, "-bbox", mirrored, "-"], check=True, capture_output=True, text=True).stdout
    assert tall["SCALE"] == pytest.approx(
        next(
            float(b) - float(a)
            for a, b, word in re.findall(r'yMin="([\d.]+)".*yMax="([\d.]+)">(.*)<', exact)
            if word == "MIRRORED"
        )
    )
    assert "mm" not in re.findall(r">(.*)</word>", text)[:12]
    assert "practice" in tall
