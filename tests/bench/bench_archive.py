"""Weigh the private archive of many pieces: what the home page and its script weigh beside those of few.

python -m tests.bench.bench_archive 2000
"""

import datetime as dt
import sys
import tempfile
import time
from pathlib import Path

import msgspec

from archgen.outputs.archive.lists import CARDS_PER_PAGE
from archgen.outputs.archive.site import ArchiveSite
from archgen.pieces.survey import survey
from tests.builders import make_catalogue, make_piece, make_record, paper_facts

WORDS = ("owl", "moth", "fern", "koi", "peony", "swallow", "branch", "feather", "moon", "lighthouse", "ornament")


def many(number: int):
    for n in range(number):
        record = make_record(
            title=f"{WORDS[n % 11].capitalize()} and {WORDS[n * 7 % 11]} {n}",
            client=f"C-{n % (number // 3 + 1):04}",
            finished=dt.date(2010 + n % 16, 1 + n % 12, 1 + n % 28),
        )
        notes = " ".join(WORDS[(n * k) % 11] + str(n % (k + 2)) for k in range(60))
        yield msgspec.structs.replace(make_piece(f"piece-{n}", record), notes=notes)


def weigh(number: int) -> dict[str, int]:
    """Make the site of so many pieces and give the bytes of its parts and the microseconds per page."""
    with tempfile.TemporaryDirectory() as folder:
        catalogue = survey(make_catalogue(Path(folder), *many(number), facts_of=paper_facts))
        started = time.perf_counter()
        made = {a.path: len(a.make()) for a in ArchiveSite(catalogue, Path(folder), "..").artifacts() if a.make}
        seconds = time.perf_counter() - started
    return {
        "home page": made["index.html"],
        "its script": next(size for path, size in made.items() if path.startswith("data/pieces")),
        "stencils page": made["stencils.html"],
        "a piece's page": max(size for path, size in made.items() if path.startswith("pieces/")),
        "plain list": made["list.html"],
        "µs per page": round(seconds * 1e6 / len(made)),
    }


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    few, lots = weigh(CARDS_PER_PAGE), weigh(count)
    print(f"{'':16}{CARDS_PER_PAGE:>12}{count:>12}{'ratio':>9}")
    for part, size in lots.items():
        print(f"{part:16}{few[part]:12,}{size:12,}{size / few[part]:9.2f}")
