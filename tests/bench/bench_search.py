"""The search of very many pieces: bytes of the index, time to the first answer, a keystroke to its painted answer.

python -m tests.bench.bench_search 10000

Titles, notes and sizes are invented; how often words come follows Zipf's law, as in written language. Times are of
Chromium with the pages opened from disk; beside them stands what the same browser takes to paint a row of text.
"""

import datetime as dt
import gzip
import shutil
import sys
import tempfile
import time
from pathlib import Path

import msgspec
import numpy as np
from playwright.sync_api import sync_playwright

from archgen.outputs.archive.search import INDEX
from archgen.outputs.archive.site import ArchiveSite
from archgen.pieces.survey import survey
from archgen.records.model import Length, Size
from tests.builders import make_catalogue, make_piece, make_record, paper_facts

SYLLABLES = ("ba", "len", "ro", "mis", "ta", "ku", "vor", "ne", "sil", "dra", "po", "fen", "ghi", "mar", "ul", "sten")
PLACES = ("forearm-inner", "forearm-outer", "calf", "ribs", "shoulder", "thigh-outer", "wrist-inner", "upper-back")
QUESTIONS = (
    "bale",
    "rotaku forearm",
    "58 mm",
    "feb 2021",
    "mis",
    "C-0012",
    "ulgh",
    "koi 9rl calf",
    "senlilba",
    "n-88213",
)
# From the key to the laid-out answers, then to the frame after; a frame comes every 16.7 ms at 60 in a second.
PAINTED = """
const painted = () => new Promise((done) => requestAnimationFrame(() => {
  const channel = new MessageChannel(); channel.port1.onmessage = done; channel.port2.postMessage(0);
}));
"""
TYPE = f"""
async (text) => {{
  {PAINTED}
  const box = document.getElementById("q"), times = [];
  for (let end = 1; end <= text.length; end += 1) {{
    const began = performance.now();
    box.value = text.slice(0, end);
    box.dispatchEvent(new Event("input", {{ bubbles: true }}));
    document.body.getBoundingClientRect();
    const laidOut = performance.now() - began;
    await painted();
    times.push([laidOut, performance.now() - began]);
    await new Promise((done) => setTimeout(done, 180));
  }}
  return times;
}}
"""
ROW = f"""
async () => {{
  {PAINTED}
  const began = performance.now(), row = document.createElement("p");
  row.textContent = "a row of text"; document.getElementById("answers").before(row);
  document.body.getBoundingClientRect();
  const laidOut = performance.now() - began;
  await painted();
  return [laidOut, performance.now() - began];
}}
"""


def pieces(number: int):
    """Invent pieces."""
    draw = np.random.default_rng(20261130)
    words = ["".join(draw.choice(SYLLABLES, draw.integers(2, 5))) for _ in range(6000)]
    weights = 1 / np.arange(1, len(words) + 1)
    weights /= weights.sum()
    for n in range(number):
        told = draw.choice(words, 70, p=weights)
        record = make_record(
            title=" ".join(told[:2]).capitalize(),
            subjects=tuple(told[2:4]),
            client=f"C-{n % (number // 3 + 1):04}",
            finished=dt.date(2006, 1, 1) + dt.timedelta(int(draw.integers(0, 7600))),
            size=Size(width=Length(draw.integers(25, 220)), height=Length(draw.integers(25, 260))),
        )
        placement = msgspec.structs.replace(record.placement, region=PLACES[n % len(PLACES)])
        record = msgspec.structs.replace(record, placement=placement)
        yield msgspec.structs.replace(make_piece(f"piece-{n}", record), notes=" ".join(told[4:]))


def write(number: int, folder: Path) -> None:
    """Write the pages that search and what they load."""
    catalogue = survey(make_catalogue(folder, *pieces(number), facts_of=paper_facts))
    began = time.process_time()
    site = list(ArchiveSite(catalogue, folder / "blobs", "..").artifacts())
    print(f"pages planned in {time.process_time() - began:.1f} s of processor time")
    for artifact in site:
        if artifact.make and artifact.path.startswith(("data/", "assets/", "index.html")):
            target = folder / "site" / artifact.path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(artifact.make())
        elif artifact.path.startswith("assets/"):
            target = folder / "site" / artifact.path
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(artifact.source, target)


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 10000
    with tempfile.TemporaryDirectory() as temporary, sync_playwright() as driver:
        folder = Path(temporary)
        write(number, folder)
        index = (folder / "site" / INDEX).read_bytes()
        print(f"index {len(index):,} bytes, {len(gzip.compress(index, 9)) / number:.0f} a piece gzipped (aim 300)")
        path = shutil.which("chromium-headless-shell") or shutil.which("chromium")
        chromium = driver.chromium.launch(
            executable_path=path, args=["--no-sandbox", "--disable-background-networking"]
        )
        page = chromium.new_page()
        page.goto((folder / "site" / "index.html").as_uri())
        first = page.evaluate("""async () => {
          const began = performance.now(), box = document.getElementById("q");
          box.focus(); box.value = "bale"; box.dispatchEvent(new Event("input", { bubbles: true }));
          while (!document.querySelector(".answer")) { await new Promise((done) => setTimeout(done, 1)); }
          return performance.now() - began;
        }""")
        print(f"index loaded and first answer painted: {first:.0f} ms (aim 300)")
        row = np.median([page.evaluate(ROW) for _ in range(20)], axis=0)
        times = np.array([one for question in QUESTIONS for one in page.evaluate(TYPE, question)])
        for what, taken, one in (("laid out", times[:, 0], row[0]), ("painted", times[:, 1], row[1])):
            worst = np.percentile(taken, 95)
            said = f"median {np.median(taken):.1f} ms, p95 {worst:.1f} ms, worst {max(taken):.1f} ms"
            print(f"keystroke to {what}: {said}; one row of text: {one:.1f} ms")
        typed = [question[:end] for question in QUESTIONS for end in range(1, len(question) + 1)]
        slowest = sorted(zip(times[:, 0], typed, strict=True), reverse=True)[:6]
        print("slowest: " + ", ".join(f"{text!r} {taken:.1f} ms" for taken, text in slowest))
        chromium.close()


if __name__ == "__main__":
    main()
