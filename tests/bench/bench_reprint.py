"""Time and weigh printed stencils; run by hand: python -m tests.bench.bench_reprint [MOTIF ...].

With `--widths 60` so many random jobs of every kind of file are printed and measured by poppler.

Every figure is a ratio or stands beside the floor it is to be read against (starting Python and Pillow), because
machines differ. A process is started anew for each whole-command figure, as the artist does.
"""

import datetime as dt
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from archgen.config import PrinterSettings
from archgen.printing.stencil_pdf import write
from archgen.printing.stencil_plan import ReprintJob, StencilPrint, make_plan
from archgen.stencils.marks import read_marks
from tests.bench import print_width
from tests.demo.drawing import motif
from tests.demo.raster import stencil

RUNS = 5
COMMAND = """
import datetime as dt, sys
from pathlib import Path
from archgen.config import Printer
from archgen.stencils.marks import read_marks
from archgen.printing.stencil_pdf import write
from archgen.printing.stencil_plan import ReprintJob, Stencil, make_plan
stencil = Stencil(read_marks(Path(sys.argv[1])), width_mm=float(sys.argv[2]))
job = ReprintJob("Bench", (stencil,), Printer(), dt.date(2026, 3, 14))
Path(sys.argv[3]).write_bytes(write(make_plan(job)))
"""


def best(act):
    """Give the best of several runs: the others measure the neighbours."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        act()
        times.append(time.perf_counter() - start)
    return min(times)


def python(*arguments):
    subprocess.run([sys.executable, *arguments], check=True)


def in_process(marks, **size):
    job = ReprintJob("Bench", (StencilPrint(marks, **size),), PrinterSettings(), dt.date(2026, 3, 14))
    return write(make_plan(job))


def one_motif(name, floor, folder):
    picture, out = folder / f"{name}.png", folder / "out.pdf"
    stencil(motif(name, width_mm=90), dpi=600).save(picture)
    whole = best(lambda: python("-c", COMMAND, picture, "90", out))
    marks = read_marks(picture)
    one = best(lambda: in_process(marks, width_mm=90))
    few = len(in_process(marks, width_mm=5))
    print(
        f"{name:12} 90 x {90 * marks.height_px / marks.width_px:.0f} mm: start to PDF {whole:.3f} s "
        f"({whole / floor:.1f} x floor), of it making the sheet {one:.3f} s; {out.stat().st_size / 1000:.1f} kB, "
        f"of it {few / 1000:.1f} kB words and rules"
    )
    return marks


def tiles(marks):
    """Print the same dots on one sheet and on many: the difference is the tiles' own cost."""
    job = ReprintJob("Bench", (StencilPrint(marks, width_mm=90),), PrinterSettings(), dt.date(2026, 3, 14))
    plain, tiled = make_plan(job), make_plan(replace(job, paper="75 x 90 mm"))
    seconds = best(lambda: write(plain)), best(lambda: write(tiled))
    print(
        f"the same dots on 1 sheet {seconds[0]:.3f} s, on {len(tiled.pages)} sheets {seconds[1]:.3f} s: "
        f"{(seconds[1] - seconds[0]) / (len(tiled.pages) - 1) * 9:.3f} s for nine tiles"
    )


def widths(count, seed=1):
    """Print random jobs and say how far they are off."""
    with tempfile.TemporaryDirectory() as folder:
        place, worst, dots = Path(folder), {}, 0.0
        for kind, dpi, width_mm, factor, known in print_width.jobs(count, seed):
            path = print_width.save(known, kind, place, px=round(width_mm / 25.4 * max(dpi, 300)))
            data = print_width.printed(path, width_mm, dpi, factor)
            width, scale = print_width.errors_mm("pdftoppm", data, place / "out.pdf", width_mm, factor)
            worst[kind] = max(worst.get(kind, 0.0), abs(width))
            dots = max(dots, abs(scale) * dpi / 25.4)
    for kind, off in worst.items():
        print(f"{kind:12} width off by at most {off:.3f} mm")
    print(
        f"{count} jobs: width off by at most {max(worst.values()):.3f} mm; scale by at most {dots:.2f} dots of the head"
    )


def main(names):
    if names[:1] == ["--widths"]:
        widths(int(names[1]), *map(int, names[2:]))
        return
    floor = best(lambda: python("-c", "import PIL.Image, numpy"))
    print(f"floor: Python with Pillow and numpy {floor:.3f} s")
    with tempfile.TemporaryDirectory() as folder:
        for name in names:
            marks = one_motif(name, floor, Path(folder))
    tiles(marks)


if __name__ == "__main__":
    main(sys.argv[1:] or ["moon", "boat", "koi", "owl"])
