"""What stands round the stencils of a sheet: the small map of a large design, names below several, the words on top."""

import datetime as dt
from io import BytesIO

import pikepdf
import pytest

from archgen.config import PrinterSettings
from archgen.printing import stencil_pdf
from archgen.printing.layout import LABEL_MM
from archgen.printing.page import Rect
from archgen.printing.stencil_plan import ReprintJob, StencilPrint, make_plan
from tests import printed_page
from tests.drawn_lines import marks_of, sign

MARKS = marks_of(sign())


def planned(*stencils, **changes):
    return make_plan(ReprintJob("Barn owl", stencils, PrinterSettings(), dt.date(2026, 3, 14), **changes))


def sides(box):
    return box.left, box.top, box.width, box.height


@pytest.fixture(scope="module", params=[(300, sign(300, 400)), (500, sign(900, 300))], ids=["tall", "wide"])
def large(request):
    """A design over several sheets, its plan and its PDF."""
    plan = planned(StencilPrint(marks_of(request.param[1]), width_mm=request.param[0]))
    return plan, stencil_pdf.write(plan)


def test_every_sheet_of_a_large_design_shows_it_whole_in_its_foot(large):
    plan, data = large
    whole, area = plan.drawings[0], plan.sheet.drawing
    maps = [image for image in printed_page.placed_images(data) if image.clip is None]
    assert [image.page for image in maps] == list(range(len(plan.pages)))
    for image in maps:
        assert image.width / image.height == pytest.approx(whole.width_mm / whole.height_mm, rel=1e-4)
        # As large as 22 x 12.5 mm let it be.
        assert max(image.width / 22, image.height / 12.5) == pytest.approx(1, rel=1e-4)
        assert image.left + image.width == pytest.approx(area.right, abs=1e-3)
        assert image.top == pytest.approx(area.bottom + 1.5, abs=1e-3)


def test_the_map_frames_every_sheets_part_at_its_place_and_its_own_heavily(large):
    plan, data = large
    whole = plan.drawings[0]
    windows = [placed.window for page in plan.pages for placed in page.placements]
    assert len(windows) > 2
    for number, (small, own) in enumerate(zip(printed_page.placed_images(data)[1::2], windows, strict=True)):
        share = small.width / whole.width_mm
        expected = [
            (small.left + one.left * share, small.top + one.top * share, one.width * share, one.height * share)
            for one in (*windows, own)
        ]
        frames = printed_page.stroked_boxes(data)[number]
        assert [frame[:4] for frame in frames] == [pytest.approx(box, abs=2e-3) for box in expected]
        # A hair is a quarter of a point; this sheet's own frame is 1.6 points.
        assert [frame[4] * 72 / 25.4 for frame in frames] == pytest.approx([0.25] * len(windows) + [1.6], abs=1e-3)


@pytest.mark.parametrize(("drawn", "width", "tiles"), [((200, 900), 90, (1, 2)), ((900, 200), 250, (2, 1))])
def test_a_design_that_is_too_large_in_one_way_only_is_shown_whole_too(drawn, width, tiles):
    plan = planned(StencilPrint(marks_of(sign(*drawn)), width_mm=width))
    assert {(page.tile.columns, page.tile.rows) for page in plan.pages} == {tiles}
    images = printed_page.placed_images(stencil_pdf.write(plan))
    assert [image.clip is None for image in images] == [False, True] * 2


@pytest.mark.parametrize(
    ("region", "clipped"), [(None, False), (Rect(0, 0, 60, 80), False), (Rect(0, 0, 59.999, 80), True)]
)
@pytest.mark.parametrize("mirror", [False, True])
def test_only_a_part_of_a_design_is_clipped(region, clipped, mirror):
    plan = planned(StencilPrint(MARKS, width_mm=60, region=region), mirror=mirror)
    images = printed_page.placed_images(stencil_pdf.write(plan))
    assert [image.clip is not None for image in images] == ([True, False] if clipped else [False])


def test_on_small_paper_the_map_stays_clear_of_the_test_letters():
    job = ReprintJob("Owl", (StencilPrint(MARKS, width_mm=200),), PrinterSettings(paper="A5"), dt.date(2026, 3, 14))
    plan = make_plan(job)
    foot, right = stencil_pdf._furnish(plan, 0).foot_left, plan.sheet.drawing.right
    assert right - foot < 22 * 3 / 4
    small = printed_page.placed_images(stencil_pdf.write(plan))[1]
    assert (small.left, small.left + small.width) == pytest.approx((foot, right), abs=1e-3)


def test_several_stencils_are_named_below_each_and_one_is_not():
    plan = planned(
        StencilPrint(MARKS, width_mm=60, label="Version 1"), StencilPrint(MARKS, width_mm=45, label=""), dated=""
    )
    (page,) = plan.pages
    words = stencil_pdf._labels(plan, page)
    assert [word.words for word in words] == ["Version 1 · 60 × 80 mm", "45 × 60 mm"]
    for word, placed in zip(words, page.placements, strict=True):
        assert word.x == pytest.approx((placed.box.left + placed.box.right) / 2)
        # Letters of 8 points hang 0.6 mm below their line at most: in the room below the stencil, and near its end.
        assert word.size == 8
        assert word.y == pytest.approx(placed.box.bottom + LABEL_MM - 0.8)
    alone = planned(StencilPrint(MARKS, width_mm=60, label="Version 1"))
    assert stencil_pdf._labels(alone, alone.pages[0]) == []
    tiled = planned(StencilPrint(MARKS, width_mm=300), StencilPrint(MARKS, width_mm=45))
    assert [bool(stencil_pdf._labels(tiled, one)) for one in tiled.pages] == [True] + [False] * 4


def test_the_head_says_what_lies_on_the_sheet():
    def said(*stencils, sheet=0):
        plan = planned(*stencils)
        return stencil_pdf._what(plan, plan.pages[sheet])

    whole = StencilPrint(MARKS, width_mm=60, label="Version 1")
    assert said(whole) == ["Version 1", "60 × 80 mm"]
    assert said(whole, StencilPrint(MARKS, width_mm=45)) == ["2 stencils"]
    both = (StencilPrint(MARKS, width_mm=30, copies=2), StencilPrint(MARKS, width_mm=45))
    assert said(*both) == ["2 stencils"]
    assert said(StencilPrint(MARKS, width_mm=40, copies=2)) == ["40 × 53.3 mm", "2 copies"]
    assert said(StencilPrint(MARKS, width_mm=40, copies=3)) == ["40 × 53.3 mm", "3 copies"]
    part = StencilPrint(MARKS, width_mm=60, region=Rect(10, 5, 25, 30))
    assert said(part)[1:] == ["part of it, 25 × 30 mm"]
    assert said(StencilPrint(MARKS, width_mm=300), sheet=1)[1:] == ["row 1 of 2, column 2 of 2"]


def test_the_art_box_holds_all_stencils_and_no_more():
    plan = planned(StencilPrint(MARKS, width_mm=60), StencilPrint(MARKS, width_mm=45))
    boxes = [placed.box for placed in plan.pages[0].placements]
    with pikepdf.open(BytesIO(stencil_pdf.write(plan))) as pdf:
        height = float(pdf.pages[0].MediaBox[3])
        left, low, right, high = map(float, pdf.pages[0].ArtBox)
    found = [value / 72 * 25.4 for value in (left, height - high, right, height - low)]
    expected = [
        min(box.left for box in boxes),
        min(box.top for box in boxes),
        max(box.right for box in boxes),
        max(box.bottom for box in boxes),
    ]
    assert found == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    ("method", "mirror", "face"),
    [
        ("ink-jet", None, "the printed side lies on the skin"),
        ("ink-jet", False, "not for the skin itself"),
        ("thermal", None, "its back lies on the skin"),
        ("thermal", True, "only for a machine that mirrors once more"),
    ],
)
def test_the_head_says_which_side_lies_on_the_skin(monkeypatch, method, mirror, face):
    headings, furnish = [], stencil_pdf.furniture.furnish
    monkeypatch.setattr(
        stencil_pdf.furniture, "furnish", lambda *given, **more: headings.append(given[1]) or furnish(*given, **more)
    )
    printer = PrinterSettings(method=method)
    job = ReprintJob("Owl", (StencilPrint(MARKS, width_mm=60),), printer, dt.date(2026, 3, 14), mirror=mirror)
    stencil_pdf._furnish(make_plan(job), 0)
    assert face in headings[0].reason
    assert headings[0].reason.startswith(f"{method}: ")
    assert headings[0].detail == "60 × 80 mm · 14 Mar 2026"


def test_the_lines_to_cut_along_are_dashed_and_fine():
    layers = {copies: stencil_pdf.write(planned(StencilPrint(MARKS, width_mm=40, copies=copies))) for copies in (1, 2)}
    assert dashes(layers[1]) == []
    # A dash and a gap of 1.2 mm, and a hair of a quarter of a point.
    (found,) = dashes(layers[2])
    assert found == pytest.approx((1.2, 1.2, 0.25 / 72 * 25.4), abs=1e-3)


def dashes(data):
    """Give every dash pattern of a page: dash, gap and line width in mm."""
    found, scales, scale, width = [], [], 1.0, 1.0
    with pikepdf.open(BytesIO(data)) as pdf:
        for operands, operator in pikepdf.parse_content_stream(pdf.pages[0]):
            match str(operator):
                case "q":
                    scales.append((scale, width))
                case "Q":
                    scale, width = scales.pop()
                case "cm":
                    scale *= abs(float(operands[0]))
                case "w":
                    width = float(operands[0]) * scale
                case "d" if list(operands[0]):
                    found.append((*(float(one) * scale / 72 * 25.4 for one in operands[0]), width / 72 * 25.4))
    return found


@pytest.mark.parametrize(("width_mm", "is_said"), [(90, False), (110, True)])
def test_a_file_too_coarse_for_its_size_is_named_on_the_sheet(width_mm, is_said):
    plan = planned(StencilPrint(MARKS, width_mm=width_mm))
    words = " ".join(word.words for word in stencil_pdf._furnish(plan, 0).words)
    assert ("dots per inch: edges look stepped" in words) == is_said
