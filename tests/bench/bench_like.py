"""Measure how often `archgen find --like` finds the piece among 300 that have nothing but their stencil; by hand.

    python -m tests.bench.bench_like --drawn DIR [--seed 7] [--half 1] [--pictures 80] [--pieces 300]

Draws phone photos of tattoos, scans, screenshots and photos of prints (tests/bench/like_pictures.py; needs Debian's
openclipart-png) of every other piece; the limits were set on half 0. What is drawn stays in DIR. Says how often the
right piece comes first and among the first five, how often the first is called sure and is right or wrong, and the
seconds of processor a question takes, the first apart, which looks at every stencil.
"""

import argparse
import time
import warnings
from collections import defaultdict
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from PIL import Image

from archgen.build import Options, read_catalogue
from archgen.intake.comparing.pieces_like import pieces_like
from archgen.progress import Silent
from archgen.storage.cache import Cache
from archgen.storage.jobs import default_workers
from tests.bench.drawn_archive import DrawnPiece, plan_pieces
from tests.bench.like_pictures import Kind, shown, stencil_of

# Pieces behind the filed ones, whose tattoos stand beside others.
_OTHERS = 40
_SKIN = (Kind.FRESH, Kind.HEALED, Kind.HEALED, Kind.FRESH, Kind.IN_PROGRESS)
_PAPER = (Kind.SCAN, Kind.SCREENSHOT, Kind.PRINT)


def draw(pieces: list[DrawnPiece], others: list[DrawnPiece], folder: Path, drawn: tuple[int, int, int]) -> None:
    """Draw pictures of every other piece, the demo's first, four of skin to one of paper: half, seed, how many."""
    half, seed, count = drawn
    folder.mkdir(parents=True, exist_ok=True)
    rng = np.random.default_rng([seed, half])
    own = [piece for piece in pieces if piece.number % 2 == half]
    demo, clip = [one for one in own if one.number < 15], [one for one in own if one.number >= 15]
    order = [*demo, *(clip[one] for one in rng.permutation(len(clip)))]
    kinds = [(order[one % len(order)], _SKIN[one % 5]) for one in range(count * 4 // 5)]
    kinds += [(order[one % len(order)], _PAPER[one % 3]) for one in range(count - len(kinds))]
    for place, (piece, kind) in enumerate(kinds):
        path = folder / f"{piece.number:03d}-{kind.value.replace(' ', '_')}-{place}.jpg"
        beside = others[int(rng.integers(len(others)))] if rng.random() < 0.2 else None
        if not path.exists():
            shown(piece, kind, seed * 1000 + place, beside).picture.save(path, quality=92)


def archive(pieces: list[DrawnPiece], root: Path) -> None:
    """File every piece with its stencil alone."""
    for piece in pieces:
        folder = root / "pieces" / piece.id / "stencils"
        if not folder.exists():
            folder.mkdir(parents=True)
            stencil_of(piece).save(folder / "1.png")
            (folder.parent / "piece.toml").write_text(f'title = "Piece {piece.number}"\n', encoding="utf-8")


def ask(root: Path, folder: Path, cache_folder: Path) -> None:
    """Ask about every picture, and say the figures."""
    cache, new = Cache(cache_folder), Cache(cache_folder / "intake")
    catalogue = read_catalogue(root, cache, Options(default_workers()), Silent())
    cache.save()
    places: dict[str, list[int]] = defaultdict(list)
    sure: dict[str, list[bool]] = defaultdict(list)
    seconds: list[float] = []
    for path in sorted(folder.glob("*.jpg")):
        started = time.process_time()
        found = pieces_like(path, catalogue, (cache, new), Silent(), 5)
        seconds.append(time.process_time() - started)
        number, kind = path.stem.split("-")[:2]
        named = [one.title.removeprefix("Piece ") == str(int(number)) for one in found]
        place = named.index(True) + 1 if True in named else 99
        places[kind].append(place)
        sure[kind] += [right for one, right in zip(found, named, strict=True) if one.is_sure]
        print(
            f"{path.stem}: {'not found' if place == 99 else place}{', sure' * any(o.is_sure for o in found)}",
            flush=True,
        )
    for kind in [*sorted(places), "all"]:
        mine = np.array(places[kind] if kind != "all" else [one for some in places.values() for one in some])
        said = sure[kind] if kind != "all" else [one for some in sure.values() for one in some]
        print(
            f"{kind}: {len(mine)}; first {np.mean(mine == 1):.0%}, among five {np.mean(mine <= 5):.0%}; "
            f"called sure {len(said)}, of them wrong {len(said) - sum(said)}"
        )
    print(f"processor: first {seconds[0]:.1f} s, later {np.median(seconds[1:]):.1f} s (median)")


def main() -> None:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--drawn", type=Path, required=True)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--half", type=int, choices=(0, 1), default=1)
    parser.add_argument("--pictures", type=int, default=80)
    parser.add_argument("--pieces", type=int, default=300)
    given = parser.parse_args()
    warnings.simplefilter("ignore", Image.DecompressionBombWarning)
    pieces = plan_pieces(given.pieces + _OTHERS)
    filed, others = pieces[: given.pieces], pieces[given.pieces :]
    folder = given.drawn / f"half-{given.half}-{given.seed}"
    draw(filed, others, folder, (given.half, given.seed, given.pictures))
    archive(filed, given.drawn / "archive")
    with TemporaryDirectory(prefix="archgen-bench-") as cache:
        ask(given.drawn / "archive", folder, Path(cache))


if __name__ == "__main__":
    main()
