"""Do harm to builds and count what comes of it: python -m tests.bench.bench_faults --kills 9 --pictures 999 --draws 9.

Kills: the program is killed at random instants of a build after a change; after the next start all folders must be of
one state and the originals untouched. Pictures: files of eight kinds with bytes changed at random; each must be facts
or one finding. Draws: what a kept child process costs beside drawing in this process.
"""

import argparse
import json
import random
import resource
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.stencils.stencil_file import open_vector
from archgen.stencils.vector import page as vector_page
from archgen.stencils.vector.area import read_sheet
from archgen.storage.cache import Cache
from archgen.storage.staging import finish_stopped_swap
from tests.cli.full_archive import fingerprint, write_archive
from tests.unit.images.pictures import encoded, photo

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297">'
    + "".join(
        f'<path d="M{10 + n} {20 + n} q 30 {n} 60 0 t 60 40" fill="none" stroke="#000" stroke-width=".4"/>'
        for n in range(60)
    )
    + "</svg>"
)


def count_kills(number: int, seed: int) -> dict[str, int]:
    """Kill builds at random instants."""
    chance, counts = random.Random(seed), {"kills": 0, "mixed": 0, "torn": 0, "touched": 0, "next build failed": 0}
    with tempfile.TemporaryDirectory() as folder:
        root, out = write_archive(Path(folder, "content")), Path(folder, "built")
        command = [sys.executable, "-m", "archgen", "build", "--archive", str(root), "--out", str(out), "--jobs", "1"]
        began = time.monotonic()
        subprocess.run(command, capture_output=True, check=False)
        length = time.monotonic() - began
        for turn in range(number):
            title = f"Owl number {turn}"
            record = root / "pieces/2026-03-14-barn-owl/piece.toml"
            text = record.read_text().splitlines()
            text[1] = f'title = "{title}"'
            record.write_text("\n".join(text) + "\n")
            before = fingerprint(root)
            with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as build:
                try:
                    build.wait(chance.uniform(0.2, 0.6) * length)
                except subprocess.TimeoutExpired:
                    build.send_signal(signal.SIGKILL)
                    counts["kills"] += 1
            finish_stopped_swap(out)
            pages = [out / "archive/index.html", *out.glob("portfolio/index.html")]
            news = {title in page.read_text() for page in pages if page.is_file()}
            counts["mixed"] += len(news) != 1
            counts["touched"] += fingerprint(root) != before
            code = subprocess.run(command, capture_output=True, check=False).returncode
            counts["next build failed"] += code not in (0, 1)
            counts["torn"] += title not in (out / "archive/index.html").read_text()
    return counts


def count_pictures(number: int, seed: int) -> dict[str, float]:
    """Read pictures with bytes changed."""
    chance = random.Random(seed)
    kinds = {"jpg": "JPEG", "png": "PNG", "webp": "WEBP", "tif": "TIFF", "gif": "GIF", "avif": "AVIF", "heic": "HEIF"}
    sound = {ending: encoded(photo(160, 120), kind) for ending, kind in kinds.items()} | {"svg": SVG.encode()}
    counts: dict[str, float] = {"read": 0, "facts": 0, "found": 0, "neither": 0, "slowest s": 0}
    with tempfile.TemporaryDirectory() as folder:
        root, cache = Path(folder, "in"), Cache(Path(folder, "cache"))
        root.mkdir()
        for turn in range(number):
            ending = list(sound)[turn % len(sound)]
            raw = bytearray(sound[ending])
            for _ in range(chance.choice((1, 3, 20))):
                raw[chance.randrange(len(raw))] = chance.randrange(256)
            if chance.random() < 0.2:
                del raw[chance.randrange(len(raw)) :]
            name = f"{turn}.{ending}"
            (root / name).write_bytes(raw)
            began = time.monotonic()
            role = Role.STENCIL if ending == "svg" else chance.choice(list(Role))
            result = read_pictures([ImageJob(name, role)], root, cache, 1, Silent())[name]
            counts["slowest s"] = max(counts["slowest s"], round(time.monotonic() - began, 2))
            counts["read"] += 1
            counts["facts"] += result.facts is not None
            counts["found"] += bool(result.findings)
            counts["neither"] += result.facts is None and not result.findings
    counts["most MB"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    counts["most MB of a child"] = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024
    return counts


def compare_draws(number: int) -> dict[str, float]:
    """Draw an ordinary page in this process and in a child that is kept; processor time of both by the clock."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "page.svg")
        path.write_text(SVG)
        read_sheet(path)  # the child is there, and the libraries
        size = (2000, 2828)
        vector_page.draw_part(str(path), (0.0, 0.0), 2000.0, size)
        began = time.perf_counter()
        for _ in range(number):
            vector_page.draw_part(str(path), (0.0, 0.0), 2000.0, size)
        here = time.perf_counter() - began
        began = time.perf_counter()
        for _ in range(number):
            open_vector(path).part((0.0, 0.0), 2000.0, size)
        there = time.perf_counter() - began
    return {"here s": round(here / number, 3), "child s": round(there / number, 3), "ratio": round(there / here, 2)}


def main() -> None:
    """Print what was counted."""
    asked = argparse.ArgumentParser()
    for name, number in (("kills", 0), ("pictures", 0), ("draws", 0), ("seed", 1)):
        asked.add_argument(f"--{name}", type=int, default=number)
    given = asked.parse_args()
    if given.kills:
        print(json.dumps(count_kills(given.kills, given.seed)))
    if given.pictures:
        print(json.dumps(count_pictures(given.pictures, given.seed)))
    if given.draws:
        print(json.dumps(compare_draws(given.draws)))


if __name__ == "__main__":
    main()
