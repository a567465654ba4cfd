"""Time the search for near-identical pictures in large collections, and tell what its short cuts lose.

    python -m tests.bench.bench_twins_scale --scratch FOLDER --pictures 100000

The pictures are those of `bench_twins`, drawn with the same arguments. What is missing to the large numbers is blended:
the coefficients of two pictures, one of them turned at random, mixed half and half. Families with an even number are
blended; recall is told of the odd ones, against brute force: a pair counts when the best of all turns and windows
reaches the least cosine. References of the same run: plain 64-bit hashes compared all with all by numpy (one turn, no
windows), and all turns multiplied with all windows, both reckoned from a part.
"""

import argparse
import dataclasses
import io
import resource
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from PIL import Image

from archgen.twins.description.prepare import Prepared, prepare
from archgen.twins.description.signature import COEFFICIENTS, PictureKind, turned_vectors, window_norms, window_vectors
from archgen.twins.description.turns import turned_coefficients
from archgen.twins.engine import Known, find_pairs
from archgen.twins.model import ComparedPicture
from archgen.twins.search.candidates import LEAST_COSINE, Views, candidates
from archgen.twins.search.shortlist import Candidates
from tests.bench.bench_twins import Entry, demo_line, demo_photos, gather

HASHES, PRODUCTS = 10_000, 400


@contextmanager
def clocked(title: str, **references: float) -> Iterator[list[str]]:
    """Print the time and the peak of memory of a block, how often it goes into each reference, and what it notes."""
    notes: list[str] = []
    wall, cpu = time.perf_counter(), time.process_time()
    yield notes
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    ratios = [f"{name} {seconds:.2f} s ({cpu / seconds:.4f} of it)" for name, seconds in references.items()]
    print(
        f"{title}: {cpu:.2f} s of one core, {wall:.2f} s of the clock, peak {memory:.0f} MB", *ratios, *notes, sep="; "
    )


def hash_seconds(count: int) -> float:
    """Give what comparing `count` 64-bit hashes all with all would take, reckoned from fewer."""
    some = min(count, HASHES)
    codes = np.random.default_rng(1).integers(0, 2**63, some, np.uint64)
    start = time.process_time()
    for at in range(0, some, 256):
        np.count_nonzero(np.bitwise_count(codes[at : at + 256, None] ^ codes) <= 10)
    return (time.process_time() - start) * (count / some) ** 2


def brute_seconds(views: Views, kind: PictureKind) -> float:
    """Give what multiplying all turns with all windows would take, reckoned from fewer."""
    start = time.process_time()
    some = views.coefficients[:PRODUCTS]
    turned, windows = turned_vectors(some, kind).reshape(-1, 64), window_vectors(some, kind).reshape(-1, 64)
    for at in range(0, len(turned), 500):
        np.count_nonzero(turned[at : at + 500] @ windows.T > LEAST_COSINE[kind])
    return (time.process_time() - start) * (len(views.coefficients) / len(some)) ** 2


# --- pictures -------------------------------------------------------------------------------------------------


@dataclasses.dataclass
class Shelf:
    """The views of one kind: which entry each is of, and their coefficients; beyond those come blends."""

    entries: np.ndarray
    coefficients: np.ndarray

    def filled(self, kind: PictureKind, count: int, blended: np.ndarray) -> Views:
        few = self.coefficients[:count]
        more = blends(self.coefficients[np.isin(self.entries, blended)], max(0, count - len(few)))
        every = np.concatenate([few, more])
        norms = [window_norms(every[at : at + 256], kind) for at in range(0, len(every), 256)]
        return Views(every, np.concatenate(norms))


def shelved(prepared: list[Prepared], kind: PictureKind) -> Shelf:
    found = [(at, view) for at, one in enumerate(prepared) for view in one.views if view.kind is kind]
    return Shelf(np.array([at for at, _ in found]), np.stack([view.coefficients for _, view in found]))


def blends(of: np.ndarray, count: int, seed: int = 1) -> np.ndarray:
    rng = np.random.default_rng(seed)
    out = np.empty((count, COEFFICIENTS, COEFFICIENTS), np.float32)
    for at in range(0, count, 2000):
        some = out[at : at + 2000]
        one, two = rng.integers(0, len(of), (2, len(some)))
        share = rng.uniform(0.35, 0.65, (len(some), 1, 1)).astype(np.float32)
        turned = np.stack([turned_coefficients(of[row], int(rng.integers(8))) for row in two])
        some[:] = share * of[one] + (1 - share) * turned
        some /= np.linalg.norm(some, axis=(1, 2), keepdims=True)
    return out


# --- what is lost ---------------------------------------------------------------------------------------------


def pairs_of(entries: list[Entry]) -> list[tuple[int, int, str]]:
    """Give each copy of an odd family, its original, and its group."""
    originals = {(entry.kind, entry.family): at for at, entry in enumerate(entries) if not entry.copy}
    return [
        (at, originals[entry.kind, entry.family], entry.copy.group)
        for at, entry in enumerate(entries)
        if entry.copy and entry.family % 2
    ]


def recall(shelf: Shelf, kind: PictureKind, found: Candidates, pairs: list[tuple[int, int, str]]) -> Iterator[str]:
    """Tell, by group, which share of the pairs that brute force would find were found."""
    real = (found.part < len(shelf.entries)) & (found.whole < len(shelf.entries))
    met = set(zip(shelf.entries[found.part[real]].tolist(), shelf.entries[found.whole[real]].tolist(), strict=True))
    hits: dict[str, list[bool]] = {}
    for a, b, group in pairs:
        one, two = (np.flatnonzero(shelf.entries == entry) for entry in (a, b))
        best = max(best_cosine(shelf.coefficients, kind, *sides) for sides in ((one, two), (two, one)))
        if best >= LEAST_COSINE[kind]:
            hits.setdefault(group, []).append((a, b) in met or (b, a) in met)
    for group in ("exact", "edited", "version", "hard"):
        if group in hits:
            yield f"{group} {np.mean(hits[group]):.4f} of {len(hits[group])}"


def best_cosine(coefficients: np.ndarray, kind: PictureKind, parts: np.ndarray, wholes: np.ndarray) -> float:
    if not len(parts) or not len(wholes):
        return 0.0
    turned = turned_vectors(coefficients[parts], kind).reshape(-1, 64)
    return float((turned @ window_vectors(coefficients[wholes], kind).reshape(-1, 64).T).max())


# --- through the engine ---------------------------------------------------------------------------------------


def large_archive(prepared: list[Prepared], count: int) -> list[ComparedPicture]:
    """Make items with blended coefficients; the pixels that are kept are those of other pictures."""
    shelves = {kind: blends(shelved(prepared, kind).coefficients, 20_000) for kind in PictureKind}
    norms = {kind: np.concatenate([window_norms(some[at : at + 256], kind) for at in range(0, len(some), 256)])
             for kind, some in shelves.items()}  # fmt: skip
    rng = np.random.default_rng(2)
    out = [ComparedPicture(f"{at:06d}", one) for at, one in enumerate(prepared[:count])]
    for at in range(len(out), count):
        one = prepared[at % len(prepared)]
        views = []
        for view in one.views:
            row = int(rng.integers(20_000))
            views.append(dataclasses.replace(view, coefficients=shelves[view.kind][row], norms=norms[view.kind][row]))
        out.append(ComparedPicture(f"{at:06d}", dataclasses.replace(one, views=tuple(views), digest=f"{at:032x}")))
    return out


def one_new(items: list[ComparedPicture], new: int) -> None:
    known = Known({item.key: item.prepared.digest for at, item in enumerate(items) if at != new}, [])
    find_pairs(items[:100])  # what is made once is not counted
    ticks: list[float] = []
    start = time.process_time()
    with clocked(f"one new among {len(items)}, find_pairs") as notes:
        find_pairs(items, known, lambda *_: ticks.append(time.process_time()))
        searched = (ticks[0] if ticks else time.process_time()) - start
        notes.append(f"{searched:.2f} s until the first of {len(ticks)} comparisons was done")


def encoded(picture: Image.Image, rng: np.random.Generator) -> Image.Image:
    factor = rng.uniform(0.5, 1.3) if rng.integers(2) else 1.0
    buffer = io.BytesIO()
    size = (round(picture.width * factor), round(picture.height * factor))
    picture.convert("RGB").resize(size).save(buffer, "JPEG", quality=int(rng.integers(40, 96)))
    return Image.open(buffer)


def many_copies(title: str, picture: Image.Image, count: int) -> None:
    rng = np.random.default_rng(3)
    drawn = [prepare(encoded(picture, rng)) for _ in range(min(count, 1000))]
    # Beyond a thousand the same ones come again, each as a picture of its own.
    items = [
        ComparedPicture(f"{at:06d}", dataclasses.replace(drawn[at % len(drawn)], digest=f"{at:032x}"))
        for at in range(count)
    ]
    with clocked(f"{count} encodings of one {title}, find_pairs") as notes:
        pairs = find_pairs(items)
        relations = sorted({pair.relation.value for pair in pairs})
        leaders = len({pair.a for pair in pairs})
        notes.append(f"{len(pairs)} pairs, {leaders} leaders, {', '.join(relations)}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pictures", type=int, nargs="*", default=[5_000, 30_000, 100_000])
    parser.add_argument("--among", type=int, default=30_000)
    parser.add_argument("--encodings", type=int, default=30_000)
    parser.add_argument("--lines", type=int, default=110)
    parser.add_argument("--photos", type=int, default=70)
    parser.add_argument("--each", type=int, default=8)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--scratch", type=Path, required=True, help="folder outside the repository for drawn copies")
    parser.add_argument("--more", type=Path, nargs="*", default=[], help="folders of further photographs")
    args = parser.parse_args()
    entries = gather(args)
    prepared = [prepare(entry.image()) for entry in entries]
    even = np.array([at for at, entry in enumerate(entries) if entry.family % 2 == 0])
    pairs = pairs_of(entries)
    for entry in entries:
        object.__setattr__(entry, "data", b"")
    for count in args.pictures:
        for kind in PictureKind:
            shelf = shelved(prepared, kind)
            views = shelf.filled(kind, count, even)
            references = {"plain hashes by numpy": hash_seconds(count), "brute force": brute_seconds(views, kind)}
            with clocked(f"all pairs among {count} ({kind.name.lower()})", **references) as notes:
                found = candidates(views, kind)
                notes.append(f"{len(found.part)} candidates")
            print("   of brute force's pairs:", ", ".join(recall(shelf, kind, found, pairs)))
    items = large_archive(prepared, args.among)
    for new in (0, len(prepared) // 2, len(prepared) - 1):
        one_new(items, new)
    del items
    if args.encodings:
        many_copies("photograph", demo_photos(args.seed)[0], args.encodings)
        many_copies("drawing", demo_line()[0], args.encodings)


if __name__ == "__main__":
    main()
