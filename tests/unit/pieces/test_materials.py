"""Needles and inks: as read, as the register completes them, and what was past its date."""

import datetime as dt

import pytest

from archgen.pieces.materials import finest_needle
from archgen.pieces.survey import survey
from archgen.records import model
from tests.builders import make_piece, make_record, paper_catalogue

FIRST, LAST = dt.date(2026, 3, 14), dt.date(2026, 5, 2)
SITTING = model.Sitting(date=FIRST)
TOUCH_UP = model.Sitting(date=LAST, kind=model.SittingKind.TOUCH_UP)


def overview(tmp_path, *, inks=None, **record):
    piece = make_piece(record=make_record(**record))
    return survey(paper_catalogue(tmp_path, piece, inks=inks or {})).overviews[piece.id]


def test_a_needle_is_read_with_its_bundle(tmp_path):
    needles = (model.Needle(code="1003RL"), model.Needle(code="13 magnum"), model.Needle(code="unheard of"))
    round_liner, magnum, unread = overview(tmp_path, needle=needles).needles
    assert [reading.count for reading in round_liner.readings] == [3]
    # Circle packing of three shafts of 0.30 mm; a magnum of 13 is at least half of them and at most all side by side.
    assert round_liner.bundles_mm == (pytest.approx((0.6464, 0.6464), abs=1e-3),)
    assert magnum.bundles_mm == (pytest.approx((7 * 0.35, 13 * 0.35)),)
    assert unread.bundles_mm == (None,)


def test_the_finest_needle_has_the_smallest_bundle(tmp_path):
    needles = (model.Needle(code="9RL"), model.Needle(code="3RL, 7RL"), model.Needle(code="?"))
    made = overview(tmp_path, needle=needles)
    assert made.finest.code == "3RL, 7RL"
    assert made.finest.bundle_mm == pytest.approx(0.754, abs=1e-3)
    assert made.finest == finest_needle(make_record(needle=needles))
    assert overview(tmp_path, needle=(model.Needle(code="?"),)).finest is None


def test_the_register_tells_what_a_record_leaves_out(tmp_path):
    known = {"GW2": model.InkBatch(batch="GW2", name="wash", maker="M", expiry=dt.date(2030, 1, 1))}
    inks = (model.Ink(batch="gw-2", use="shade"), model.Ink(batch="GW2", name="own", maker="own", expiry=LAST))
    bare, own = overview(tmp_path, ink=inks, inks=known).inks
    assert bare.bottle is known["GW2"]
    assert bare.ink == model.Ink(batch="gw-2", use="shade", name="wash", maker="M", expiry=dt.date(2030, 1, 1))
    assert own.ink == inks[1]


def test_an_ink_that_is_in_no_register_stays_as_it_is_written(tmp_path):
    inks = (model.Ink(name="black"), model.Ink(batch="X-1"))
    made = overview(tmp_path, ink=inks).inks
    assert [(use.ink, use.bottle) for use in made] == [(inks[0], None), (inks[1], None)]


@pytest.mark.parametrize(
    ("sittings", "finished", "expiry", "late"),
    [
        ((SITTING,), None, FIRST, False),
        ((SITTING,), None, FIRST - dt.timedelta(days=1), True),
        # What is used in a touch-up counts by that day, whenever the piece was finished.
        ((SITTING, TOUCH_UP), FIRST, FIRST, True),
        ((SITTING, TOUCH_UP), FIRST, LAST, False),
        ((), FIRST, FIRST - dt.timedelta(days=1), True),
        ((), FIRST, FIRST, False),
        ((), None, FIRST, False),
        ((SITTING,), None, None, False),
    ],
)
def test_what_was_past_its_date_on_the_last_day_worked_was_late(tmp_path, sittings, finished, expiry, late):
    made = overview(
        tmp_path,
        sitting=sittings,
        finished=finished,
        needle=(model.Needle(code="3RL", expiry=expiry),),
        ink=(model.Ink(name="black", expiry=expiry), model.Ink(batch="GW2")),
        inks={"GW2": model.InkBatch(batch="GW2", expiry=expiry)},
    )
    assert made.needles[0].was_late is late
    assert [use.was_late for use in made.inks] == [late, late]
