"""The page of inks and needles: what is to be done first, and a day that moves only when something does."""

import datetime as dt

import pytest

from archgen.clock import WatchedDay
from archgen.outputs.archive.context import Context
from archgen.outputs.archive.planning.stock import made_of_stock, stock_view
from archgen.outputs.site_pages import make_page
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.render.html import load_theme
from tests.builders import make_catalogue, make_piece

WORKED = dt.date(2026, 3, 14)


def view(tmp_path, today, expiry=None, worked=WORKED):
    bottle = model.InkBatch(batch="BK-1", name="dense black", opened=dt.date(2026, 1, 2), expiry=expiry)
    record = model.PieceRecord(
        title="Owl", sitting=(model.Sitting(date=worked),), ink=(model.Ink(batch="BK-1", use="lines"),)
    )
    catalogue = make_catalogue(tmp_path, make_piece("owl", record), inks={"BK-1": bottle}, built_on=today)
    context = Context(survey(catalogue), "x")
    return stock_view(context), made_of_stock(context)


@pytest.mark.parametrize(
    ("today", "expiry", "said"),
    [
        (dt.date(2026, 3, 20), None, "14 Mar 2026"),
        (dt.date(2026, 5, 30), None, "14 Mar 2026"),
        (dt.date(2026, 3, 20), dt.date(2026, 3, 17), "18 Mar 2026"),
        (dt.date(2026, 3, 20), dt.date(2026, 3, 20), "14 Mar 2026"),
    ],
)
def test_it_is_reckoned_to_the_last_thing_that_happened(tmp_path, today, expiry, said):
    page, _ = view(tmp_path, today, expiry)
    assert page.as_of == said
    assert bool(page.to_do) == (said == "18 Mar 2026")


def test_it_stays_the_same_until_a_date_passes(tmp_path):
    today = WatchedDay.of(dt.date(2026, 3, 20))
    _, made_of = view(tmp_path, today, dt.date(2026, 3, 28))
    first, last = today.same_days
    assert first <= dt.date(2026, 3, 20)
    assert last >= dt.date(2026, 3, 27)
    assert made_of[1:] == view(tmp_path, last, dt.date(2026, 3, 28))[1][1:]


def test_the_page_leads_to_each_bottle_and_says_nothing_without_any(tmp_path):
    page, _ = view(tmp_path, dt.date(2026, 3, 20), dt.date(2026, 3, 17))
    html = make_page(load_theme("archive"), "stock.html", "stock.html", page).decode()
    assert 'href="batches/BK-1.html">BK-1</a>' in html
    assert html.index("Past its date: set it aside") < html.index("How fast it goes")
    empty = make_catalogue(tmp_path, make_piece("owl", model.PieceRecord(title="Owl")), inks={})
    bare = stock_view(Context(survey(empty), "x"))
    assert (bare.as_of, bare.kinds) == ("", ())
    assert "Nothing to reckon with yet" in make_page(load_theme("archive"), "stock.html", "stock.html", bare).decode()
