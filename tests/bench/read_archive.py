"""Time reading an archive of many pieces: ``python -m tests.bench.read_archive [PIECES]``.

Prints the processor time, and its ratio to reading and parsing the same files with the standard library alone.
"""

import sys
import tempfile
import time
import tomllib
from pathlib import Path

from archgen.records.reader import read_archive

RECORD = """\
title = "Barn owl {n}"   # as the client calls it
publish = true
finished = 2026-03-14
styles = ["black-and-grey", "micro-portrait"]
subjects = ["owl", "bird"]
client = "C-{client:04}"

[size]
width = "62 mm"
height = '2 1/2 in'

[placement]
region = "outer forearm"
side = "left"
girth = "268 mm"

[[sitting]]
date = 2026-03-14
hours = "3h30"
note = "skin slow to take"

[[healing]]
date = 2026-04-20
note = "settled well"

[[needle]]
code = "1003RL"
use = "whiskers"
batch = "N-88213"
expiry = 2028-05-31

[[needle]]
code = "9 round liner bugpin"

[[ink]]
batch = "GW2-2231"

[[reference]]
file = "references/owl.jpg"
source = "https://example.org/owl"
creator = "A. Sample"
license = "CC-BY-4.0"

[[reference]]
source = "https://example.org/owl-2"
license = "own-work"

[[stencil]]
file = "stencils/owl-1.png"
version = 1
width = "62 mm"
applied = true
from = ["references/owl.jpg"]

[[photo]]
file = "photos/owl-fresh.jpg"
stage = "fresh"
alt = "Barn owl on an outer forearm"

[[photo]]
file = "photos/owl-healed.jpg"
stage = "healed"
cover = true

[release]
status = "granted"
scope = ["portfolio", "print"]
date = 2026-03-14
"""


def write_archive(root: Path, pieces: int) -> None:
    (root / "inks.toml").write_text('[[batch]]\nbatch = "GW2-2231"\nname = "grey wash 2"\n')
    (root / "clients.toml").write_text("".join(f'[[client]]\ncode = "C-{n:04}"\n' for n in range(pieces // 3 + 1)))
    for n in range(pieces):
        folder = root / "pieces" / f"piece-{n}"
        for file in ("photos/owl-fresh.jpg", "photos/owl-healed.jpg", "stencils/owl-1.png", "references/owl.jpg"):
            (folder / file).parent.mkdir(parents=True, exist_ok=True)
            (folder / file).touch()
        (folder / "piece.toml").write_text(RECORD.format(n=n, client=n // 3))
        (folder / "notes.md").write_text("Left the whiskers one pass only.\n")


def main() -> None:
    pieces = int(sys.argv[1]) if len(sys.argv) > 1 else 6000
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        write_archive(root, pieces)
        start = time.process_time()
        for path in sorted(root.glob("pieces/*/piece.toml")):
            tomllib.loads(path.read_text())
        floor = time.process_time() - start
        start = time.process_time()
        archive = read_archive(root)
        took = time.process_time() - start
    print(f"{len(archive.pieces)} pieces, {len(archive.findings)} findings")
    print(f"read_archive {took:.2f} s, tomllib alone {floor:.2f} s, ratio {took / floor:.2f}")


if __name__ == "__main__":
    main()
