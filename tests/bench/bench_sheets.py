"""Time case sheets and watch the memory: run by hand with ``python -m tests.bench.bench_sheets [COUNT]``."""

import resource
import sys
import tempfile
import time
from pathlib import Path

from archgen.outputs.sheets.case_sheet import CaseSheets
from archgen.pieces.survey import survey
from tests.builders import make_catalogue, make_piece


def main(count: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        pieces = [make_piece(f"2026-03-14-owl-{number}") for number in range(count)]
        catalogue = make_catalogue(Path(folder), *pieces)
        sheets = list(CaseSheets(survey(catalogue), Path(folder) / "blobs").artifacts())
        for sheet in sheets[:10]:  # reads the fonts and fills typst's own memory
            sheet.make()
        first = peak_mb()
        started = time.process_time()
        for sheet in sheets[10:]:
            sheet.make()
        count -= 10
        each = (time.process_time() - started) / count * 1000
        print(f"{each:.0f} ms of processor time per sheet, {(peak_mb() - first) / count:.2f} MB more per sheet")


def peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 60)
