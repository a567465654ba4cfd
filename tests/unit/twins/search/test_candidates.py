import numpy as np
import pytest
from PIL import Image, ImageOps

from archgen.twins.description.prepare import prepare
from archgen.twins.description.signature import (
    COEFFICIENTS,
    WINDOWS,
    PictureKind,
    turned_vectors,
    window_norms,
    window_vectors,
)
from archgen.twins.description.turns import TURNS, turned_coefficients
from archgen.twins.search import candidates as module
from archgen.twins.search import shortlist
from archgen.twins.search.candidates import FEW, LEAST_COSINE, Views
from archgen.twins.search.shortlist import MOST_PER_PART, MOST_PER_WHOLE, Candidates
from tests.unit.twins.pictures import drawing, photograph


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


def candidates(coefficients: np.ndarray, kind: PictureKind, fresh: np.ndarray | None = None) -> Candidates:
    return module.candidates(Views(coefficients, window_norms(coefficients, kind)), kind, fresh)


def pairs_of(found: Candidates) -> set[tuple[int, int]]:
    return set(zip(found.part.tolist(), found.whole.tolist(), strict=True))


def by_brute_force(coefficients: np.ndarray, kind: PictureKind) -> dict[tuple[int, int], float]:
    """Every turn of every view against every window of every other, nothing left out."""
    turned, windows = turned_vectors(coefficients, kind), window_vectors(coefficients, kind)
    out = {}
    for part in range(len(coefficients)):
        best = best_cosines(turned[part], windows)
        out |= {(part, w): float(best[w]) for w in np.flatnonzero(best >= LEAST_COSINE[kind]) if w != part}
    return out


def best_cosines(turns: np.ndarray, wholes: np.ndarray) -> np.ndarray:
    """The best of all turns against all windows, for each picture that has windows."""
    count, windows, size = wholes.shape
    return (wholes.reshape(-1, size) @ turns.T).reshape(count, windows * len(turns)).max(axis=1)


@pytest.mark.parametrize("kind", list(PictureKind))
def test_the_same_pairs_as_numpy_brute_force(kind):
    coefficients = views(40)
    expected = by_brute_force(coefficients, kind)
    found = candidates(coefficients, kind)
    assert pairs_of(found) == set(expected)
    assert len(expected) >= 20
    best = {}
    for part, whole, cosine in zip(found.part.tolist(), found.whole.tolist(), found.cosine.tolist(), strict=True):
        best[part, whole] = max(best.get((part, whole), 0), cosine)
    assert best == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("kind", list(PictureKind))
@pytest.mark.parametrize("count", [1, FEW + 2])
def test_what_is_fresh_is_found_as_in_a_comparison_of_all(kind, count):
    coefficients = views(40)
    fresh = np.zeros(40, bool)
    fresh[3 : 3 + count] = True
    every, some = candidates(coefficients, kind), candidates(coefficients, kind, fresh)
    wanted = fresh[every.part] | fresh[every.whole]
    assert wanted.sum() >= 2
    for name in ("part", "whole", "turn", "window"):
        assert np.array_equal(getattr(some, name), getattr(every, name)[wanted])


def test_blocks_do_not_change_what_is_found(monkeypatch):
    coefficients = views(30)
    at_once = candidates(coefficients, PictureKind.LINE)
    monkeypatch.setattr(module, "_SLAB", 7)
    monkeypatch.setattr(shortlist, "_MOST_WAITING", 50)
    in_blocks = candidates(coefficients, PictureKind.LINE)
    assert np.array_equal(in_blocks.whole, at_once.whole)
    assert np.array_equal(in_blocks.cosine, at_once.cosine)


def test_cells_find_what_brute_force_finds_at_a_part_of_the_products(monkeypatch):
    coefficients = views(240)
    expected = by_brute_force(coefficients, PictureKind.LINE)
    products = 240 * len(TURNS) * 240 * len(WINDOWS)
    monkeypatch.setattr(module, "MOST_PRODUCTS", products // 10)
    found = pairs_of(candidates(coefficients, PictureKind.LINE))
    assert found <= set(expected)
    near = {pair for pair, cosine in expected.items() if cosine > 0.9}
    assert len(near & found) == len(near) >= 60
    assert len(found) >= 0.9 * len(expected)


def test_cells_find_nearly_all_copies_of_pictures_that_brute_force_finds(monkeypatch):
    """Of the parts, tilted and mirrored copies that brute force finds, at a tenth of its products."""
    found, expected = 0, 0
    for kind, draw in ((PictureKind.LINE, drawing), (PictureKind.PHOTO, photograph)):
        originals = [draw(seed) for seed in range(24)]
        every = [
            (at, view.coefficients)
            for at, picture in enumerate(copy for original in originals for copy in copies_of(original))
            for view in prepare(picture).views
            if view.kind is kind
        ]
        item, coefficients = np.array([at for at, _ in every]), np.stack([values for _, values in every])
        monkeypatch.setattr(module, "MOST_PRODUCTS", len(every) ** 2 * len(TURNS) * len(WINDOWS) // 10)
        one = candidates(coefficients, kind)
        met = set(zip(item[one.part].tolist(), item[one.whole].tolist(), strict=True))
        for at in range(0, len(originals) * COPIES, COPIES):
            for copy in range(at + 1, at + COPIES):
                if best_cosine(coefficients[item == copy], coefficients[item == at], kind) >= LEAST_COSINE[kind]:
                    expected += 1
                    found += (copy, at) in met
    assert expected >= 120
    assert found >= 0.97 * expected


COPIES = 4


def copies_of(picture: Image.Image) -> list[Image.Image]:
    w, h = picture.size
    part = picture.crop((w // 10, h // 20, w - w // 10, h - h // 8))
    tilted = picture.rotate(4, Image.Resampling.BICUBIC, fillcolor="white")
    return [picture, part, tilted, ImageOps.mirror(part)]


def best_cosine(parts: np.ndarray, wholes: np.ndarray, kind: PictureKind) -> float:
    turned, windows = turned_vectors(parts, kind), window_vectors(wholes, kind)
    return max((float(best_cosines(turns, windows).max()) for turns in turned), default=0.0) if len(wholes) else 0.0


def test_a_view_has_only_so_many_candidates():
    rng = np.random.default_rng(2)
    many = views(1)[[0] * 250] + rng.normal(0, 0.001, (250, COEFFICIENTS, COEFFICIENTS)).astype(np.float32)
    found = candidates(many, PictureKind.LINE)
    assert np.bincount(found.part).max() == MOST_PER_PART
    fresh = np.arange(250) == 0
    assert (candidates(many, PictureKind.LINE, fresh).whole == 0).sum() == MOST_PER_WHOLE


def test_nothing_to_compare_gives_nothing():
    assert len(candidates(views(0), PictureKind.PHOTO).part) == 0


def test_the_first_window_is_the_whole_picture():
    assert WINDOWS[0] == (0.0, 0.0, 1.0, 1.0)
