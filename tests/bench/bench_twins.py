"""Measure how well near-identical pictures are found and named, against plain perceptual hashes.

    python -m tests.bench.bench_twins --lines 200 --photos 120 --scratch /var/tmp/twins

Originals: the demo's motifs, scikit-image's photographs and, when they are there, Debian's openclipart-png and any
folder of photographs (`--more DIR`). Each gets `--each` seeded copies out of `twin_variants`. A pair counts as right
when it joins an original with its copy; two pictures of different originals make a wrong pair. Seed 1, families with an
even number, served to choose the thresholds; the odd ones are reported as "test".
"""

from __future__ import annotations

import argparse
import io
import pickle
import time
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import imagehash
import numpy as np
from PIL import Image, ImageFilter, ImageOps

from archgen.twins.engine import find_pairs
from archgen.twins.model import Item, Pair
from archgen.twins.prepare import prepare
from tests.bench.twin_variants import COPIES, Copy

CLIPART = Path("/usr/share/openclipart/png")
CLIPART_FOLDERS = (
    *("animals", "plants", "people", "food", "recreation", "tools", "transportation", "buildings", "decorations"),
    *("unsorted", "shapes", "household", "signs_and_symbols", "special", "education", "geography", "science"),
)
LONG_SIDE = 900


@dataclass(frozen=True)
class Entry:
    family: int
    kind: str
    copy: Copy | None
    data: bytes

    @property
    def name(self) -> str:
        return f"{self.kind}{self.family:05d}/{self.copy.name if self.copy else '0'}"

    def image(self) -> Image.Image:
        return Image.open(io.BytesIO(self.data)).copy()


# --- originals ------------------------------------------------------------------------------------------------


def flattened(path: Path) -> Image.Image:
    im = Image.open(path)
    im.draft("RGB", (LONG_SIDE, LONG_SIDE))
    rgba = im.convert("RGBA")
    rgba.thumbnail((LONG_SIDE, LONG_SIDE))
    return Image.alpha_composite(Image.new("RGBA", rgba.size, "white"), rgba).convert("RGB")


def clipart(rng: np.random.Generator, count: int) -> list[Image.Image]:
    paths = sorted(p for f in CLIPART_FOLDERS for p in (CLIPART / f).rglob("*.png") if not p.is_symlink())
    out: list[Image.Image] = []
    for index in rng.permutation(len(paths)):
        if len(out) >= count:
            break
        im = flattened(paths[index])
        style = rng.integers(3)
        if max(im.size) >= 200 and min(im.size) >= 80 and style:
            im = edges_only(im) if style == 1 else cut(im)
        gray = np.asarray(im.convert("L"))
        if max(im.size) >= 150 and min(im.size) >= 60 and gray.std() > 12 and 0.35 < (gray > 235).mean() < 0.985:
            out.append(im)
    return out


def edges_only(im: Image.Image) -> Image.Image:
    a = np.asarray(im.convert("L").filter(ImageFilter.GaussianBlur(1.2)), np.float32)
    down, across = np.gradient(a)
    return Image.fromarray(np.where(np.hypot(down, across) > 9, 0, 255).astype(np.uint8)).filter(
        ImageFilter.GaussianBlur(0.6)
    )


def cut(im: Image.Image) -> Image.Image:
    return im.convert("L").point(lambda v: 255 if v > 140 else 0).filter(ImageFilter.GaussianBlur(0.6))


def demo_line() -> list[Image.Image]:
    from tests.demo.build import MOTIFS, motif
    from tests.demo.raster import stencil

    return [ImageOps.expand(stencil(motif(name, None, 100), 190), 12, 255) for name in MOTIFS]


def demo_photos(seed: int) -> list[Image.Image]:
    from tests.demo.build import MOTIFS, quick
    from tests.demo.photo import BACKDROPS, Scene

    rng = np.random.default_rng(seed)
    places = ["forearm", "upper-arm", "calf", "thigh", "shoulder", "back"]
    tones = ["porcelain", "light", "olive", "tan", "brown", "deep"]
    out = []
    for name in MOTIFS:
        scene = Scene(
            str(rng.choice(places)),
            str(rng.choice(tones)),
            "fresh",
            str(rng.choice(list(BACKDROPS))),
            int(rng.integers(99)),
        )
        out.append(quick(name, str(rng.choice(["line", "wash", "whip", "dots"])), scene, 84))
    return out


def photographs(folders: list[Path]) -> list[Image.Image]:
    import skimage

    names = (
        *("astronaut.png", "camera.png", "chelsea.png", "coffee.png", "rocket.jpg", "coins.png", "clock_motion.png"),
        *("brick.png", "grass.png", "gravel.png", "hubble_deep_field.jpg", "retina.jpg", "motorcycle_left.png"),
        *("ihc.png", "moon.png", "cell.png"),
    )
    data = Path(skimage.__path__[0]) / "data"
    out = [flattened(data / name) for name in names if (data / name).exists()]
    for folder in folders:
        for number, path in enumerate(
            sorted(p for p in folder.rglob("*") if p.suffix in {".jpg", ".png", ".jpeg"} and p.is_file())
        ):
            im = flattened(path)
            if number % 2:
                out.append(im)
            else:  # neighbouring quarters of one photograph are different pictures that look alike
                w, h = im.width // 2, im.height // 2
                out += [im.crop((x, y, x + w, y + h)) for x in (0, w) for y in (0, h)]
    return [im for im in out if np.asarray(im.convert("L")).std() > 8]


def distinct(images: list[Image.Image], most: float = 0.90) -> list[Image.Image]:
    """Drop originals that are nearly another one in any turn, by plain correlation."""
    kept: list[Image.Image] = []
    vectors: list[np.ndarray] = []
    for im in images:
        gray = np.asarray(im.convert("L"))
        rows, columns = np.flatnonzero((gray < 235).any(1)), np.flatnonzero((gray < 235).any(0))
        box = (columns[0], rows[0], columns[-1] + 1, rows[-1] + 1) if len(rows) else None
        small = np.asarray(im.convert("L").resize((32, 32), Image.Resampling.BOX, box=box), np.float32)
        eight = [np.rot90(m, k).ravel() for m in (small, small[:, ::-1]) for k in range(4)]
        eight = [(v - v.mean()) / (np.linalg.norm(v - v.mean()) + 1e-6) for v in eight]
        if not vectors or float(np.max(np.stack(vectors) @ np.stack(eight).T)) < most:
            kept.append(im)
            vectors.append(eight[0])
    return kept


# --- copies ---------------------------------------------------------------------------------------------------


def _stored(im: Image.Image, kind: str) -> bytes:
    buffer = io.BytesIO()
    if kind == "line":
        im.save(buffer, "PNG", compress_level=1)
    else:
        im.save(buffer, "JPEG", quality=95, subsampling=0)
    return buffer.getvalue()


def family(job: tuple[int, str, bytes, int, int]) -> list[Entry]:
    number, kind, data, each, seed = job
    rng = np.random.default_rng([seed, number])
    original = Image.open(io.BytesIO(data)).copy()
    fitting = [copy for copy in COPIES if copy.only in {"", kind}]
    chosen = sorted(rng.choice(len(fitting), min(each, len(fitting)), replace=False))
    out = [Entry(number, kind, None, data)]
    for index in chosen:
        copy = fitting[index]
        made = copy.make(original, rng)
        relations = copy.relations
        if copy.group == "edited" and unchanged(original, made):
            relations = (*relations, "identical")  # black and white art has no tone that gamma or contrast could change
        named = Copy(copy.name, copy.group, None, relations, copy.mirrored, copy.turned)
        out.append(Entry(number, kind, named, _stored(made, kind)))
    return out


def unchanged(one: Image.Image, two: Image.Image) -> bool:
    if one.size != two.size:
        return False
    grays = [np.asarray(im.convert("L"), np.float32) for im in (one, two)]
    return float(np.abs(grays[0] - grays[1]).mean()) < 2


def gather(args: argparse.Namespace) -> list[Entry]:
    store = args.scratch / f"twins-{args.lines}-{args.photos}-{args.each}-{args.seed}.pickle"
    if store.exists():
        return pickle.loads(store.read_bytes())  # noqa: S301 - written by this script
    rng = np.random.default_rng(args.seed)
    lines = distinct([*demo_line(), *(clipart(rng, args.lines * 2) if CLIPART.exists() else [])])[: args.lines]
    photos = [*demo_photos(args.seed), *photographs(args.more)]
    photos = distinct([photos[k] for k in rng.permutation(len(photos))])[: args.photos]
    jobs = [(n, "line", _stored(im, "line"), args.each, args.seed) for n, im in enumerate(lines)]
    jobs += [(n + 50_000, "photo", _stored(im, "photo"), args.each, args.seed) for n, im in enumerate(photos)]
    with ProcessPoolExecutor(2) as pool:
        entries = [entry for found in pool.map(family, jobs, chunksize=4) for entry in found]
    args.scratch.mkdir(parents=True, exist_ok=True)
    store.write_bytes(pickle.dumps(entries))
    return entries


# --- scoring --------------------------------------------------------------------------------------------------


def halves(entries: list[Entry]) -> dict[str, list[Entry]]:
    return {"chosen on": [e for e in entries if e.family % 2 == 0], "test": [e for e in entries if e.family % 2]}


def report(title: str, entries: list[Entry], found: dict[tuple[str, str], Pair | None]) -> None:
    """Print recall by group, precision, wrong pairs and what was told right."""
    by_name = {entry.name: entry for entry in entries}
    for kind in ("line", "photo"):
        hit: dict[str, list[bool]] = defaultdict(list)
        turn: list[bool] = []
        relation: dict[str, list[bool]] = defaultdict(list)
        for entry in entries:
            if entry.kind != kind or entry.copy is None:
                continue
            first, second = sorted((entry.name, f"{kind}{entry.family:05d}/0"))
            hit[entry.copy.group].append((first, second) in found)
            hit["  " + entry.copy.name].append((first, second) in found)
            pair = found.get((first, second))
            if pair:
                turn.append(
                    (pair.mirrored, pair.turned) == (entry.copy.mirrored, _direction(entry.copy, first == entry.name))
                )
                right = pair.relation.value in entry.copy.relations
                relation["all"].append(right)
                relation[entry.copy.name].append(right)
        inside = [names for names in found if all(name in by_name and by_name[name].kind == kind for name in names)]
        wrong = [names for names in inside if by_name[names[0]].family != by_name[names[1]].family]
        files = sum(entry.kind == kind for entry in entries)
        share = 1 - len(wrong) / max(len(inside), 1)
        print(f"{title:34} {kind:5} " + "  ".join(f"{g} {np.mean(hit[g]):.3f}" for g in ("exact", "edited", "version", "hard") if hit[g])
              + f"  all {np.mean([x for k, v in hit.items() if k[0] != ' ' for x in v]):.3f}  precision {share:.4f}"
              + f"  wrong/10k {len(wrong) / max(files, 1) * 1e4:.1f}"
              + (f"  turn {np.mean(turn):.4f}  relation {np.mean(relation['all']):.3f}" if turn else ""))  # fmt: skip
        if turn:
            print(
                "   missed: "
                + ", ".join(
                    f"{k.strip()} {1 - np.mean(v):.3f}" for k, v in sorted(hit.items()) if k[0] == " " and not all(v)
                )
            )
            print(
                "   misnamed: "
                + ", ".join(f"{k} {1 - np.mean(v):.2f}" for k, v in sorted(relation.items()) if not all(v))
            )


def _direction(copy: Copy, copy_is_first: bool) -> int:
    """The copy is the original turned; seen from the copy it is the other way round (a mirror is its own way back)."""
    return (360 - copy.turned) % 360 if copy_is_first and not copy.mirrored else copy.turned


def hashed(entries: list[Entry], method: object, most: int) -> dict[tuple[str, str], None]:
    """Pairs by a plain hash, the least of the eight turns."""
    codes = np.zeros((len(entries), 8), np.uint64)
    for row, entry in enumerate(entries):
        small = entry.image().convert("L")
        small.thumbnail((256, 256))
        eight = [
            t for m in (small, ImageOps.mirror(small)) for t in (m.rotate(a, expand=True) for a in (0, 90, 180, 270))
        ]
        for column, im in enumerate(eight):
            codes[row, column] = np.packbits(method(im).hash.ravel()).view(">u8")[0]
    out = {}
    for row in range(len(entries)):
        near = np.bitwise_count(codes[row][:, None] ^ codes[row + 1 :, 0][None]).min(0) <= most
        for other in np.flatnonzero(near) + row + 1:
            out[tuple(sorted((entries[row].name, entries[other].name)))] = None
    return out


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lines", type=int, default=200)
    parser.add_argument("--photos", type=int, default=120)
    parser.add_argument("--each", type=int, default=8)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--scratch", type=Path, required=True, help="folder outside the repository for the drawn copies"
    )
    parser.add_argument("--more", type=Path, nargs="*", default=[], help="folders of further photographs")
    parser.add_argument("--no-baselines", action="store_true")
    args = parser.parse_args()
    entries = gather(args)
    print(len(entries), "pictures")
    if not args.no_baselines:
        for name, method, most in (
            ("phash, 8 turns, <= 5", imagehash.phash, 5),
            ("dhash, 8 turns, <= 2", imagehash.dhash, 2),
        ):
            report(name, halves(entries)["test"], hashed(halves(entries)["test"], method, most))
    images = [entry.image() for entry in entries]
    start = time.perf_counter()
    items = [Item(entry.name, prepare(im)) for entry, im in zip(entries, images, strict=True)]
    spent = time.perf_counter() - start
    size = np.mean([len(item.prepared.to_bytes()) for item in items]) / 1000
    print(f"prepare {spent / len(items) * 1000:.1f} ms a picture, {size:.1f} kB")
    start, counted = time.perf_counter(), [0.0, 0]
    pairs = find_pairs(
        items, progress=lambda done, total: counted.__setitem__(slice(None), _clock(counted, done, total))
    )
    spent = time.perf_counter() - start
    print(
        f"candidates {counted[0] - start:.1f} s; {counted[1]} verified, {(spent - counted[0] + start) / max(counted[1], 1) * 1000:.2f} ms each"
    )
    found = {(pair.a, pair.b): pair for pair in pairs}
    for title, half in halves(entries).items():
        report(f"archgen ({title})", half, found)
    if args.scratch:
        (args.scratch / "last.pickle").write_bytes(pickle.dumps((entries, pairs)))


def _clock(counted: list, done: int, total: int) -> list:
    return [counted[0] or time.perf_counter(), total]


if __name__ == "__main__":
    main()
