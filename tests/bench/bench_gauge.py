"""Time the gauge and measure its accuracy; run by hand: python -m tests.bench.bench_gauge --seed 0.

Times are those of the processor, and stand beside SciPy's distance transform of the same page, which every method of
this kind must take twice.
"""

import argparse
import time

import numpy as np
from PIL import Image
from scipy import ndimage

from archgen.stencils.stroke_width import at_widths, measure
from tests.demo.drawing import motif
from tests.demo.raster import stencil
from tests.drawn_lines import line_field, marks_of

PAGE = (2480, 3508)  # A4 at 300 dpi
WIDTHS_MM = {"koi": 150, "owl": 165, "snake": 140}


def errors(dpi, seed, *, gaps, one_bit):
    rng = np.random.default_rng(seed)
    widths = rng.uniform(0.2, 2.0, 60) if gaps else rng.uniform(0.15, 1.3, 60)
    gray, k, truth = line_field(dpi, widths, seed=seed, gaps=gaps, length_mm=7)
    if one_bit:
        gray = np.where(gray >= 128, 255, 0).astype(np.uint8)
    marks = marks_of(gray)
    seen = measure(marks, marks.width_px / k).measured
    ridge = seen.gaps if gaps else seen.strokes
    found = []
    for x, y, width in truth:
        near = np.hypot(ridge.x - (x - marks.box[0]), ridge.y - (y - marks.box[1])) < 3 * k
        inside = near & (ridge.width < width * 1.5 * k)
        found.append(np.median(ridge.width[inside]) / k - width if inside.any() else np.inf)
    return np.array(found)


def page(name):
    drawn = stencil(motif(name, width_mm=WIDTHS_MM[name]), dpi=300)
    sheet = Image.new("L", PAGE, 255)
    sheet.paste(drawn, ((PAGE[0] - drawn.width) // 2, (PAGE[1] - drawn.height) // 2))
    return sheet


def main():
    parser = argparse.ArgumentParser(description="Time the gauge and measure its accuracy.")
    parser.add_argument("--seed", type=int, default=0, help="of the first of three drawings of each kind")
    seeds = range(parser.parse_args().seed, parser.parse_args().seed + 3)
    for dpi in (600, 300):
        for gaps in (False, True):
            for one_bit in (False, True):
                all_errors = np.concatenate([errors(dpi, seed, gaps=gaps, one_bit=one_bit) for seed in seeds])
                what = f"{dpi} dpi {'1-bit' if one_bit else 'gray '} {'gaps ' if gaps else 'lines'}"
                print(
                    f"{what}: bias {all_errors.mean():+.4f}, rms {np.sqrt((all_errors**2).mean()):.4f}, "
                    f"worst of {len(all_errors)} {np.abs(all_errors).max():.4f} mm"
                )
    for name in ("koi", "owl", "snake"):
        sheet = page(name)
        dark = np.asarray(sheet) < 128
        start = time.process_time()
        ndimage.distance_transform_edt(dark)
        ndimage.distance_transform_edt(~dark)
        floor = time.process_time() - start
        marks = marks_of(sheet)
        start = time.process_time()
        gauge = measure(marks, marks.width_px / 300 * 25.4)
        whole = time.process_time() - start
        start = time.process_time()
        at_widths(gauge, (40, 60, 80))
        print(
            f"A4 at 300 dpi, {name}: {whole:.2f} s, {whole / floor:.1f} x two distance transforms ({floor:.2f} s), "
            f"table of three widths {time.process_time() - start:.2f} s more"
        )


if __name__ == "__main__":
    main()
