"""Lines of another weight, told from softer, paler, darker and smaller copies."""

from types import SimpleNamespace

import cv2
import numpy as np
import pytest

from archgen.twins.description.turns import IDENTITY, box_transform
from archgen.twins.naming import weight
from archgen.twins.naming.alignment import Alignment
from archgen.twins.naming.weight import is_cut, weigh
from tests.unit.twins.pictures import kept

WHOLE = Alignment(0, IDENTITY, is_plain=True)


# What is measured.


@pytest.mark.parametrize(
    ("first", "second", "least"), [(2, 3, 2), (-3, -2, -2), (3, 2, 2), (2, -3, 0), (0, 3, 0), (3, 0, 0), (0.5, 4, 0.5)]
)
def test_two_measures_agree_in_the_lesser_of_one_sign(first, second, least):
    assert weight._least(first, second) == least


def test_the_outline_of_a_blot_is_its_length_times_the_ink():
    blot = np.zeros((100, 100), np.float32)
    blot[30:70, 20:80] = 0.5
    # Sums of the slopes, as long as a way round on the average over all directions.
    assert weight._outline(blot) == pytest.approx(0.5 * 200 * np.pi / 4)
    assert weight._outline(blot.T.copy()) == pytest.approx(0.5 * 200 * np.pi / 4)
    disc = np.zeros((200, 200), np.uint8)
    cv2.circle(disc, (100, 100), 70, 1, -1)
    assert weight._outline(disc.astype(np.float32)) == pytest.approx(2 * np.pi * 70, rel=0.03)


def test_ink_is_what_lies_above_the_grain_of_the_paper():
    map_ = np.full((20, 20), 0.05, np.float32)  # grain, under 0.06
    map_[5:15, 5:15] = 0.56
    ink = weight._Ink(map_, 1.0)
    assert ink.amounts(False) == pytest.approx((50, 0.5 * 40 * np.pi / 4))
    # Against ink half as dark grain counts half; and all is told in parts of the blackest.
    pale = weight._Ink(map_ / 2, 0.5)
    assert pale.amounts(False) == pytest.approx((25, 0.25 * 40 * np.pi / 4))
    assert pale.amounts(True) == pytest.approx((50, 0.5 * 40 * np.pi / 4))


def test_blank_paper_can_be_divided_by():
    assert weight._Ink(np.zeros((9, 9), np.float32), 1.0).amounts(False) == (1e-6, 1e-6)


def test_the_shift_of_the_outline_is_ink_over_length_in_parts_of_the_picture():
    thin, thick = np.zeros((100, 200), np.float32), np.zeros((100, 200), np.float32)
    thin[10:90, 20:24] = thick[10:90, 19:25] = 1.0
    inks = [weight._Ink(map_, 1.0) for map_ in (thin, thick)]
    shift, ratio = weight._compared(inks, False, 200)
    assert ratio == pytest.approx(480 / 320, rel=0.01)
    # Each side of the line went out by a pixel of 200; what is measured of the length is a quarter of pi of it.
    assert shift == pytest.approx(1 / 200 * 4 / np.pi, rel=0.06)
    assert weight._compared(inks[::-1], False, 200)[0] == pytest.approx(-shift)


def of_size(width, height=None, **measures):
    return kept(np.full((8, 8), 255), (width, height or width), **measures)


@pytest.mark.parametrize(
    ("one", "other", "scale", "least"),
    [
        (1000, 1000, 1.0, 0.0004),
        (200, 200, 1.0, 0.12 / 200),
        (1000, 500, 1.0, 0.3 / 500),
        (500, 1000, 1.0, 0.3 / 500),
        (1000, 960, 1.0, 0.0004),
        (200, 191, 1.0, 0.12 / 191),
        (200, 189, 1.0, 0.3 / 189),
        (200, 400, 0.5, 0.3 / 200 / 1.0),
        (191, 200, 1.0, 0.12 / 191),
        (189, 200, 1.0, 0.3 / 189),
    ],
)
def test_the_least_shift_that_tells_is_of_the_picture_or_of_its_own_pixels(one, other, scale, least):
    placed = Alignment(0, box_transform(0, 0, scale, scale), is_plain=True)
    assert weight._least_shift(of_size(one), of_size(other), placed) == pytest.approx(least)


def test_the_long_side_tells_how_large_a_picture_is():
    assert weight._least_shift(of_size(200, 20), of_size(20, 200), WHOLE) == pytest.approx(0.12 / 200)


# Cut to black and white.


@pytest.mark.parametrize(
    ("tones", "shift", "light", "cut"),
    [
        ((0.001, 0.0125), 0.0002, 0, True),
        ((0.0125, 0.001), 0.0002, 0, True),
        ((0.0011, 0.0125), 0.0002, 0, False),  # still has half-tones
        ((0.001, 0.0124), 0.0002, 0, False),  # never had any
        ((0, 0.5), 0.00016, 2.2, False),
        ((0, 0.5), 0.00017, 0, True),
        ((0, 0.5), -0.00017, 0, True),
        ((0, 0.5), 0, 2.3, True),
    ],
)
def test_a_cut_has_lost_its_half_tones_and_shows_in_outline_or_light(tones, shift, light, cut):
    assert is_cut(of_size(100, halftones=tones[0]), of_size(100, halftones=tones[1]), shift, light) is cut


@pytest.mark.parametrize(("level", "cut"), [(235, True), (234, False)])
def test_a_cut_is_told_on_white_paper_only(level, cut):
    gray = np.full((10, 10), level)
    gray[:2] = 0
    white = kept(np.full((10, 10), 255), halftones=0.5)
    assert is_cut(kept(gray), white, 1, 9) is cut
    assert is_cut(white, kept(gray), 1, 9) is cut


@pytest.mark.parametrize(("dark", "cut"), [(24, True), (27, False)])
def test_a_quarter_of_a_drawing_may_be_ink(dark, cut):
    gray = np.full(100, 255)
    gray[:dark] = 0
    # The level under which three quarters lie is white as long as a quarter is.
    bright = np.sort(gray)[::-1] if cut else np.where(np.arange(100) < 76, 0, 255)
    assert is_cut(kept(bright.reshape(10, 10)), of_size(100, halftones=0.5), 1, 9) is cut


# Ink on paper beside the lines.


def line(width, *, ground=0.0, dark=1.0):
    map_ = np.full((60, 60), ground, np.float32)
    map_[10:50, 30 - width // 2 : 30 + (width + 1) // 2] = dark
    return map_


def test_ink_beside_the_lines_of_the_other_is_summed_up():
    thin, thick = line(4), line(6)
    # A column on each side, and the corners above and below are paper in both.
    assert weight._on_paper(thin, thick, None) == pytest.approx(80)
    assert weight._on_paper(thick, thin, None) == pytest.approx(-80)
    assert weight._on_paper(thin, thin, None) == pytest.approx(0)


def test_ink_counts_only_where_the_other_shows_paper_beside_a_line():
    thin, thick = line(4), line(6)
    thin[thin == 0] = 0.051
    assert weight._on_paper(thin, thick, None) == pytest.approx(0, abs=1e-4)
    thin[thin < 0.1] = 0.05
    assert weight._on_paper(thin, thick, None) == pytest.approx(80 - 0.0, abs=9)
    faint = line(4, dark=0.14)
    assert weight._on_paper(faint, line(6, dark=0.14), None) == pytest.approx(0, abs=1e-4)
    assert weight._on_paper(line(4, dark=0.16), line(6, dark=0.16), None) == pytest.approx(80 * 0.16, rel=0.01)


def test_the_grain_of_a_scan_is_no_ink_beside_a_line():
    thin = line(4)
    assert weight._on_paper(thin, line(4, ground=0.04), None) == pytest.approx(0, abs=1e-3)
    assert weight._on_paper(line(4, ground=0.04), thin, None) == pytest.approx(0, abs=1e-3)
    assert weight._on_paper(thin, line(6, ground=0.04), None) == pytest.approx(80 - 80 * 0.04, abs=0.1)


def test_grain_is_measured_far_from_all_lines():
    thin, scanned = line(4), line(4)
    far = cv2.dilate(thin, np.ones((7, 7), np.uint8)) == 0
    scanned[far] = 0.02  # the paper within three pixels of the line stays clean
    scanned[far & (cv2.dilate(thin, np.ones((9, 9), np.uint8)) > 0)] = 0.1
    beside = np.count_nonzero((thin <= 0.05) & (cv2.dilate(thin, np.ones((3, 3), np.uint8)) > 0.15))
    # What is far is taken for the grain everywhere.
    assert weight._on_paper(thin, scanned, None) == pytest.approx(-scanned[far].mean() * beside, rel=1e-3)


@pytest.mark.parametrize(("count", "grain"), [(40, 0.0), (41, 0.04)])
def test_grain_needs_forty_pixels_to_be_measured(count, grain):
    thin, scanned = line(4), line(4, ground=0.04)
    known = np.zeros((60, 60), np.float32)
    known[8:52, 25:35] = 1
    known.ravel()[:count] = 1  # a row far above
    beside = np.count_nonzero((thin <= 0.05) & (cv2.dilate(thin, np.ones((3, 3), np.uint8)) > 0.15))
    assert weight._on_paper(thin, scanned, known) == pytest.approx((0.04 - grain) * beside, abs=1e-3)


def test_only_what_both_show_is_compared():
    thin, thick = line(4), line(6)
    known = np.ones((60, 60), np.float32)
    known[:30] = 0
    assert weight._on_paper(thin, thick, known) == pytest.approx(40)


# What the measures say together.


def drawn(thickness, *, side=256, blur=0.0, dark=1.0):
    """Rings and lines, drawn four times as large and brought down."""
    large = np.full((side * 4, side * 4), 255, np.uint8)
    for radius in (40, 70, 100):
        cv2.circle(large, (side * 2, side * 2), radius * side // 64, 0, round(thickness * 4))
    cv2.line(large, (side, side // 2), (side * 3, side * 3), 0, round(thickness * 4))
    gray = cv2.resize(large, (side, side), interpolation=cv2.INTER_AREA).astype(np.float32)
    gray = cv2.GaussianBlur(gray, (0, 0), blur) if blur else gray
    return 255 - (255 - gray) * dark


def sketch(thickness, size=1000, **how):
    gray = drawn(thickness, **how)
    return kept(gray, (size, size), bare=float((gray > 250).mean()), ink_level=how.get("dark", 1.0))


THIN, BOLD = sketch(2.0), sketch(3.0)


def weighed(a, b, alignment=WHOLE, *, is_sure=True):
    return weigh(a, b, alignment, is_sure=is_sure)


def test_bolder_lines_are_other_lines():
    found = weighed(THIN, BOLD)
    assert found.is_other
    assert found.ratio == pytest.approx(1.5, abs=0.1)
    assert found.shift > 0.001
    back = weighed(BOLD, THIN)
    assert back.is_other
    assert (back.ratio, back.shift) == (pytest.approx(1 / found.ratio, abs=0.01), pytest.approx(-found.shift))


def test_the_same_lines_are_the_same():
    found = weighed(THIN, THIN)
    assert (found.ratio, found.shift, found.is_other) == (1, 0, False)


@pytest.mark.parametrize("how", [{"blur": 0.7}, {"dark": 0.7}, {"dark": 0.6, "blur": 0.5}])
def test_a_softer_or_paler_copy_has_no_other_lines(how):
    copy = sketch(2.0, **how)
    assert not weighed(THIN, copy).is_other
    assert not weighed(copy, THIN).is_other


@pytest.mark.parametrize("levels", [(0.0, 1.0), (1.0, 0.0)])
def test_without_ink_nothing_can_be_weighed(levels):
    one, two = (kept(drawn(2.0), ink_level=level) for level in levels)
    assert weighed(one, two) is None


def test_a_part_is_weighed_by_what_both_show():
    part = kept(drawn(3.0)[:, 128:], (500, 1000), bare=0.5)
    placed = Alignment(0, box_transform(0.5, 0, 1, 1), is_plain=True)
    found = weighed(THIN, part, placed)
    assert found.is_other
    assert found.ratio == pytest.approx(1.5, abs=0.15)
    assert not weighed(THIN, kept(drawn(2.0)[:, 128:], (500, 1000), bare=0.5), placed).is_other


def test_a_column_that_both_show_for_sure_is_enough_to_weigh():
    three, two = (Alignment(0, box_transform(1 - n / 256, 0, 2 - n / 256, 1), is_plain=True) for n in (3, 2))
    assert weighed(THIN, THIN, three) is not None
    assert weighed(THIN, THIN, two) is None


def test_parts_that_show_nothing_in_common_are_not_weighed():
    assert weighed(THIN, BOLD, Alignment(0, box_transform(1.2, 0, 2.2, 1), is_plain=True)) is None
    # The outermost pixels see half of what lies outside.
    assert weighed(THIN, BOLD, Alignment(0, box_transform(1 - 2 / 256, 0, 2 - 2 / 256, 1), is_plain=True)) is None


@pytest.mark.parametrize(("bare", "is_other"), [(0.0, False), (0.001, False), (None, True), (1.0, False)])
def test_bold_lines_leave_less_paper_bare_but_not_all_too_much_less(bare, is_other):
    """Over the whole of one size, what only got darker bares little, and what is sharper bares much."""
    true = BOLD.bare
    other = kept(drawn(3.0), (1000, 1000), bare=true if bare is None else THIN.bare - bare)
    assert weighed(THIN, other).is_other is is_other


def test_what_was_photographed_must_differ_three_times_as_much():
    slightly = sketch(2.2, size=300)
    small = sketch(2.0, size=300)
    shift = weighed(small, slightly).shift
    least = 0.12 / 300
    assert least < shift < 3 * least
    assert weighed(small, slightly).is_other
    assert not weighed(small, slightly, is_sure=False).is_other
    assert weighed(sketch(2.0, size=300), sketch(3.0, size=300), is_sure=False).is_other


@pytest.fixture
def judged(monkeypatch):
    """Weigh two pictures of 1000 pixels, from 0.0004 on, of which so much was measured."""

    def judge(plain, black, *, bared=0.001, on_paper=0.001, sure=True, sizes=(1000, 1000), placed=IDENTITY, level=1.0):
        outlines = {True: 0.1, False: 7.0}  # a hundred pixels of maps with sides of ten: an outline of one
        monkeypatch.setattr(weight, "_Ink", lambda *_: SimpleNamespace(amounts=lambda against: (0, outlines[against])))
        monkeypatch.setattr(weight, "_compared", lambda _inks, against, _side: black if against else plain)
        monkeypatch.setattr(weight, "_on_paper", lambda *maps: inks.append(maps) or on_paper)
        inks.clear()
        way = 1 if plain[0] > 0 else -1
        gray = np.full((10, 10), 255)
        gray[4] = 0
        a = kept(gray, (sizes[0],) * 2, bare=0.5 + way * bared / 100, ink_level=level)
        b = kept(gray, (sizes[1],) * 2, bare=0.5, ink_level=level / 2)
        found = weigh(a, b, Alignment(0, placed, is_plain=True), is_sure=sure)
        return found.ratio, found.shift, found.is_other

    inks = []
    judge.inks = inks
    return judge


PART = box_transform(0, 0, 0.999, 0.999)


@pytest.mark.parametrize(
    ("plain", "black", "found"),
    [
        ((0.002, 1.4), (0.001, 1.2), (1.2, 0.001)),
        ((-0.001, 0.8), (-0.002, 0.7), (0.8, -0.001)),
        ((0.002, 1.4), (-0.001, 0.9), (1.4, 0)),  # of paler ink: the ratio as it is
        ((0.002, 1.4), (0.001, 0.9), (1.0, 0.001)),
    ],
)
def test_only_what_both_inks_say_is_told(judged, plain, black, found):
    way = 1 if plain[0] > 0 else -1
    ratio, shift, is_other = judged(plain, black, on_paper=way * 0.001)
    assert (ratio, shift) == pytest.approx(found)
    assert is_other


def test_against_black_counts_where_not_the_whole_is_compared(judged):
    only_plain, only_black = ((0.002, 1.4), (0.0001, 1.1)), ((0.0001, 1.1), (0.002, 1.4))
    for placed, sizes in ((IDENTITY, (1000, 900)), (PART, (1000, 1000))):
        assert not judged(*only_plain, placed=placed, sizes=sizes)[2]
        assert judged((0.002, 1.4), (0.002, 1.4), placed=placed, sizes=sizes, bared=0)[2]
    assert judged(*only_plain)[2]
    assert not judged(*only_black)[2]


@pytest.mark.parametrize(
    ("shift", "sure", "is_other"),
    [(0.0004, True, False), (0.00041, True, True), (0.0012, False, False), (0.0013, False, True)],
)
def test_a_shift_from_which_lines_are_others_is_three_times_as_much_where_unsure(judged, shift, sure, is_other):
    for way in (1, -1):
        both = (way * shift, 1 + way * 0.2)
        assert judged(both, both, sure=sure, bared=shift, on_paper=way * 0.001)[2] is is_other


@pytest.mark.parametrize(
    ("shift", "bared", "is_other"),
    [
        (0.0005, 0.00016, True),
        (0.0005, 0.00014, False),
        (0.01, 0.0013, True),
        (0.01, 0.0011, False),  # an eighth of the shift, nearly
        (0.01, 0.039, True),
        (0.01, 0.041, False),
        (0.01, -0.01, False),
    ],
)
def test_bolder_lines_leave_less_paper_bare(judged, shift, bared, is_other):
    for way in (1, -1):
        both = (way * shift, 1 + way * 0.2)
        assert judged(both, both, bared=bared, on_paper=way * 0.01)[2] is is_other
        # In a part, or at another size, the share of bare paper says nothing.
        assert judged(both, both, bared=bared, on_paper=way * 0.01, placed=PART)[2]


@pytest.mark.parametrize(
    ("shift", "sure", "on_paper", "is_other"),
    [
        (0.0005, True, 0.00006, True),
        (0.0005, True, 0.00004, False),
        (0.01, True, 0.00026, True),
        (0.01, True, 0.00024, False),
        (0.01, False, 0.00076, True),
        (0.01, False, 0.00074, False),
        (0.01, True, -0.01, False),
    ],
)
def test_ink_must_lie_on_paper_beside_the_lines(judged, shift, sure, on_paper, is_other):
    for way in (1, -1):
        both = (way * shift, 1 + way * 0.2)
        assert judged(both, both, sure=sure, bared=shift, on_paper=way * on_paper)[2] is is_other


def test_ink_on_paper_is_told_in_parts_of_the_blackest(judged):
    judged((0.002, 1.4), (0.002, 1.4), level=0.5)
    one, two, inside = judged.inks[0]
    assert inside is None
    plain = weight.ink_of(kept(np.where(np.arange(10)[:, None] == 4, 0, 255) * np.ones((10, 10), int)))
    assert one == pytest.approx(plain / 0.5)
    assert two == pytest.approx(plain / 0.25)
