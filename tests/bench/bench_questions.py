"""Time the questions that are asked of an archive as it was read and checked before.

    python -m tests.bench.bench_questions FOLDER

FOLDER is as `big_archive` leaves it. Each question is asked once before, which remembers what it reads. Processor time,
user and system, of whole programs; the best of some rounds. Aim: a second each at 6,000 pieces.
"""

import sys
from pathlib import Path

from tests.bench.bench_again import ROUNDS, processor_seconds


def main():
    root, out = (Path(sys.argv[1], name) for name in ("content", "build"))
    for words, needs_build in (
        (("trace", "BK-0003"), True),
        (("twins", "--format", "jsonl"), True),
        (("audit", "--format", "json"), True),
        (("audit", "--piece", "piece-00001"), True),
        (("find", "moth"), True),
        (("reprint", "piece-00001", "--plan"), False),
    ):
        command = (sys.executable, "-m", "archgen", *words, "--archive", root, *(("--out", out) if needs_build else ()))
        first = processor_seconds(*command)
        again = min(processor_seconds(*command) for _ in range(ROUNDS))
        print(f"{' '.join(words):32} first {first:6.2f} s, again {again:.2f} s")


if __name__ == "__main__":
    main()
