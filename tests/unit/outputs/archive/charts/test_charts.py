"""The page of figures counts what the records say, and leads from each point to its piece."""

import datetime as dt
import re

import pytest

from archgen.outputs.archive.charts.page import charts_view
from archgen.outputs.archive.context import Context
from archgen.outputs.site_pages import make_page
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.render.html import load_theme
from tests.builders import make_catalogue, make_piece


def piece(
    number, *, day=dt.date(2026, 3, 14), style="lines", hours=3.0, needle="3RL", region="calf", healed=None, **more
):
    photos = (model.Photo(file="photos/h.jpg", stage=model.Stage.HEALED, taken=healed),) if healed else ()
    record = model.PieceRecord(
        title=f"Piece {number}",
        styles=(style,) if style else (),
        size=model.Size(width=model.Length(60), height=model.Length(90)),
        sitting=(model.Sitting(date=day, hours=model.Hours(hours) if hours else None),),
        needle=(model.Needle(code=needle),) if needle else (),
        placement=model.Placement(region=region),
        photo=photos,
        **more,
    )
    paths = (f"pieces/p{number}/photos/h.jpg",) if healed else ()
    return make_piece(f"p{number}", record, photos=paths)


@pytest.fixture
def figures(tmp_path):
    def view(*pieces):
        return charts_view(Context(survey(make_catalogue(tmp_path, *pieces)), "x"))

    return view


def bars(view, key):
    return {bar.words: bar.number for chart in view.charts if chart.key == key for bar in chart.bars}


def test_needles_count_once_a_piece_however_they_are_written(figures):
    view = figures(piece(1), piece(2, needle="1203RL, 3RL"), piece(3, needle="7RL"))
    assert bars(view, "needles") == {"3 round liner": "2", "7 round liner": "1"}


def test_places_and_months_are_counted(figures):
    view = figures(piece(1), piece(2, region="wrist-inner"), piece(3, day=dt.date(2026, 1, 2)), piece(4))
    assert bars(view, "places")["Calf"] == "3"
    assert list(bars(view, "months").items()) == [("Mar 2026", "3"), ("Feb 2026", "0"), ("Jan 2026", "1")]


def test_months_long_past_are_counted_together(figures):
    view = figures(piece(1), piece(2, day=dt.date(2020, 1, 1)))
    (months,) = (chart for chart in view.charts if chart.key == "months")
    assert (len(months.bars), months.said) == (24, "1 piece earlier")


def test_bars_are_as_long_as_their_share(figures):
    view = figures(piece(1), piece(2), piece(3, needle="7RL"), piece(4, needle="7RL"), piece(5), piece(6))
    (needles,) = (chart for chart in view.charts if chart.key == "needles")
    assert [bar.width for bar in needles.bars] == [320.0, 160.0]


def test_only_the_most_used_are_listed_and_the_rest_counted(figures):
    view = figures(*(piece(number, needle=f"{number}RL") for number in range(3, 18)))
    (needles,) = (chart for chart in view.charts if chart.key == "needles")
    assert (len(needles.bars), needles.left_out) == (12, 3)


def test_days_to_the_healed_photo_lead_to_the_piece(figures):
    view = figures(piece(1, healed=dt.date(2026, 5, 14)), piece(2, healed=dt.date(2026, 4, 14)), piece(3))
    (healed,) = (chart for chart in view.charts if chart.key == "healed")
    assert [(bar.words, bar.number, bar.href) for bar in healed.bars] == [
        ("Piece 2", "31 days", "pieces/p2.html"),
        ("Piece 1", "61 days", "pieces/p1.html"),
    ]


def test_styles_have_shapes_and_the_rare_ones_share_one(figures):
    styles = ["a", "a", "b", "b", "c", "c", "d", "d", "e", None]
    view = figures(*(piece(number, style=style) for number, style in enumerate(styles)))
    assert view.hours.groups == ("a", "b", "c", "d", "other styles")
    assert sorted(point.shape for point in view.hours.points) == [0, 0, 1, 1, 2, 2, 3, 3, 4, 4]


def test_pieces_without_hours_are_left_out_and_said(figures):
    view = figures(piece(1), piece(2, hours=None))
    assert [point.title for point in view.hours.points] == ["Piece 1"]
    assert view.lacking == "1 piece without hours or both sides of the size"
    assert figures(piece(1)).lacking == ""


def test_each_point_stands_in_the_table_too_and_an_empty_archive_says_so(figures):
    theme = load_theme("archive")
    html = make_page(theme, "figures.html", "figures.html", figures(piece(1), piece(2))).decode()
    assert len(re.findall(r'<a href="pieces/p[12]\.html" aria-label', html)) == 2
    assert len(re.findall(r'<a class="title" href="pieces/p[12]\.html"', html)) == 2
    bare = make_piece("bare", model.PieceRecord(title="Bare"))
    assert "Nothing to count yet." in make_page(theme, "figures.html", "figures.html", figures(bare)).decode()
