"""Papers, printers, mirroring and sizes."""

from dataclasses import replace

import pytest

from archgen.config import PrinterSettings
from archgen.errors import ConfigError, UsageError
from archgen.printing import page
from archgen.printing.page import Handedness, Rect


def test_an_unknown_paper_is_refused_with_what_is_allowed():
    with pytest.raises(ConfigError, match=r'"A9" cannot be used: .*A4'):
        page.make_sheet(PrinterSettings(), "A9")


def test_margins_that_leave_no_room_are_refused():
    with pytest.raises(ConfigError, match="no room"):
        page.make_sheet(PrinterSettings(paper="A6", margin_mm=60))
    with pytest.raises(ConfigError, match="less than zero"):
        page.make_sheet(PrinterSettings(margin_mm=-1))


def test_small_paper_gets_a_shorter_rule():
    assert page.make_sheet(PrinterSettings(), "A4").rule_mm == 100
    assert page.make_sheet(PrinterSettings(), "A6").rule_mm == 50


def test_a_printer_that_draws_small_has_a_smaller_sheet_in_true_millimetres():
    sheet = page.make_sheet(PrinterSettings(measured_x_mm=99, measured_y_mm=101))
    assert sheet.true_mm == pytest.approx((210 * 0.99, 297 * 1.01))
    assert (sheet.content.left * sheet.factor_x, sheet.content.top * sheet.factor_y) == pytest.approx((5, 5))


@pytest.mark.parametrize(("measured", "cause"), [
    ((94.9, 100), "actual size"), ((100, 105.1), "actual size"), ((97, 93), "actual size"),
    ((9.94, 100), "centimetres"), ((3.94, 100), "inches"), ((39.4, 100), "inches"),
])  # fmt: skip
def test_a_rule_more_than_5_percent_off_is_refused_with_the_likely_cause(measured, cause):
    with pytest.raises(ConfigError, match=cause):
        page.correction(*measured)


@pytest.mark.parametrize("measured", [(95, 105), (99.4, 100.2), (100, 100)])
def test_the_factors_undo_what_the_printer_does(measured):
    factors = page.correction(*measured)
    assert [factor * length for factor, length in zip(factors, measured, strict=True)] == pytest.approx([100, 100])


@pytest.mark.parametrize(("method", "stored", "asked", "expected"), [
    ("ink-jet", False, None, Handedness(mirrored=True, flip=True)),
    ("ink-jet", True, None, Handedness(mirrored=True, flip=False)),
    ("thermal", False, None, Handedness(mirrored=False, flip=False)),
    ("thermal", True, None, Handedness(mirrored=False, flip=True)),
    ("ink-jet", False, False, Handedness(mirrored=False, flip=False)),
    ("ink-jet", True, False, Handedness(mirrored=False, flip=True)),
    ("thermal", False, True, Handedness(mirrored=True, flip=True)),
    ("thermal", True, True, Handedness(mirrored=True, flip=False)),
])  # fmt: skip
def test_two_flips_never_cancel(method, stored, asked, expected):
    assert page.decide_mirror(method, stored_mirrored=stored, mirror=asked) == expected


def test_an_unknown_method_is_refused():
    with pytest.raises(ConfigError, match="ink-jet or thermal"):
        page.decide_mirror("laser", stored_mirrored=False)


def test_the_other_side_follows_from_the_drawing():
    assert page.size_from(1.5, 60, None) == (60, 90)
    assert page.size_from(1.5, None, 90) == (60, 90)
    assert page.size_from(1.5, 60, None, percent=150) == (90, 135)


@pytest.mark.parametrize("sides", [
    (0, None), (-5, None), (None, 0), (2001, None), (None, 2500), (60, 90), (None, None), (float("nan"), None),
])  # fmt: skip
def test_a_size_that_is_none_is_refused(sides):
    with pytest.raises(UsageError):
        page.size_from(1.0, *sides)


@pytest.mark.parametrize("percent", [0, -10, 5000])
def test_a_percentage_that_is_none_is_refused(percent):
    with pytest.raises(UsageError, match="percentage"):
        page.size_from(1.0, 60, None, percent)


def test_a_region_is_given_as_the_design_reads_and_turned_for_a_mirrored_sheet():
    region = Rect(10, 20, 15, 25)
    assert page.printed_region(region, 60, 90, mirrored=False) == region
    assert page.printed_region(region, 60, 90, mirrored=True) == Rect(35, 20, 15, 25)


@pytest.mark.parametrize("region", [Rect(50, 0, 20, 20), Rect(-1, 0, 20, 20), Rect(0, 80, 20, 20), Rect(0, 0, 0, 20)])
def test_a_region_outside_the_design_is_refused_with_its_size(region):
    with pytest.raises(UsageError, match=r"60\.0 × 90\.0 mm"):
        page.printed_region(region, 60, 90, mirrored=False)


def test_the_settings_of_the_archive_serve_as_printer():
    assert page.make_sheet(replace(PrinterSettings(), paper="Letter")).paper.name == "Letter"
