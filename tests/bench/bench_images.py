"""Time and memory of the image stage: python -m tests.bench.bench_images 40 (needs scikit-image and pyvips).

Draws N photos of 12 megapixels with the detail of real photographs, then times on one core, per photo:
(a) decoding at half scale alone, (b) the same smaller copies by libvips, with the same qualities and effort, and the
stage itself; then peak memory with two workers, each in a process of its own.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image, ImageOps
from skimage import data

from archgen.doubles.stored import DESCRIBE
from archgen.images import derivatives
from archgen.picture_facts import stage
from archgen.picture_facts.facts import Describe, ImageJob, Role
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.unit.images.pictures import P3_COLORANTS, matrix_profile

SIZE = (4032, 3024)
COPIES_PX = (2016, 1008, 504)


def draw(folder: Path, number: int, profile: bytes | None = None, quality: int = 90) -> None:
    """Cover the picture with turned and mirrored photographs at their own scale, and with a sensor's noise."""
    rng = np.random.default_rng(number)
    sources = [data.astronaut(), data.coffee(), data.chelsea(), data.rocket()]
    base = Image.new("RGB", SIZE)
    for top in range(0, SIZE[1], 280):
        for left in range(0, SIZE[0], 420):
            piece = Image.fromarray(sources[rng.integers(4)])
            piece = ImageOps.mirror(piece) if rng.random() < 0.5 else piece
            base.paste(piece, (left - int(rng.integers(80)), top - int(rng.integers(60))))
    noisy = np.asarray(base, np.int16) + rng.normal(0, 2, (SIZE[1], SIZE[0], 1)).astype(np.int16)
    picture = Image.fromarray(noisy.clip(0, 255).astype(np.uint8))
    picture.save(folder / f"{number:04}.jpg", quality=quality, icc_profile=profile)


def half_scale(path: Path) -> None:
    with Image.open(path) as picture:
        picture.draft(None, (SIZE[0] // 2, SIZE[1] // 2))
        picture.load()


def by_libvips(path: Path, out: Path, profile: str | None = None, public: bool = False) -> None:
    import pyvips

    options = {"output_profile": profile} if profile else {}
    picture = pyvips.Image.thumbnail(str(path), COPIES_PX[0], **options).copy_memory()  # read once, used three times
    for width in COPIES_PX:
        smaller = picture if width == picture.width else picture.thumbnail_image(width)
        smaller.jpegsave(str(out / f"{path.stem}-{width}.jpg"), Q=derivatives.SCREEN_QUALITY, strip=True)
        if public:
            effort = {"Q": derivatives.PUBLIC_QUALITY, "effort": derivatives.PUBLIC_METHOD}
            smaller.webpsave(str(out / f"{path.stem}-{width}.webp"), strip=True, **effort)


def by_stage(  # noqa: PLR0917  one for each thing that is compared
    paths: list[Path],
    cache: Path,
    public: bool = False,
    workers: int = 1,
    describe: Describe | None = DESCRIBE,
    avif: bool = False,
) -> None:
    jobs = [ImageJob(path.name, Role.PHOTO, public, avif) for path in paths]
    results = stage.read_pictures(jobs, paths[0].parent, Cache(cache), workers, Silent(), describe)
    for path, result in results.items():
        if not result.facts:
            raise SystemExit(f"{path}: {result.findings[0]}")


def peak_mb(folder: Path, cache: Path, workers: int) -> float:
    """Run the stage in a new process, and give the most memory it had resident (its own high-water mark in Linux)."""
    code = (
        "import sys; from pathlib import Path; from tests.bench.bench_images import by_stage;"
        "folder, cache, workers = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]);"
        "by_stage(sorted(folder.iterdir()), cache, True, workers); print(Path('/proc/self/status').read_text())"
    )
    command = [sys.executable, "-c", code, str(folder), str(cache), str(workers)]
    shown = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    return int(shown.split("VmHWM:")[1].split()[0]) / 1024


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("photos", type=int, nargs="?", default=40)
    options.add_argument("--memory-photos", type=int, default=120, help="photos of the memory run")
    arguments = options.parse_args()
    os.environ["VIPS_CONCURRENCY"] = "1"
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    with tempfile.TemporaryDirectory() as made:
        folder, out = Path(made) / "photos", Path(made)
        folder.mkdir()
        for number in range(arguments.photos):
            draw(folder, number)
        paths = sorted(folder.iterdir())
        weight = sum(path.stat().st_size for path in paths) / len(paths) / 1e6
        print(f"{len(paths)} photos of {SIZE[0]} x {SIZE[1]}, {weight:.1f} MB each; one core, processor ms per photo")
        report(paths, out)
    memory(arguments.memory_photos)


def report(paths: list[Path], out: Path) -> None:
    """Print times; the methods take turns over three rounds, and each one's best counts."""
    wide = out / "p3"
    wide.mkdir()
    for number in range(len(paths)):
        draw(wide, number, matrix_profile(P3_COLORANTS))
    methods = {
        "(a) half-scale decode alone": lambda _: [half_scale(path) for path in paths],
        "(b) libvips, three JPEGs": lambda _: [by_libvips(path, out) for path in paths],
        "(b) libvips, three JPEGs, three WebPs": lambda _: [by_libvips(path, out, public=True) for path in paths],
        "stage, private, not described": lambda turn: by_stage(paths, out / f"bare{turn}", describe=None),
        "stage, private copies": lambda turn: by_stage(paths, out / f"private{turn}"),
        "stage, public WebP too": lambda turn: by_stage(paths, out / f"public{turn}", True),
        "stage, public WebP and AVIF": lambda turn: by_stage(paths, out / f"avif{turn}", True, avif=True),
        "stage, Display P3, private": lambda turn: by_stage(sorted(wide.iterdir()), out / f"wide{turn}"),
        "(b) libvips, Display P3": lambda _: [by_libvips(path, out, "srgb") for path in sorted(wide.iterdir())],
    }
    by_stage(paths[:1], out / "warm")
    best = dict.fromkeys(methods, float("inf"))
    for turn in range(3):
        for name, method in methods.items():
            start = time.process_time()
            method(turn)
            best[name] = min(best[name], (time.process_time() - start) / len(paths) * 1000)
    floor = best["(a) half-scale decode alone"]
    for name, spent in best.items():
        print(f"  {name:38} {spent:7.1f}   {spent / floor:5.2f} x (a)")


def memory(count: int) -> None:
    print(f"peak resident memory, two workers, public copies too, {count} photos:")
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made) / "photos"
        folder.mkdir()
        for number in range(min(count, 10)):
            draw(folder, number)
        for number in range(10, count):
            # A byte of its own makes every copy a picture of its own for the cache.
            (folder / f"{number:04}.jpg").write_bytes(
                (folder / f"{number % 10:04}.jpg").read_bytes() + bytes([0] * number)
            )
        if hasattr(os, "sched_setaffinity"):
            os.sched_setaffinity(0, range(os.cpu_count() or 1))
        print(f"  {count} JPEG photos        {peak_mb(folder, Path(made) / 'cache', 2):6.0f} MB")
        worst = Path(made) / "worst"
        worst.mkdir()
        large_pictures(worst)
        for path in sorted(worst.iterdir()):
            alone = Path(made) / path.stem
            alone.mkdir()
            path.rename(alone / path.name)
            print(f"  {path.name:24} {peak_mb(alone, Path(made) / f'{path.stem}-cache', 2):6.0f} MB")
        both = Path(made) / "together"
        both.mkdir()
        for path in Path(made).glob("large-*/large-*"):
            path.rename(both / path.name)
        print(f"  all of these together    {peak_mb(both, Path(made) / 'both-cache', 2):6.0f} MB")


def large_pictures(folder: Path) -> None:
    """Write the largest pictures that phones, cameras and scanners make."""
    tile = Image.fromarray(data.astronaut())

    def tiled(width: int, height: int) -> Image.Image:
        return Image.fromarray(np.tile(np.asarray(tile), (height // 512 + 1, width // 512 + 1, 1))[:height, :width])

    tiled(8064, 6048).save(folder / "large-phone-48.heic", quality=60)
    tiled(5712, 4284).save(folder / "large-phone-24.avif", quality=60, speed=10)
    tiled(16320, 12240).save(folder / "large-phone-200.jpg", quality=80)
    tiled(8736, 5856).save(folder / "large-camera-51.jpg", quality=80, progressive=True)
    tiled(7016, 9921).save(folder / "large-a3-600dpi.png", compress_level=1)
    tiled(4961, 7016).save(folder / "large-a4-600dpi.tif", compression="tiff_lzw")


if __name__ == "__main__":
    main()
