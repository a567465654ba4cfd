import numpy as np
import pytest

from archgen.twins import candidates as module
from archgen.twins.candidates import LEAST_COSINE, MOST_PER_VIEW, Candidates, Views
from archgen.twins.signature import COEFFICIENTS, WINDOWS, Kind, turned_vectors, window_norms, window_vectors
from archgen.twins.turns import TURNS, turned_coefficients


def views(count: int, seed: int = 1) -> np.ndarray:
    """Coefficients that fall off as those of pictures do; every fourth is a turned, noisy copy of the one before."""
    rng = np.random.default_rng(seed)
    order = np.arange(COEFFICIENTS)
    fall = 1 / (1 + np.hypot(order[:, None], order[None, :])) ** 1.3
    out = (rng.normal(size=(count, COEFFICIENTS, COEFFICIENTS)) * fall).astype(np.float32)
    out[:, 0, 0] = 0
    for row in range(3, count, 4):
        out[row] = turned_coefficients(out[row - 1], int(rng.integers(8))) + rng.normal(0, 0.01, out[row].shape)
    return out


def candidates(coefficients: np.ndarray, kind: Kind, fresh: np.ndarray | None = None) -> Candidates:
    return module.candidates(Views(coefficients, window_norms(coefficients, kind)), kind, fresh)


def by_brute_force(coefficients: np.ndarray, kind: Kind) -> dict[tuple[int, int], float]:
    """Every turn of every view against every window of every other, one at a time."""
    turned, windows = turned_vectors(coefficients, kind), window_vectors(coefficients, kind)
    out = {}
    for part in range(len(coefficients)):
        for whole in range(len(coefficients)):
            best = max(float(np.max(windows[whole] @ turned[part, turn])) for turn in TURNS)
            if part != whole and best >= LEAST_COSINE[kind]:
                out[part, whole] = best
    return out


@pytest.mark.parametrize("kind", list(Kind))
def test_the_same_pairs_as_numpy_brute_force(kind):
    coefficients = views(40)
    expected = by_brute_force(coefficients, kind)
    found = candidates(coefficients, kind)
    assert set(zip(found.part.tolist(), found.whole.tolist(), strict=True)) == set(expected)
    assert len(expected) >= 20


def test_blocks_do_not_change_what_is_found(monkeypatch):
    coefficients = views(30)
    at_once = candidates(coefficients, Kind.LINE)
    monkeypatch.setattr(module, "_BLOCK_BYTES", 200_000)
    assert np.array_equal(candidates(coefficients, Kind.LINE).whole, at_once.whole)


def test_only_pairs_with_something_fresh_are_looked_for():
    coefficients = views(40)
    fresh = np.zeros(40, bool)
    fresh[7] = True
    every, some = candidates(coefficients, Kind.LINE), candidates(coefficients, Kind.LINE, fresh)
    wanted = {(p, w) for p, w in zip(every.part.tolist(), every.whole.tolist(), strict=True) if 7 in {p, w}}
    assert set(zip(some.part.tolist(), some.whole.tolist(), strict=True)) == wanted


def test_the_index_finds_the_copies_that_brute_force_finds(monkeypatch):
    coefficients = views(400)
    near = {pair for pair, cosine in by_brute_force(coefficients[:120], Kind.LINE).items() if cosine > 0.96}
    monkeypatch.setattr(module, "MOST_COMPARED", 100)
    found = candidates(coefficients, Kind.LINE)
    pairs = set(zip(found.part.tolist(), found.whole.tolist(), strict=True))
    assert len(near & pairs) >= 0.95 * len(near)
    monkeypatch.setitem(LEAST_COSINE, Kind.LINE, LEAST_COSINE[Kind.LINE] - 0.01)  # the index rounds its vectors
    assert {pair for pair in pairs if max(pair) < 120} <= set(by_brute_force(coefficients[:120], Kind.LINE))


def test_one_view_has_only_so_many_candidates():
    rng = np.random.default_rng(2)
    many = views(1)[[0] * 90] + rng.normal(0, 0.001, (90, COEFFICIENTS, COEFFICIENTS)).astype(np.float32)
    found = candidates(many, Kind.LINE)
    assert np.bincount(found.part).max() == MOST_PER_VIEW


def test_nothing_to_compare_gives_nothing():
    assert len(candidates(views(0), Kind.PHOTO).part) == 0


def test_the_first_window_is_the_whole_picture():
    assert WINDOWS[0] == (0.0, 0.0, 1.0, 1.0)
