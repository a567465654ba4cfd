"""Time the rules over a large archive, and the search for leaks against a plain search of the same bytes.

Run by hand: python -m tests.bench.bench_audit FOLDER, where FOLDER is a finished portfolio. The plain search is one
compiled alternation of all values over every file's bytes; both read the files anew. Aim: rules over 6,000 pieces with
12,000 references within two seconds, the search for leaks at no less than half the speed of the plain one.
"""

import datetime as dt
import io
import re
import sys
import tempfile
import time
from pathlib import Path

import msgspec
from PIL import Image

from archgen.build import Options, audit_archive
from archgen.leaks.find import find_leaks
from archgen.leaks.values.exact import PrivateValue
from archgen.pieces.survey import survey
from archgen.progress import Silent
from archgen.records import model
from archgen.rules.runner import run_rules
from archgen.storage.build_folder import MARKER
from tests.builders import make_piece, make_record, paper_catalogue

PIECES, VALUES = 6000, 200


def timed(function):
    started = time.process_time()
    function()
    return time.process_time() - started


def rules():
    reference = make_record().reference[0]
    other = model.Reference(file="references/b.jpg", license="client-supplied")
    pieces = []
    for number in range(PIECES):
        own = msgspec.structs.replace(reference, source=f"https://example.org/{number}")
        pieces.append(make_piece(f"2026-03-14-piece-{number}", make_record(reference=(own, other))))
    with tempfile.TemporaryDirectory() as folder:
        catalogue = paper_catalogue(Path(folder), *pieces)
        surveyed = []
        before = timed(lambda: surveyed.append(survey(catalogue)))
        seconds = timed(lambda: run_rules(*surveyed))
    print(f"overviews: {PIECES} pieces in {before:.2f} s")
    print(f"rules: {PIECES} pieces, {2 * PIECES} references in {seconds:.2f} s")


PIECE = """title = "Owl {n}"
publish = true
finished = 2026-03-14
styles = ["black-and-grey"]
client = "C-{n:04}"
[size]
width = "62 mm"
height = "88 mm"
[placement]
region = "forearm-outer"
side = "left"
[[sitting]]
date = 2026-03-14
hours = "3h30"
[[needle]]
code = "1003RL"
batch = "N-{n}"
[[ink]]
name = "black"
batch = "BK-{n}"
[[reference]]
file = "references/a.jpg"
license = "CC-BY-4.0"
creator = "A. Sample"
[[reference]]
file = "references/b.jpg"
license = "client-supplied"
[[photo]]
file = "photos/c.jpg"
stage = "healed"
"""


def whole():
    """Time the whole command over a folder of so many pieces: first, and with everything remembered."""
    stream = io.BytesIO()
    Image.new("RGB", (64, 64), "tan").save(stream, "JPEG")
    with tempfile.TemporaryDirectory() as made:
        root, out = Path(made, "content"), Path(made, "build")
        out.mkdir()
        (out / MARKER).touch()
        for n in range(PIECES):
            folder = root / "pieces" / f"piece-{n}"
            for file in ("references/a.jpg", "references/b.jpg", "photos/c.jpg"):
                (folder / file).parent.mkdir(parents=True, exist_ok=True)
                (folder / file).write_bytes(stream.getvalue())
            (folder / "piece.toml").write_text(PIECE.format(n=n), "utf-8")
        time.sleep(3)  # files this young are not trusted by their time alone
        options = Options(1, dt.date(2026, 11, 25))
        first, again = (timed(lambda: audit_archive(root, out, options, Silent())) for _ in range(2))
        print(f"audit, whole command: first {first:.1f} s, again {again:.1f} s of processor time")


def leaks(folder):
    values = [PrivateValue("name", f"Anna{number} Sample{number}") for number in range(VALUES)]
    values += [PrivateValue("batch number", f"GW{number}-2231") for number in range(VALUES)]
    files = [path for path in folder.rglob("*") if path.is_file()]
    pattern = re.compile("|".join(re.escape(value.value) for value in values).encode(), re.IGNORECASE)
    plain = timed(lambda: [pattern.search(path.read_bytes()) for path in files])
    ours = timed(lambda: find_leaks(folder, values))
    size = sum(path.stat().st_size for path in files) / 1e6
    print(
        f"leaks: {len(files)} files, {size:.1f} MB: {ours:.2f} s; plain search {plain:.2f} s; ratio {plain / ours:.2f}"
    )


if __name__ == "__main__":
    rules()
    whole()
    if len(sys.argv) > 1:
        leaks(Path(sys.argv[1]))
