"""Printed widths of files of every kind, measured by poppler, with tips finer than the head's dots."""

import math

import pytest

from archgen.stencils.marks import read_marks
from tests import printed_page
from tests.bench.print_width import KINDS, KnownShape, errors_mm, printed, save

HALF = 15 * math.tan(math.radians(4))
SHARP = KnownShape(
    (
        ((0, 25), (15, 25 - HALF), (15, 25 + HALF)),
        ((20, 0), (22, 0), (22, 50), (20, 50)),
        ((78, 0), (80, 0), (80, 50), (78, 50)),
        ((80, 20), (100, 20), (100, 30), (80, 30)),
    ),
    50,
)


@pytest.mark.parametrize("kind", KINDS)
def test_a_sharp_tip_costs_neither_width_nor_scale_on_a_coarse_head(kind, pdftoppm, tmp_path):
    """A tip of 8 degrees is finer than half a dot of 203 per inch over its last 0.4 mm."""
    path = save(SHARP, kind, tmp_path, px=round(58 / 25.4 * 300))
    width, scale = errors_mm(pdftoppm, printed(path, 58.0, 203, 99.4), tmp_path / "out.pdf", 58.0, 99.4)
    assert abs(width) <= 0.020
    # A file of ink and paper has lost the end of the tip itself.
    assert kind.startswith("stepped") or abs(scale) <= 25.4 / 203


@pytest.mark.parametrize("suffix", ["svg", "pdf"])
@pytest.mark.parametrize("dpi", [203, 600])
def test_the_box_of_a_vector_file_is_that_of_its_outlines(suffix, dpi, tmp_path):
    """Height over width of the drawing is known exactly; at 58 mm it is met within two hundredths of a millimetre."""
    marks = read_marks(save(SHARP, f"drawing.{suffix}", tmp_path, 0), pixels_across=round(58 / 25.4 * dpi))
    assert marks.height_px / marks.width_px * 58 == pytest.approx(29, abs=0.01)
    assert marks.width_px / marks.height_px * 29 == pytest.approx(58, abs=0.02)


@pytest.mark.parametrize("width_mm", [5.1, 17.3, 41.9])
def test_a_box_comes_out_at_its_size_on_a_coarse_head(width_mm, pdftoppm, tmp_path):
    """17.3 mm are 138.3 dots of 203 per inch: neither side may take the dot that is missing or too many."""
    high = round(width_mm * 0.73, 2)
    (tmp_path / "box.svg").write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm + 9}mm" height="{high + 9}mm" '
        f'viewBox="0 0 {width_mm + 9} {high + 9}"><rect x="3" y="4" width="{width_mm}" height="{high}"/></svg>'
    )
    data = printed(tmp_path / "box.svg", width_mm, 203, 100.0)
    (tmp_path / "box.pdf").write_bytes(data)
    (placed,) = printed_page.placed_images(data)
    for axis, long, side in ((1, width_mm, placed.left), (0, high, placed.top)):
        window = [placed.left + 1, placed.top + 1, 0.3, 0.3]
        window[1 - axis], window[3 - axis] = side - 1, long + 2
        start, end = printed_page.black_span(pdftoppm, tmp_path / "box.pdf", window, axis=axis)
        assert end - start == pytest.approx(long, abs=0.02)
