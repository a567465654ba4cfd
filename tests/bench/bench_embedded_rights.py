"""Time the reading of embedded rights against the whole image stage, in one run.

python -m tests.bench.bench_embedded_rights

References of 12 million pixels with a full XMP packet, IIM and Exif; aim: less than a tenth of the stage's time.
"""

import statistics
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

from archgen.images.decode import open_picture
from archgen.metadata.embedded_rights import read_rights
from archgen.metadata.rights_writing import OwnRights, mark
from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.storage.cache import Cache

ROUNDS = 5
FORMS = {"jpg": "JPEG", "webp": "WEBP"}


def picture(path: Path, form: str, size: tuple[int, int]) -> None:
    noise = np.random.default_rng(1).integers(0, 255, (size[1] // 8, size[0] // 8, 3), np.uint8)
    Image.fromarray(noise).resize(size).save(path, form, quality=85)
    marks = OwnRights("A. Sample", "© A. Sample", "A. Sample", "https://example.org/rights", "https://example.org/buy")
    path.write_bytes(mark(path.read_bytes(), marks))


def seconds(work) -> float:
    started = time.process_time()
    work()
    return time.process_time() - started


def read_alone(path: Path) -> float:
    with open_picture(path) as opened:
        return seconds(lambda: read_rights(opened))


def through_the_stage(folder: Path, name: str, number: int) -> float:
    cache = Cache(folder.parent / f"cache-{number}-{name}")
    return seconds(lambda: read_pictures([ImageJob(name, Role.REFERENCE)], folder, cache, 1, Silent()))


def run(folder: Path) -> None:
    for ending, form in FORMS.items():
        for size in ((4000, 3000), (1200, 900)):
            name = f"{size[0]}.{ending}"
            picture(folder / name, form, size)
            rights = statistics.median(read_alone(folder / name) for _ in range(ROUNDS))
            stage = statistics.median(through_the_stage(folder, name, number) for number in range(ROUNDS))
            print(f"{name:10} stage {1000 * stage:7.1f} ms  rights {1000 * rights:5.2f} ms  share {rights / stage:.3f}")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        inside = Path(made) / "in"
        inside.mkdir()
        run(inside)
