"""Time how long a saved record takes to stand in the pages under `archgen build --watch`.

    python -m tests.bench.bench_watch CONTENT FOLDER [TURNS]

CONTENT is an archive; it is copied into FOLDER once and built there. In each turn the title of another piece is
changed, as an editor saves it, in one step. Seconds on the clock until the piece's page has it, and processor time of
the watch.
"""

import os
import shutil
import statistics
import subprocess
import sys
import time
from pathlib import Path

from tests.bench.bench_again import change_title

LOOK_EVERY = 0.005
LONGEST = 120.0


def processor_seconds(process):
    fields = Path(f"/proc/{process.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def wait_for(is_true):
    began = time.perf_counter()
    while not is_true():
        if time.perf_counter() - began > LONGEST:
            raise TimeoutError
        time.sleep(LOOK_EVERY)
    return time.perf_counter() - began


def is_in(page, words):
    try:
        return words in page.read_text("utf-8")
    except OSError:  # just being swapped
        return False


def turn(process, out, record):
    page = out / f"archive/pieces/{record.parent.name}.html"
    used = processor_seconds(process)
    change_title(record)
    words = record.read_text("utf-8").partition("\n")[0].partition('"')[2].rstrip('"')
    clock = wait_for(lambda: is_in(page, words))
    time.sleep(1)  # what it does after the swap
    return clock, processor_seconds(process) - used


def main(content, folder, turns):
    root, out = folder / "content", folder / "build"
    if not root.exists():
        shutil.copytree(content, root)
    command = [sys.executable, "-m", "archgen", "build", "--archive", root, "--out", out]
    subprocess.run(command, check=False, capture_output=True)
    said = folder / "watch.txt"
    with said.open("w") as screen, subprocess.Popen([*command, "--watch"], stderr=screen, stdout=screen) as process:
        try:
            wait_for(lambda: "Waiting for changes" in said.read_text())
            time.sleep(2.5)
            pages = out / "archive/pieces"
            records = [
                r for r in sorted(root.glob("pieces/*/piece.toml")) if (pages / f"{r.parent.name}.html").is_file()
            ]
            results = [turn(process, out, records[number * 7 % len(records)]) for number in range(turns)]
        finally:
            process.terminate()
    clocks, used = zip(*results, strict=True)
    print(f"{len(records)} pieces, {turns} changed titles: {statistics.median(clocks):.2f} s on the clock "
          f"({min(clocks):.2f} to {max(clocks):.2f}), {statistics.median(used):.2f} s of processor time")  # fmt: skip


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 8)
