"""How long the commands an artist waits for take from start to file, beside a bare start of the interpreter.

python -m tests.bench.bench_commands [ARCHIVE] [PIECE]
"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 7


def seconds(*command):
    """Give the best of some rounds: the others waited for something else."""
    best = float("inf")
    for _ in range(ROUNDS):
        started = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        best = min(best, time.perf_counter() - started)
    return best


def main():
    archive, piece = (*sys.argv[1:], *("content", "2025-08-30-koi")[len(sys.argv) - 1 :])
    bare = seconds(sys.executable, "-c", "pass")
    print(f"{'interpreter alone':28s} {bare:.2f} s")
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder, "print.pdf")
        run = (sys.executable, "-m", "archgen")
        for name, words in (
            ("reprint, 90 mm", ("reprint", piece, "--width", "90mm", "--out", str(out))),
            ("reprint, tiled, 450 mm", ("reprint", piece, "--width", "450mm", "--out", str(out))),
            ("reprint, dry run", ("reprint", piece, "--width", "90mm", "--plan")),
            ("ruler", ("ruler", "--out", str(out))),
            ("gauge", ("gauge", piece)),
        ):
            taken = seconds(*run, *words, "--archive", archive)
            size = f"{out.stat().st_size / 1000:.0f} kB" if out.exists() and "--out" in words else ""
            print(f"{name:28s} {taken:.2f} s  {taken / bare:4.0f} times  {size}")


if __name__ == "__main__":
    main()
