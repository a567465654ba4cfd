"""Time the search for candidates in large collections, on vectors drawn as those of pictures fall off.

    python -m tests.bench.bench_twins_scale --pictures 100000

Prints seconds and peak memory for all pairs, and for one new picture among 30,000.
"""

import argparse
import resource
import time

import numpy as np

from archgen.twins.candidates import Views, candidates
from archgen.twins.signature import COEFFICIENTS, Kind, window_norms
from archgen.twins.turns import turned_coefficients


def drawn(count: int, seed: int = 1) -> np.ndarray:
    """Coefficients of `count` pictures; every tenth is a turned and slightly changed copy of the one before."""
    rng = np.random.default_rng(seed)
    order = np.arange(COEFFICIENTS)
    fall = (1 / (1 + np.hypot(order[:, None], order[None, :])) ** 1.3).astype(np.float32)
    out = rng.standard_normal((count, COEFFICIENTS, COEFFICIENTS), np.float32) * fall
    for row in range(9, count, 10):
        changed = rng.standard_normal(out[row].shape, np.float32) * 0.01
        out[row] = turned_coefficients(out[row - 1], int(rng.integers(8))) + changed
    out[:, 0, 0] = 0
    return out / np.linalg.norm(out, axis=(1, 2), keepdims=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pictures", type=int, default=100_000)
    args = parser.parse_args()
    for count, fresh in ((30_000, 1), (args.pictures, args.pictures)):
        coefficients = drawn(count)
        is_fresh = np.arange(count) >= count - fresh
        norms = [window_norms(coefficients[at : at + 2000], Kind.PHOTO) for at in range(0, count, 2000)]
        views = Views(coefficients, np.concatenate(norms))
        start, cpu = time.perf_counter(), time.process_time()
        found = candidates(views, Kind.PHOTO, is_fresh)
        wall, cpu = time.perf_counter() - start, time.process_time() - cpu
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(
            f"{fresh} new among {count}: {wall:.2f} s ({cpu:.2f} s of one core), {len(found.part)} candidates, "
            f"peak {memory:.0f} MB"
        )
        if fresh == count:
            pairs = set(zip(found.part.tolist(), found.whole.tolist(), strict=True))
            hit = [(row, row - 1) in pairs or (row - 1, row) in pairs for row in range(9, count, 10)]
            print(f"copies found: {np.mean(hit):.4f}")


if __name__ == "__main__":
    main()
