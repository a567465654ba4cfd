"""Measure how near stencils lie to their true place on photos of skin: found by lines alone, and by two taps; by hand.

    python -m tests.bench.bench_laying [--seed 9] [--pictures 40]

Draws phone photos of the tattoos of many pieces (tests/bench/like_pictures.py; needs Debian's openclipart-png). Told is
the error under which nine tenths of the stencil's points stay, in mm at printed size; taps are off by 0.25 mm on the
drawing and 0.4 mm on the photo, along each axis.
"""

import argparse
import warnings
from collections import defaultdict

import numpy as np
from PIL import Image

from archgen.laying.among import find_among, know, photo_field
from archgen.laying.lay import lay_by_taps
from archgen.laying.line_map import SIDE, find_lines
from archgen.laying.pose import Doubles, Pose
from tests.bench.drawn_archive import PPM, DrawnPiece, plan_pieces
from tests.bench.like_pictures import Kind, shown, stencil_of

_KINDS = (Kind.FRESH, Kind.HEALED, Kind.IN_PROGRESS)
_TAP_MM = (0.25, 0.4)
_LEAST_POINTS = 40


def errors(piece: DrawnPiece, kind: Kind, seed: int) -> tuple[float, float] | None:
    """Give the errors by lines alone and by two taps; None where too little can be seen."""
    picture, stencil = shown(piece, kind, seed), stencil_of(piece)
    seen = np.isfinite(picture.places[:, 0])
    if seen.sum() < _LEAST_POINTS:
        return None
    drawing, photo = find_lines(stencil), find_lines(picture.picture)
    on_map, on_photo = PPM * SIDE / max(stencil.size), SIDE / max(picture.picture.size)
    points = (picture.stencil_mm[seen] * on_map).astype(np.float64)
    places = (picture.places[seen] * on_photo).astype(np.float64)
    per_mm = picture.px_per_mm * on_photo

    def error(pose: Pose) -> float:
        return float(np.percentile(np.hypot(*(pose.places(points) - places).T) / per_mm, 90))

    found = find_among(photo_field(photo), [know(drawing)], lambda *_: None)
    taps = _far_apart(points)
    rng = np.random.default_rng([piece.number, seed])
    firsts = points[taps] + rng.normal(0, _TAP_MM[0] * on_map, (2, 2))
    seconds = places[taps] + rng.normal(0, _TAP_MM[1] * per_mm, (2, 2))
    tapped = lay_by_taps(drawing, photo, firsts, seconds, on_skin=True)
    return error(found[0].pose) if found else np.inf, error(tapped.pose)


def _far_apart(points: Doubles) -> list[int]:
    apart = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    return [int(one) for one in np.unravel_index(apart.argmax(), apart.shape)]


def main() -> None:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=9)
    parser.add_argument("--pictures", type=int, default=40)
    given = parser.parse_args()
    warnings.simplefilter("ignore", Image.DecompressionBombWarning)
    told: dict[Kind, list[tuple[float, float]]] = defaultdict(list)
    for place, piece in enumerate(plan_pieces(given.pictures)):
        kind = _KINDS[place % len(_KINDS)]
        off = errors(piece, kind, given.seed)
        if off is not None:
            told[kind].append(off)
            print(
                f"{piece.number:03d} {kind.value}: {off[0]:.2f} mm by lines alone, {off[1]:.2f} mm by two taps",
                flush=True,
            )
    for kind, offs in told.items():
        for how, mine in zip(("by lines alone", "by two taps"), np.array(offs).T, strict=True):
            within = ", ".join(f"{np.mean(mine < bound):.0%} within {bound} mm" for bound in (1, 2))
            print(f"{kind.value}, {len(mine)} photos, {how}: {within}")


if __name__ == "__main__":
    main()
