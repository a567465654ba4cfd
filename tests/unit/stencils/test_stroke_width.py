"""What the gauge says of drawings whose weights are known."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from archgen.errors import UsageError
from archgen.stencils import ridges
from archgen.stencils.gauge_picture import PAPER, draw_gauge, numbered
from archgen.stencils.stroke_width import GaugeLimits, Shortfall, at_widths, measure, share_thinner
from tests.demo.drawing import motif
from tests.demo.raster import stencil
from tests.drawn_lines import line_field, marks_of

ROOT = Path(__file__).resolve().parents[3]
DPI = 300
K = DPI / 25.4


def gauge_field(widths_mm, *, gaps=False, limits=None, columns=10):
    gray, k, truth = line_field(DPI, widths_mm, gaps=gaps, columns=columns)
    marks = marks_of(gray)
    return measure(marks, marks.width_px / k, limits), marks, truth, k


def drawn(draw, size=(900, 700), over=6):
    image = Image.new("L", (size[0] * over, size[1] * over), 255)
    draw(ImageDraw.Draw(image), over)
    marks = marks_of(image.reduce(over))
    return measure(marks, marks.width_px / K), marks


def spot(marks, x_px, y_px):
    return (x_px - marks.box[0]) / K, (y_px - marks.box[1]) / K


def test_the_size_follows_the_marks_not_the_sheet():
    gauge, marks, _, _ = gauge_field([0.5] * 4, columns=2)
    assert gauge.height_mm == pytest.approx(gauge.width_mm * marks.height_px / marks.width_px)


def test_percentiles_and_share_are_those_of_the_drawn_lines():
    gauge, _, _, _ = gauge_field([0.2] * 5 + [0.6] * 5)
    assert (gauge.stroke_mm.p01, gauge.stroke_mm.p99) == pytest.approx((0.2, 0.6), abs=0.015)
    assert gauge.stroke_mm.below_limit == pytest.approx(0.5, abs=0.03)


@pytest.mark.parametrize("degrees", [0, 10, 20, 30, 40, 45, 60])
def test_half_the_length_is_half_whatever_way_the_lines_run(degrees):
    """Counting pixels, a line at 45 degrees has a third fewer of them than a level one as long."""

    def two_lines(pen, over):
        turn = np.radians(degrees)
        ends = (700 - 500 * np.cos(turn)) * over, (60 + 500 * np.sin(turn)) * over
        pen.line([(700 * over, 60 * over), ends], fill=0, width=2 * over)
        pen.line([(100 * over, 640 * over), (600 * over, 640 * over)], fill=0, width=8 * over)

    gauge, _ = drawn(two_lines)
    assert gauge.stroke_mm.below_limit == pytest.approx(0.5, abs=0.015)
    assert share_thinner(gauge, 0.4) == pytest.approx(0.5, abs=0.015)
    assert gauge.stroke_mm.p50 == pytest.approx(0.42, abs=0.27)


def test_the_counts_are_of_single_lines_at_one_width_and_in_the_table():
    def hatch(pen, over):
        for x in range(100, 200, 10):
            pen.line([(x * over, 300 * over), (x * over, 340 * over)], fill=0, width=2 * over)
        pen.line([(60 * over, 600 * over), (800 * over, 600 * over)], fill=0, width=10 * over)

    gauge, _ = drawn(hatch)
    (row,) = at_widths(gauge, [gauge.width_mm])
    assert (gauge.thin_lines, gauge.tight_gaps, gauge.closing_gaps) == (row.thin, row.tight, row.closing)
    assert (gauge.thin_lines, len(gauge.thin) < 5) == (10, True)
    assert gauge.tight_gaps == 9


def test_thin_lines_are_placed_where_they_are():
    gauge, marks, truth, k = gauge_field([0.6, 0.2, 0.6, 0.22, 0.6, 0.6])
    found = sorted((place.x_mm, place.y_mm, place.mm) for place in gauge.thin)
    expected = sorted(((x - marks.box[0]) / k, (y - marks.box[1]) / k, width) for x, y, width in truth if width < 0.3)
    assert len(found) == 2
    for (x, y, width), (x0, y0, width0) in zip(found, expected, strict=True):
        assert np.hypot(x - x0, y - y0) < 7.2  # somewhere along its 14 mm
        assert width == pytest.approx(width0, abs=0.01)
    assert {place.kind for place in gauge.thin} == {Shortfall.LINE}


def test_narrow_gaps_are_placed_and_those_that_ink_will_close_are_named():
    gauge, _, _, _ = gauge_field([1.4, 0.8, 0.4, 1.3, 1.2], gaps=True, columns=5)
    inner = [place for place in gauge.tight if place.mm < 0.95]
    assert sorted(place.mm for place in inner) == pytest.approx([0.4, 0.8], abs=0.015)
    assert [place.closes for place in sorted(inner, key=lambda place: place.mm)] == [True, False]


def test_the_smallest_readable_width_is_that_of_the_thinnest_line():
    gauge, _, _, _ = gauge_field([0.25, 0.6, 0.6, 0.6], columns=4)
    assert gauge.readable_from_mm == pytest.approx(gauge.width_mm * 0.3 / 0.25, rel=0.03)
    rows = at_widths(gauge, [gauge.readable_from_mm * 0.95, gauge.readable_from_mm * 1.05])
    assert [row.is_readable for row in rows] == [False, True]


def test_a_width_at_which_the_file_is_too_coarse_is_not_offered():
    gauge, _, _, _ = gauge_field([0.2, 0.6, 0.6, 0.6], columns=4)
    assert gauge.readable_from_mm is None  # 110 mm, but from 104 mm on the file has under 212 dots per inch
    assert gauge.judged_to_mm == pytest.approx(gauge.width_mm * 0.3 / (2.5 * 25.4 / DPI))
    assert [row.is_readable for row in at_widths(gauge, [gauge.width_mm, 100, 106])] == [False, False, None]


def test_the_table_scales_one_measurement():
    gauge, _, _, _ = gauge_field([0.2, 0.6, 0.6, 0.6], columns=4)
    half, same = at_widths(gauge, [gauge.width_mm / 2, gauge.width_mm])
    assert (half.thinnest_mm, same.thinnest_mm) == pytest.approx((0.1, 0.2), abs=0.01)
    assert (same.thin, same.height_mm) == (1, pytest.approx(gauge.height_mm))


def test_a_drawing_of_one_line_has_no_gap():
    gauge, _, _, _ = gauge_field([0.8], columns=1)
    assert gauge.gap_mm is None
    assert gauge.tight == ()


def test_a_stroke_that_runs_out_is_a_taper_not_a_thin_line():
    def taper(pen, over):
        pen.polygon([(100 * over, 340 * over), (100 * over, 360 * over), (800 * over, 350 * over)], fill=0)

    gauge, _ = drawn(taper)
    assert gauge.thin == ()
    assert gauge.tapers == 1


def test_a_neck_in_a_line_is_measured_at_its_narrowest():
    def neck(pen, over):
        for x in range(100, 800):
            half = (1.2 + 6 * min(abs(x - 450) / 150, 1)) * over
            pen.rectangle((x * over, 350 * over - half, (x + 1) * over, 350 * over + half), fill=0)

    gauge, marks = drawn(neck)
    (place,) = gauge.thin
    assert place.x_mm == pytest.approx(spot(marks, 450, 350)[0], abs=0.6)
    assert place.mm == pytest.approx(2.4 / K, abs=0.06)


def test_lines_that_meet_do_not_report_their_wedge_as_a_gap():
    def wedge(pen, over):
        for end in ((800, 200), (800, 500), (800, 350)):
            pen.line([(100 * over, 350 * over), (end[0] * over, end[1] * over)], fill=0, width=8 * over)

    gauge, _ = drawn(wedge)
    assert gauge.tight == ()


def test_corners_and_crossings_are_not_measured():
    def grid(pen, over):
        for at in (100, 300, 500):
            pen.line([(at * over, 60 * over), (at * over, 640 * over)], fill=0, width=8 * over)
            pen.line([(60 * over, at * over), (600 * over, at * over)], fill=0, width=8 * over)
        pen.rectangle((660 * over, 100 * over, 860 * over, 300 * over), outline=0, width=8 * over)

    gauge, _ = drawn(grid)
    assert (gauge.stroke_mm.p01, gauge.stroke_mm.p99) == pytest.approx((8 / K, 8 / K), abs=0.02)


def test_dots_are_judged_by_their_area():
    def dots(pen, over):
        for index, diameter in enumerate((2.6, 3.0, 6.0, 9.0)):
            x = (100 + 200 * index) * over
            half = diameter * over / 2
            pen.ellipse((x - half, 300 * over - half, x + half, 300 * over + half), fill=0)
        pen.line([(60 * over, 600 * over), (800 * over, 600 * over)], fill=0, width=10 * over)

    gauge, _ = drawn(dots)
    assert [place.kind for place in gauge.thin] == [Shortfall.DOT, Shortfall.DOT]
    assert [place.mm * K for place in gauge.thin] == pytest.approx([2.6, 3.0], abs=0.35)


def test_many_close_places_become_one_that_counts_them():
    def hatch(pen, over):
        for x in range(100, 200, 10):
            pen.line([(x * over, 300 * over), (x * over, 340 * over)], fill=0, width=2 * over)
        pen.line([(60 * over, 600 * over), (800 * over, 600 * over)], fill=0, width=10 * over)

    gauge, _ = drawn(hatch)
    assert sum(place.count for place in gauge.thin) == 10
    assert len(gauge.thin) < 5


def test_the_limits_are_the_callers():
    gauge, _, _, _ = gauge_field([0.5] * 4, limits=GaugeLimits(stroke_mm=0.6), columns=4)
    assert len(gauge.thin) == 4


@pytest.mark.parametrize("width_mm", [0, -5, 0.5, 2500, float("nan")])
def test_a_width_that_is_none_is_refused(width_mm):
    gray, _, _ = line_field(DPI, [0.5], columns=1)
    with pytest.raises(UsageError):
        measure(marks_of(gray), width_mm)


def test_the_picture_marks_every_critical_place_and_names_the_worst():
    gauge, marks, _, _ = gauge_field([0.6, 0.2, 0.6, 0.22, 0.6, 0.6])
    picture = draw_gauge(marks, gauge, 900)
    yellow = (np.asarray(picture) == (243, 220, 131)).all(axis=-1)
    assert picture.width == 900
    scale = (900 - 48) / gauge.width_mm
    for sign, place in numbered(gauge):
        assert sign in "AB"
        x, y = round(24 + place.x_mm * scale), round(24 + place.y_mm * scale)
        assert yellow[y - 12 : y + 13, x - 12 : x + 13].any()
    gray = np.asarray(draw_gauge(marks, gauge, 300, palette=PAPER))
    assert (gray.max(axis=-1) == gray.min(axis=-1)).all()


def test_a_drawing_with_nothing_critical_is_drawn_without_marks():
    gauge, marks, _, _ = gauge_field([0.6] * 4, columns=4, limits=GaugeLimits(gap_mm=0.1))
    assert not (np.asarray(draw_gauge(marks, gauge)) == (243, 220, 131)).all(axis=-1).any()


def test_the_order_of_places_does_not_hang_on_the_last_digits(monkeypatch):
    """Another processor or library adds up in another order; lists of many equal places must not fall otherwise."""
    marks = marks_of(stencil(motif("mandala"), dpi=DPI))

    def places():
        gauge = measure(marks, marks.width_px / K)
        return [(round(place.x_mm, 2), round(place.y_mm, 2), place.count) for place in (*gauge.thin, *gauge.tight)]

    expected = places()
    assert len(expected) > 30
    exact, rng = ridges.sampled, np.random.default_rng(4)
    monkeypatch.setattr(
        ridges, "sampled", lambda *of: (exact(*of) * (1 + rng.normal(0, 2e-7, of[1].shape))).astype(np.float32)
    )
    assert places() == expected


@pytest.mark.parametrize("name", ["mandala", "owl", "fern"])
def test_a_drawing_that_is_looked_at_some_rows_at_a_time_is_measured_as_the_whole(monkeypatch, name):
    marks = marks_of(stencil(motif(name), dpi=DPI))
    whole = measure(marks, marks.width_px / K)
    monkeypatch.setattr(ridges, "BAND_PX", 1)  # as few rows as can be: those of the widest line
    parts = measure(marks, marks.width_px / K)
    for first, second in ((whole.measured.strokes, parts.measured.strokes), (whole.measured.gaps, parts.measured.gaps)):
        assert len(first.x) > 100
        # Places are the same to a thousandth of a pixel; a few points lie at the edge of what counts.
        assert abs(len(first.x) - len(second.x)) <= len(first.x) / 1000
        assert np.sort(first.width).mean() == pytest.approx(np.sort(second.width).mean(), rel=1e-4)
        rounded = [set(zip(one.x.round(1).tolist(), one.y.round(1).tolist(), strict=True)) for one in (first, second)]
        assert len(rounded[0] ^ rounded[1]) <= len(first.x) / 50
    for told in ("thin_lines", "tight_gaps", "closing_gaps", "tapers"):
        assert getattr(whole, told) == getattr(parts, told)
    assert [(one.count, one.kind) for one in whole.thin] == [(one.count, one.kind) for one in parts.thin]


def test_a_drawing_of_a_whole_sleeve_takes_little_more_memory_than_its_pixels():
    """25 million of them; with all that is computed at once it were 800 MB."""
    code = (
        "import resource, sys, numpy as np; from tests.drawn_lines import marks_of; from archgen.stencils import "
        "stroke_width; page = np.full((9000, 2700), 255, np.uint8); page[::60, 5:-5] = 0; page[1::60, 5:-5] = 0; "
        "marks = marks_of(page); before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss; "
        "assert len(stroke_width.look(marks, 115.0).strokes.x) > 300_000; "
        "print((resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert int(ran.stdout) < 430


def two_rings(width_mm, *, one_bit, dpi=300):
    """Two rings of 10 and 14 mm radius, not centred on a pixel."""
    k = dpi / 25.4
    rows, columns = np.indices((round(32 * k), round(32 * k)))
    away = np.hypot(rows - 16.3 * k, columns - 15.9 * k)
    coverage = np.max([np.clip(width_mm * k / 2 - np.abs(away - r * k) + 0.5, 0, 1) for r in (10, 14)], axis=0)
    return marks_of((255 * (1 - (coverage > 0.5 if one_bit else coverage))).astype(np.uint8)), k


@pytest.mark.parametrize(
    ("width_mm", "one_bit", "lines"),
    [(0.25, True, 2), (0.28, True, 2), (0.29, True, 2), (0.32, True, 0), (0.25, False, 2), (0.298, False, 2),
     (0.303, False, 0)],
)  # fmt: skip
def test_two_rings_are_two_lines_however_stepped_they_are(width_mm, one_bit, lines):
    marks, k = two_rings(width_mm, one_bit=one_bit)
    gauge = measure(marks, marks.width_px / k)
    assert (gauge.thin_lines, gauge.tight_gaps) == (lines, 0)
    (row,) = at_widths(gauge, [gauge.width_mm])
    assert row.thin == lines
    # As wide as the rings must become for 0.3 mm: a dot more or less of a stepped file is half a percent of its lines.
    assert gauge.readable_from_mm is None or gauge.readable_from_mm == pytest.approx(
        gauge.width_mm * 0.3 / width_mm, rel=0.05 if one_bit else 0.015
    )


@pytest.mark.parametrize("neck_px", [1, 2])
def test_a_neck_of_a_stepped_line_near_the_limit_is_one_thin_line(neck_px):
    gray = np.full((300, 700), 255, np.uint8)
    gray[100:104, 50:650] = 0  # 4 dots, 0.34 mm
    gray[100 + neck_px : 104, 300:330] = 255
    gray[200:260, 50:650] = 0
    marks = marks_of(gray)
    gauge = measure(marks, marks.width_px / K)
    assert gauge.thin_lines == 1
    assert gauge.thin[0].mm == pytest.approx(neck_px / K, abs=0.03)


@pytest.mark.parametrize("start", [20, 21])
@pytest.mark.parametrize("gap_px", [17, 18, 19])
@pytest.mark.parametrize("line_px", [1, 2])
def test_gaps_between_lines_of_a_dot_or_two_are_measured_wherever_they_lie(start, gap_px, line_px):
    gray = np.full((200, 200), 255, np.uint8)
    for left in (start, start + line_px + gap_px):
        gray[40:160, left : left + line_px] = 0
    marks = marks_of(gray)
    gauge = measure(marks, marks.width_px / (150 / 25.4))
    assert gauge.gap_mm.p50 == pytest.approx(gap_px * 25.4 / 150, abs=0.01)
    assert gauge.stroke_mm is not None
