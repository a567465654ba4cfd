"""Measure how well near-identical pictures are found and named, against plain perceptual hashes.

    python -m tests.bench.bench_twins --lines 200 --photos 120 --scratch FOLDER

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
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import imagehash
import numpy as np
from PIL import Image, ImageFilter, ImageOps

from archgen.twins.description.prepare import prepare
from archgen.twins.engine import find_pairs
from archgen.twins.model import ComparedPicture, Pair
from tests.bench.twin_variants import COPIES, Copy
from tests.demo.drawing import MOTIFS, motif
from tests.demo.limb import Scene
from tests.demo.photo import render
from tests.demo.raster import stencil
from tests.demo.setting import BACKDROPS
from tests.demo.shade import ink

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
        try:
            im = flattened(paths[index])
        except Image.DecompressionBombError:
            continue
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
    return [ImageOps.expand(stencil(motif(name, 80), 190), 12, 255) for name in MOTIFS]


def demo_photos(seed: int) -> list[Image.Image]:
    rng = np.random.default_rng(seed)
    places = ["forearm", "upper-arm", "calf", "thigh", "shoulder", "back"]
    tones = ["porcelain", "light", "olive", "tan", "brown", "deep"]
    out = []
    for name in MOTIFS:
        place, tone, backdrop = (str(rng.choice(words)) for words in (places, tones, list(BACKDROPS)))
        scene = Scene(place, tone, "fresh", backdrop, int(rng.integers(99)))
        shaded = ink(motif(name, 80), 16.0, str(rng.choice(["line", "wash", "whip", "dots"])))
        out.append(render(shaded, scene, (675, 900)))
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
        for number, path in enumerate(one_of_each(folder)):
            im = flattened(path)
            if number % 2:
                out.append(im)
            else:  # neighbouring quarters of one photograph are different pictures that look alike
                w, h = im.width // 2, im.height // 2
                out += [im.crop((x, y, x + w, y + h)) for x in (0, w) for y in (0, h)]
    return [im for im in out if np.asarray(im.convert("L")).std() > 8]


def one_of_each(folder: Path) -> list[Path]:
    """Find the pictures of a folder, one of each wallpaper: they lie in several sizes, cut out of each other."""
    found: dict[str, Path] = {}
    for path in sorted(p for p in folder.rglob("*") if p.suffix in {".jpg", ".png", ".jpeg"} and p.is_file()):
        found.setdefault(str(path).partition("/contents/")[0], path)
    return list(found.values())


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
        if copy.name == "cut again" and unchanged(original, made):
            relations = (*relations, "identical", "edited")  # cut at the level of its own edges, it has the same lines
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
        some = [entry for entry in entries if entry.kind == kind]
        copies = [(entry, found.get(_names(entry)), _names(entry) in found) for entry in some if entry.copy]
        inside = [names for names in found if all(name in by_name and by_name[name].kind == kind for name in names)]
        wrong = sum(by_name[a].family != by_name[b].family for a, b in inside)
        parts = [f"{group} {share:.3f}" for group, share in _shares(copies, lambda entry: entry.copy.group)]
        parts.append(f"all {np.mean([hit for _, _, hit in copies]):.3f}")
        parts.append(f"precision {1 - wrong / max(len(inside), 1):.4f}")
        parts.append(f"wrong/10k {wrong / max(len(some), 1) * 1e4:.1f}")
        told = [(entry, pair) for entry, pair, _ in copies if pair]
        if told:
            parts.append(f"turn {np.mean([_turn_is_right(entry, pair) for entry, pair in told]):.4f}")
            parts.append(
                f"relation {np.mean([pair.relation.value in entry.copy.relations for entry, pair in told]):.3f}"
            )
        print(f"{title:34} {kind:5} " + "  ".join(parts))
        if told:
            missed = _shares(copies, lambda entry: entry.copy.name)
            print("   missed: " + ", ".join(f"{name} {1 - share:.3f}" for name, share in missed if share < 1))
            named = [(entry, pair, pair.relation.value in entry.copy.relations) for entry, pair in told]
            misnamed = _shares(named, lambda entry: entry.copy.name)
            print("   misnamed: " + ", ".join(f"{name} {1 - share:.2f}" for name, share in misnamed if share < 1))


def _names(entry: Entry) -> tuple[str, str]:
    first, second = sorted((entry.name, f"{entry.kind}{entry.family:05d}/0"))
    return first, second


def _shares(rows: list[tuple], key: Callable[[Entry], str]) -> list[tuple[str, float]]:
    """Share of hits by a key of the entry; groups in the order of the table, names in that of the alphabet."""
    hits: dict[str, list[bool]] = defaultdict(list)
    for entry, _, hit in rows:
        hits[key(entry)].append(hit)
    order = ("exact", "edited", "version", "hard")
    return [(name, float(np.mean(hits[name]))) for name in [n for n in order if n in hits] or sorted(hits)]


def _turn_is_right(entry: Entry, pair: Pair) -> bool:
    degrees = _direction(entry.copy, pair.a == entry.name)
    return (pair.mirrored, pair.turned) == (entry.copy.mirrored, degrees)


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
    start = time.process_time()
    items = [ComparedPicture(entry.name, prepare(im)) for entry, im in zip(entries, images, strict=True)]
    spent = time.process_time() - start
    size = np.mean([len(item.prepared.to_bytes()) for item in items]) / 1000
    print(f"prepare {spent / len(items) * 1000:.1f} ms a picture of one core, {size:.1f} kB")
    start, ticks = time.process_time(), []
    pairs = find_pairs(items, progress=lambda _, total: ticks.append((time.process_time(), total)))
    searched, total = ticks[0]
    each = (time.process_time() - searched) / total * 1000
    print(f"candidates {searched - start:.1f} s; {total} verified, {each:.2f} ms each of one core")
    found = {(pair.a, pair.b): pair for pair in pairs}
    for title, half in halves(entries).items():
        report(f"archgen ({title})", half, found)


if __name__ == "__main__":
    main()
