"""Time the rules over a large archive, and the search for leaks against a plain search of the same bytes.

Run by hand: python -m tests.bench.bench_audit FOLDER, where FOLDER is a finished portfolio. The plain search is one
compiled alternation of all values over every file's bytes; both read the files anew. Aim: rules over 6,000 pieces with
12,000 references within two seconds, the search for leaks at no less than half the speed of the plain one.
"""

import re
import sys
import tempfile
import time
from pathlib import Path

import msgspec

from archgen.audit.leaks import find_leaks
from archgen.audit.private_values import PrivateValue
from archgen.audit.runner import run_rules
from archgen.records import model
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
        seconds = timed(lambda: run_rules(catalogue))
    print(f"rules: {PIECES} pieces, {2 * PIECES} references in {seconds:.2f} s")


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
    if len(sys.argv) > 1:
        leaks(Path(sys.argv[1]))
