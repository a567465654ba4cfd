"""Foretell hours in simulated archives whose truth is known, beside a mixed model and the three nearest pieces.

    python -m tests.bench.bench_hours [--archives 1000] [--seed 1] [--mixed 200]

Each archive has log hours = a + b log area + style + placement + drift over years + chance (normal, or Student's t), a
quarter of them a fixed half hour of setting up, hours rounded to quarters, and none, 4 or 8 % wrong records. For each
size, the share of 40 clean new pieces inside the interval of four of five, and the median width of intervals as a
ratio to that of the interval that knows the truth. The mixed model (statsmodels) is fitted to the first archives only.
"""

import argparse
import warnings
from dataclasses import dataclass

import numpy as np
from scipy import stats

from archgen.quoting.hours_model import FEWEST, Worked, learn

SIZES = (12, 15, 20, 30, 50, 100, 200, 300)
NEW = 40


@dataclass
class Archive:
    """Pieces, new pieces, and for these the true median of log hours and the true half width."""

    pieces: list
    new: list
    middle: np.ndarray
    half: np.ndarray


def draw(count, rng):
    styles, places = int(rng.integers(2, 9)), int(rng.integers(5, 18))
    style_move, place_move = rng.normal(0, rng.uniform(0.1, 0.5), styles), rng.normal(0, rng.uniform(0.05, 0.3), places)
    style_share, place_share = rng.dirichlet(np.full(styles, 0.8)), rng.dirichlet(np.full(places, 1.0))
    slope, start, years = rng.uniform(0.5, 0.85), rng.normal(-4.6, 0.4), rng.uniform(1, 10)
    drift, sigma, freedom = rng.normal(0, 0.03), rng.uniform(0.15, 0.45), rng.choice([0, 3, 5])
    set_up = 0.5 if rng.random() < 0.25 else 0.0
    wrong_share = rng.choice([0.0, 0.04, 0.08])
    area_spread = rng.uniform(0.6, 1.0)

    def some(number, age):
        style, place = rng.choice(styles, number, p=style_share), rng.choice(places, number, p=place_share)
        area = np.exp(rng.normal(8.4, area_spread, number))
        middle = start + slope * np.log(area) + style_move[style] + place_move[place] - drift * age
        chance = rng.standard_t(freedom, number) if freedom else rng.normal(size=number)
        return style, place, area, middle, sigma * chance

    age = np.sort(rng.uniform(0, years, count))[::-1]
    style, place, area, middle, chance = some(count, age)
    hours = np.maximum(np.round((np.exp(middle + chance) + set_up) * 4) / 4, 0.25)
    wrong = rng.random(count) < wrong_share
    how = rng.choice([10.0, 0.1, 0.4, -1.0], count)
    hours = np.where(wrong, np.where(how < 0, hours + 1.5, np.maximum(hours * np.abs(how), 0.05)), hours)
    pieces = [
        Worked(float(a), (f"s{s}",), f"p{p}", float(y), float(h))
        for a, s, p, y, h in zip(area, style, place, age, hours, strict=True)
    ]
    style, place, area, middle, chance = some(NEW, np.zeros(NEW))
    done = np.maximum(np.round((np.exp(middle + chance) + set_up) * 4) / 4, 0.25)
    new = [
        Worked(float(a), (f"s{s}",), f"p{p}", 0.0, float(h))
        for a, s, p, h in zip(area, style, place, done, strict=True)
    ]
    reach = sigma * (stats.t.ppf(0.9, freedom) if freedom else stats.norm.ppf(0.9))
    low, high = np.log(np.exp(middle - reach) + set_up), np.log(np.exp(middle + reach) + set_up)
    return Archive(pieces, new, (low + high) / 2, (high - low) / 2)


def ours(archive):
    model = learn(archive.pieces)
    told = [model.foretell(piece) for piece in archive.new]
    return np.log([(one.least, one.most) for one in told])


def nearest(archive):
    bounds = []
    for piece in archive.new:
        order = sorted(archive.pieces, key=lambda one: abs(np.log(one.area_mm2 / piece.area_mm2)))
        same = [one for one in order if one.styles == piece.styles] or order
        hours = [one.hours for one in (*same, *order)[:3]]
        bounds.append((min(hours), max(hours)))
    return np.log(bounds)


def mixed(archive):
    import pandas as pd
    import statsmodels.formula.api as smf

    def table(pieces):
        return pd.DataFrame(
            {
                "y": [np.log(one.hours) if one.hours else 0.0 for one in pieces],
                "x": [np.log(one.area_mm2) for one in pieces],
                "style": [one.styles[0] for one in pieces],
                "place": [one.place for one in pieces],
                "age": [one.years for one in pieces],
                "all": 1,
            }
        )

    known, new = table(archive.pieces), table(archive.new)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fit = smf.mixedlm(
            "y ~ x + age", known, groups="all", re_formula="0", vc_formula={"s": "0+C(style)", "p": "0+C(place)"}
        ).fit(reml=True)
    moves = fit.random_effects[1]
    style_of = {one: moves.get(f"s[C(style)[{one}]]", 0.0) for one in new["style"]}
    place_of = {one: moves.get(f"p[C(place)[{one}]]", 0.0) for one in new["place"]}
    mean = fit.predict(new) + new["style"].map(style_of) + new["place"].map(place_of)
    unseen = ~new["style"].isin(known["style"]) * fit.vcomp[1] + ~new["place"].isin(known["place"]) * fit.vcomp[0]
    half = stats.norm.ppf(0.9) * np.sqrt(fit.scale + unseen)
    return np.column_stack([mean - half, mean + half])


def main():
    reader = argparse.ArgumentParser()
    reader.add_argument("--archives", type=int, default=1000)
    reader.add_argument("--seed", type=int, default=1)
    reader.add_argument("--mixed", type=int, default=0)
    asked = reader.parse_args()
    rows = {}
    for number in range(asked.archives):
        rng = np.random.default_rng((asked.seed, number))
        size = SIZES[number % len(SIZES)]
        archive = draw(size, rng)
        actual = np.log([piece.hours for piece in archive.new])
        for name, method in (("ours", ours), ("three nearest", nearest), ("mixed model", mixed)):
            if name == "mixed model" and number >= asked.mixed:
                continue
            bounds = method(archive)
            inside = np.mean((bounds[:, 0] <= actual + 1e-9) & (actual <= bounds[:, 1] + 1e-9))
            width = np.median((bounds[:, 1] - bounds[:, 0]) / (2 * archive.half))
            for key in (size, "all", *(["15 and more"] if size >= 15 else [])):
                rows.setdefault((name, key), []).append((inside, width))
    print(f"seed {asked.seed}, {asked.archives} archives of {FEWEST} pieces and more: coverage / median width")
    for (name, size), values in sorted(rows.items(), key=str):
        shares, widths = np.array(values).T
        print(f"{name:14} {size!s:12} {shares.mean():.3f} / {np.median(widths):.2f}  ({len(values)} archives)")


if __name__ == "__main__":
    main()
