"""Time the first build of an archive beside decoding its photos: python -m tests.bench.bench_cold FOLDER [PIECES].

Draws pieces with five photos of 12 megapixels (as `bench_images` does) and one stencil of the demo each; a third of
them may be published. The measure is the photos' decoding at half scale on two cores. Seconds on the clock and of the
processor, and what each stage takes of the processor.
"""

import resource
import shutil
import sys
import time
from contextlib import contextmanager
from pathlib import Path

from archgen.build import Options, build
from archgen.progress import Silent
from tests.bench.bench_images import draw, half_scale
from tests.bench.many_pieces import SETTINGS, write_piece

PHOTOS = ("fresh", "healed", "later", "side", "light")
DEMO = Path(__file__).resolve().parents[2] / "content/pieces"


def write_archive(root: Path, pieces: int) -> None:
    stencils = sorted(DEMO.glob("*/stencils/*.png"))
    (root / "pieces").mkdir(parents=True)
    (root / "archive.toml").write_text(SETTINGS, "utf-8")
    for n in range(pieces):
        folder = root / "pieces" / f"piece-{n:05}"
        write_piece(folder, n)
        for drawn in folder.glob("*/*.*"):
            drawn.unlink()
        record = (folder / "piece.toml").read_text("utf-8")
        (folder / "piece.toml").write_text(record.replace('file = "stencils/one.png"\nversion = 1\n[[stencil]]\n', ""))
        shutil.copy(stencils[n % len(stencils)], folder / "stencils/two.png")
        for number, name in enumerate(PHOTOS):
            draw(folder / "photos", n * len(PHOTOS) + number)
            (folder / f"photos/{n * len(PHOTOS) + number:04}.jpg").rename(folder / f"photos/{name}.jpg")


class Stages(Silent):
    """Note the processor time of each stage that tells of its progress; what is begun ahead counts where it runs."""

    def __init__(self):
        self.taken = {}

    def track(self, items, total, what):  # noqa: ARG002
        began = time.process_time()
        yield from items
        self.taken[what] = time.process_time() - began

    def counter(self, what):
        return self._counted(what)

    @contextmanager
    def _counted(self, what):
        began = time.process_time()
        yield lambda _done, _total: None
        self.taken[what] = time.process_time() - began


def children_seconds():
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def main(folder, pieces):
    root, out = folder / "content", folder / "build"
    if not root.exists():
        write_archive(root, pieces)
    shutil.rmtree(out, ignore_errors=True)
    photos = sorted(root.glob("pieces/*/photos/*.jpg"))
    half_scale(photos[0])
    began = time.process_time()
    for photo in photos[:20]:
        half_scale(photo)
    floor = (time.process_time() - began) / min(20, len(photos)) * len(photos) / 2
    stages, clock, processor, children = Stages(), time.perf_counter(), time.process_time(), children_seconds()
    build(root, out, Options(2), stages)
    clock, processor = time.perf_counter() - clock, time.process_time() - processor
    print(f"{pieces} pieces, {len(photos)} photos: {clock:.1f} s on the clock, {clock / floor:.1f} times the photos' "
          f"decoding on two cores ({floor:.2f} s); {processor:.1f} s of the processor, half of it "
          f"{processor / 2 / floor:.1f} times; in child processes {children_seconds() - children:.1f} s")  # fmt: skip
    for what, taken in stages.taken.items():
        print(f"  {what:28} {taken:6.2f} s of the processor")


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 20)
