"""Plans: what is refused, what is warned of, what several stencils on one sheet look like."""

import datetime as dt
import subprocess
from dataclasses import replace
from io import BytesIO

import numpy as np
import pikepdf
import pytest
from PIL import Image

from archgen.config import PrinterSettings
from archgen.errors import UsageError
from archgen.languages.house import speak
from archgen.printing.stencil_pdf import write
from archgen.printing.stencil_plan import (
    ReprintJob,
    StencilPrint,
    cut_drawing,
    make_plan,
    placed_size,
    printed_pixels,
)
from tests import printed_page
from tests.drawn_lines import marks_of, sign

DAY = dt.date(2026, 3, 14)


def job(*stencils, **changes):
    return replace(ReprintJob("Barn owl", stencils, PrinterSettings(), DAY), **changes)


@pytest.fixture(scope="module")
def marks():
    return marks_of(sign())


def test_a_plan_says_size_and_hand_before_anything_is_drawn(marks):
    plan = make_plan(job(StencilPrint(marks, width_mm=60)))
    assert plan.drawings[0].size_words == "60 × 80 mm"
    assert plan.mirrored
    assert plan.warnings == ()
    assert plan.drawings[0].size_px == (1417, 1890)


def test_a_size_is_written_with_the_marks_of_the_language(marks):
    speak("de")
    assert make_plan(job(StencilPrint(marks, width_mm=59.3))).drawings[0].size_words == "59,3 × 79,1 mm"


def test_the_dots_follow_the_correction_of_each_side_and_are_never_none(marks):
    short = PrinterSettings(measured_x_mm=99, measured_y_mm=98)
    (drawing,) = make_plan(job(StencilPrint(marks, width_mm=60), printer=short)).drawings
    # 60 x 80 mm, as much longer as the printer prints shorter.
    assert drawing.size_px == (printed_pixels(60 / 0.99, 600), printed_pixels(80 / 0.98, 600))
    assert printed_pixels(0.01, 203) == 1


def test_a_drawing_is_taken_to_read_right_and_a_printer_has_at_most_2400_dots(marks):
    stencil = StencilPrint(marks, width_mm=10)
    assert make_plan(job(stencil)).drawings[0].hand.flip  # mirrored for the skin
    assert make_plan(job(stencil, printer=PrinterSettings(dpi=2400))).drawings[0].size_px[0] == 945
    with pytest.raises(UsageError):
        make_plan(job(stencil, printer=PrinterSettings(dpi=2401)))


def test_a_picture_with_few_dots_is_warned_of(marks):
    (warning,) = make_plan(job(StencilPrint(marks, width_mm=150))).warnings
    assert "102 dots per inch" in warning


def test_a_very_large_print_says_that_it_uses_fewer_dots(marks):
    # 120 million dots over 1000 x 1333.3 mm: the root of 120e6 / (39.37 in * 52.49 in) is 240.96 to the inch.
    assert any("240 dots per inch instead of 600" in said for said in _warned(marks, width_mm=1000))


def _warned(marks, **size):
    return make_plan(job(StencilPrint(marks, **size))).warnings


def test_a_picture_of_150_dots_per_inch_is_fine_enough(marks):
    """Common practice, no source: below 150 dots to the inch the stairs of the pixels show on skin."""
    width_mm = (marks.box[2] - marks.box[0]) / 150 * 25.4
    assert _warned(marks, width_mm=width_mm * 0.999) == ()
    assert "150 dots per inch" in _warned(marks, width_mm=width_mm * 1.001)[0]


@pytest.mark.parametrize("asked", ["width_mm", "height_mm"])
def test_a_tip_finer_than_half_a_dot_keeps_one_and_nothing_is_enlarged_for_it(asked):
    gray = Image.new("L", (2000, 1000), 255)
    gray.paste(0, (0, 400, 1900, 600))
    gray.paste(0, (500, 0, 700, 1000))
    gray.paste(0, (1900, 494, 2000, 506))
    drawing = make_plan(job(StencilPrint(marks_of(gray), **{asked: 20}), printer=PrinterSettings(dpi=100))).drawings[0]
    cut = cut_drawing(drawing)
    assert cut.image.size == cut.drawn_px == drawing.size_px
    assert placed_size(drawing, cut) == pytest.approx((drawing.width_mm, drawing.height_mm), rel=1e-9)
    tip = np.asarray(cut.image)[:, round(cut.image.width * 0.03)]
    assert (~tip).sum() == 1


def test_overriding_the_method_is_warned_of(marks):
    assert any(
        "usually mirrored" in said for said in make_plan(job(StencilPrint(marks, width_mm=80), mirror=False)).warnings
    )
    assert make_plan(job(StencilPrint(marks, width_mm=80), mirror=True)).warnings == ()


def test_warnings_of_the_picture_are_handed_on_once(marks):
    shaky = replace(marks, warnings=("The scan is very light.",))
    plan = make_plan(job(StencilPrint(shaky, width_mm=60), StencilPrint(shaky, width_mm=50)))
    assert plan.warnings == ("The scan is very light.",)


def test_no_stencil_is_refused():
    with pytest.raises(UsageError, match="no stencil"):
        make_plan(job())


@pytest.mark.parametrize("dpi", [0, -600, 20_000])
def test_a_resolution_no_printer_has_is_refused(marks, dpi):
    with pytest.raises(UsageError, match="dots per inch"):
        make_plan(job(StencilPrint(marks, width_mm=60), printer=PrinterSettings(dpi=dpi)))


def test_several_stencils_share_a_sheet_each_with_its_own_dots_and_name(marks):
    plan = make_plan(
        job(StencilPrint(marks, width_mm=60, label="Version 1"), StencilPrint(marks, width_mm=45, label="Version 2"))
    )
    data = write(plan)
    widths = {image.name: image.width for image in printed_page.placed_images(data)}
    assert widths == pytest.approx({"/Stencil1": 60, "/Stencil2": 45}, abs=0.001)
    with pikepdf.open(BytesIO(data)) as pdf:
        assert len(pdf.pages) == 1


def test_a_tall_stencil_and_a_small_one_share_nothing(marks):
    plan = make_plan(job(StencilPrint(marks, width_mm=300), StencilPrint(marks, width_mm=45)))
    assert [len(page.placements) for page in plan.pages] == [1, 1, 1, 1, 1]


def test_text_of_the_record_is_printed_as_it_stands():
    """Nothing in a title is read as markup; control characters go."""
    title = '#set page(fill: red) $x$ *bold* "q" \\ @a \x07 Grüße'
    stencil = StencilPrint(marks_of(sign()), width_mm=40, label="#panic()")
    assert write(make_plan(replace(job(stencil), title=title)))


def test_titles_in_other_scripts_are_printed(pdftotext, tmp_path):
    path = tmp_path / "title.pdf"
    path.write_bytes(
        write(make_plan(replace(job(StencilPrint(marks_of(sign()), width_mm=40)), title="Сова Ωμέγα שלום")))
    )
    text = subprocess.run([pdftotext, path, "-"], check=True, capture_output=True, text=True).stdout
    assert "Сова Ωμέγα" in text
    assert "שלום" in text


def test_a_file_of_ink_and_paper_far_finer_than_the_printer_is_reduced():
    """Left alone, a 203 dpi head would drop every other pixel."""
    fine = marks_of(sign(1200, 1600, one_bit=True))
    plan = make_plan(job(StencilPrint(fine, width_mm=20), printer=PrinterSettings(dpi=203, method="thermal")))
    assert printed_page.stored_dots(write(plan)).shape[1] == pytest.approx(20 / 25.4 * 203, abs=1)


def test_a_file_of_ink_and_paper_keeps_its_pixels_when_enlarged():
    coarse = marks_of(sign(120, 160, one_bit=True))
    assert printed_page.stored_dots(write(make_plan(job(StencilPrint(coarse, width_mm=60))))).shape == (160, 120)


def test_a_gray_picture_without_dots_left_is_still_a_page():
    """A hairline far below the printer's dots prints nothing rather than failing."""
    thin = Image.new("L", (2000, 2000), 255)
    thin.paste(0, (10, 10, 11, 1990))
    thin.paste(0, (10, 10, 1990, 11))
    assert write(make_plan(job(StencilPrint(marks_of(thin), width_mm=5), printer=PrinterSettings(dpi=72))))
