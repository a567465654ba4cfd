"""The model of hours on pieces whose truth is known."""

import numpy as np
import pytest
from msgspec.structs import replace
from scipy import stats

from archgen.quoting import hours_model
from archgen.quoting.hours_model import FEWEST, Worked, learn, student_quantile

PLACES = ("calf", "wrist", "rib")


def drawn(count, *, seed=1, chance=0.2, move=0.6, drift=0.0, slope=0.67):
    """Pieces of two styles; "colour" takes longer, and all got quicker by `drift` a year."""
    rng = np.random.default_rng(seed)
    pieces = []
    for years in np.sort(rng.uniform(0, 5, count))[::-1]:
        area, style, place = np.exp(rng.normal(8.4, 0.8)), rng.choice(["lines", "colour"]), rng.choice(PLACES)
        hours = np.exp(-4.6 + slope * np.log(area) + move * (style == "colour") + drift * years + chance * rng.normal())
        pieces.append(Worked(float(area), (str(style),), str(place), float(years), float(hours)))
    return pieces


def wanted(style="lines", area=5400.0, **more):
    return Worked(area, (style,), "calf", **more)


def test_hours_lie_near_the_truth_and_between_their_bounds():
    told = learn(drawn(200)).foretell(wanted())
    truth = np.exp(-4.6 + 0.67 * np.log(5400))
    assert told.hours == pytest.approx(truth, rel=0.1)
    assert told.least < told.hours < told.most
    # Four of five of a normal chance of 0.2 lie within 1.28 times that.
    assert np.log(told.most / told.least) == pytest.approx(2 * stats.norm.ppf(0.9) * 0.2, rel=0.25)


def test_a_style_that_takes_longer_is_foretold_so_and_one_never_seen_is_less_certain():
    model = learn(drawn(120))
    lines, colour, unseen = (model.foretell(wanted(style)) for style in ("lines", "colour", "etching"))
    assert colour.hours / lines.hours == pytest.approx(np.exp(0.6), rel=0.15)
    assert lines.hours < unseen.hours < colour.hours
    assert unseen.most / unseen.least > 1.3 * lines.most / lines.least


def test_a_placement_never_seen_is_less_certain():
    model = learn(drawn(60))
    known, unseen = model.foretell(wanted()), model.foretell(replace(wanted(), place="neck"))
    assert unseen.most / unseen.least > known.most / known.least


def test_two_styles_count_half_each():
    model = learn(drawn(200))
    both = model.foretell(Worked(5400.0, ("lines", "colour"), "calf")).hours
    halfway = np.sqrt(model.foretell(wanted()).hours * model.foretell(wanted("colour")).hours)
    assert both == pytest.approx(halfway, rel=0.01)


def test_hours_are_those_of_today_when_the_artist_became_quicker():
    told = learn(drawn(200, drift=0.15)).foretell(wanted())
    today = np.exp(-4.6 + 0.67 * np.log(5400))
    assert told.hours == pytest.approx(today, rel=0.12)


def test_larger_pieces_take_longer_by_what_the_pieces_say():
    model = learn(drawn(200, slope=0.9))
    assert np.log(model.foretell(wanted(area=10800.0)).hours / model.foretell(wanted()).hours) == pytest.approx(
        0.9 * np.log(2), rel=0.1
    )


def test_few_pieces_lean_on_what_is_usual():
    pieces = [replace(piece, area_mm2=5000.0 + at) for at, piece in enumerate(drawn(FEWEST))]
    model = learn(pieces)
    assert np.log(model.foretell(wanted(area=10800.0)).hours / model.foretell(wanted()).hours) == pytest.approx(
        0.67 * np.log(2), rel=0.05
    )


def test_a_slip_of_ten_times_is_set_apart_and_moves_little():
    pieces = drawn(40)
    slip = [*pieces[:20], replace(pieces[20], hours=pieces[20].hours * 10), *pieces[21:]]
    model = learn(slip)
    assert model.apart == {20}
    assert learn(pieces).apart == frozenset()
    assert model.foretell(wanted()).hours == pytest.approx(learn(pieces).foretell(wanted()).hours, rel=0.03)
    assert model.foretell(wanted()).most == pytest.approx(learn(pieces).foretell(wanted()).most, rel=0.1)


def test_never_more_than_a_fifth_is_set_apart():
    pieces = [replace(piece, hours=piece.hours * (30 if at % 3 == 0 else 1)) for at, piece in enumerate(drawn(30))]
    assert learn(pieces).apart == frozenset()


def test_equal_pieces_need_no_spread():
    told = learn([wanted(hours=3.0)] * FEWEST).foretell(wanted())
    assert told.hours == pytest.approx(3.0, rel=0.02)
    assert told.least < told.hours < told.most


def test_too_few_pieces_foretell_nothing():
    with pytest.raises(ValueError, match="11 pieces are too few: 12 are needed"):
        learn(drawn(FEWEST - 1))


def test_of_very_many_the_latest_count(monkeypatch):
    monkeypatch.setattr(hours_model, "_MOST", 30)
    old = [replace(piece, hours=piece.hours * 3) for piece in drawn(30)]
    new = drawn(30, seed=2)
    model = learn([*old, *new])
    assert model.pieces == new
    assert model.foretell(wanted()) == learn(new).foretell(wanted())


def test_scores_are_what_leaving_each_out_gives():
    """Closed form against leaving out, for one strength and equal weights; Cook and Weisberg (1982), 2.2."""
    pieces = drawn(25)
    columns = hours_model._Columns.of(pieces)
    rows, hours = columns.rows(pieces), np.log([piece.hours for piece in pieces]) - columns.middle
    ridges, priors = hours_model._grid(columns)
    ridges, priors = ridges[:1], priors[:1]

    def fit(rows, hours):
        return hours_model._ridge(rows, hours, np.ones(len(hours)), ridges, priors)

    weights, slopes, inverses, _ = fit(rows, hours)
    leverage = weights @ hours_model._leverage(inverses, rows)
    by_form = (hours - slopes[0] @ rows.T) / (1 - leverage)
    for at in range(len(pieces)):
        _, without, inverse, _ = fit(np.delete(rows, at, 0), np.delete(hours, at))
        assert by_form[at] == pytest.approx(hours[at] - rows[at] @ without[0])
        assert leverage[at] / (1 - leverage[at]) == pytest.approx(rows[at] @ inverse[0] @ rows[at])


@pytest.mark.parametrize(("freedom", "off"), [(6, 1.2e-5), (8, 3e-6), (14, 2e-7), (300, 1e-9)])
def test_quantiles_of_student_are_those_of_scipy(freedom, off):
    assert student_quantile(0.9, freedom) == pytest.approx(stats.t.ppf(0.9, freedom), abs=off)


def test_four_of_five_new_pieces_lie_between_the_bounds():
    """Some archives of the bench (tests/bench/bench_hours.py); 1,000 others gave .78 and 1.08."""
    from tests.bench.bench_hours import draw, ours

    inside, widths = [], []
    for number in range(24):
        archive = draw((15, 30, 100)[number % 3], np.random.default_rng((20, number)))
        bounds, actual = ours(archive), np.log([piece.hours for piece in archive.new])
        inside.append(np.mean((bounds[:, 0] <= actual + 1e-9) & (actual <= bounds[:, 1] + 1e-9)))
        widths.append(np.median((bounds[:, 1] - bounds[:, 0]) / (2 * archive.half)))
    assert 0.72 < np.mean(inside) < 0.88
    assert np.median(widths) < 1.3
