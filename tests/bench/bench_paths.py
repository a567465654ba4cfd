"""Count how one piece goes through a build: files entered, returns to files it had left, floors climbed, depth.

Run by hand: python -m tests.bench.bench_paths ARCHIVE BUILD PIECE, where BUILD is a finished build of the archive,
whose cache spares the reading of pictures; it is built again, with one worker. Counted is what happens where the
piece's overview is worked out, and where its page in the private archive is worded from it.

A reader of the code reads every function once. So a turn is the first call of a function that stands in another file
than the one read before; a return is a turn to a file that was read in already, a climb one to a higher floor
(DEVELOPERS.md, "Rooms and floors"). Depth counts calls of the package's own functions, from `build` on.
"""

import datetime as dt
import sys
from itertools import pairwise
from pathlib import Path
from types import FrameType

import archgen
from archgen.build import Options, build
from archgen.progress import Silent
from archgen.records.model import Piece
from tests.test_layers import LAYERS, home

PACKAGE = Path(archgen.__file__).parent
# What is looked at, and the function it begins in.
WAYS = {"worked out": "overview_of", "its page": "piece_view"}


class Way:
    """The files one way leads through."""

    def __init__(self) -> None:
        self.calls, self.turns, self.functions, self.deepest, self.times = 0, [], set(), 0, 0

    def enter(self, file: str, function: object, depth: int) -> None:
        self.calls += 1
        self.deepest = max(self.deepest, depth)
        if function not in self.functions and (not self.turns or self.turns[-1] != file):
            self.turns.append(file)
        self.functions.add(function)

    def row(self) -> tuple[int, ...]:
        floors = [LAYERS[home(f"archgen.{file.removesuffix('.py').replace('/', '.')}")] for file in self.turns]
        climbs = sum(after > before for before, after in pairwise(floors))
        files = len(set(self.turns))
        return self.times, self.calls, files, len(self.turns) - files, climbs, self.deepest


class Follower:
    """Follows one piece through a build; to be given to sys.setprofile."""

    def __init__(self, piece_id: str) -> None:
        self.piece_id, self.stack = piece_id, [frozenset()]
        self.ways = {name: Way() for name in WAYS}

    def __call__(self, frame: FrameType, event: str, _: object) -> None:
        file = frame.f_code.co_filename
        if event not in ("call", "return") or not file.startswith(f"{PACKAGE}/"):
            return
        if event == "return":
            # Calls that were made before return too.
            self.stack[1:] = self.stack[1:-1]
            return
        begun = {name for name, start in WAYS.items() if start == frame.f_code.co_name and self._is_about(frame)}
        for name in begun:
            self.ways[name].times += 1
        self.stack.append(self.stack[-1] | begun)
        for name in self.stack[-1]:
            self.ways[name].enter(file.removeprefix(f"{PACKAGE}/"), frame.f_code, len(self.stack) - 1)

    def _is_about(self, frame: FrameType) -> bool:
        names = frame.f_code.co_varnames[: frame.f_code.co_argcount]
        return any(self._is_piece(frame.f_locals.get(name)) for name in names)

    def _is_piece(self, value: object) -> bool:
        if isinstance(value, Piece):
            return value.id == self.piece_id
        own = getattr(value, "piece", None)
        return isinstance(own, Piece) and own.id == self.piece_id


def follow(root: Path, out: Path, piece_id: str) -> Follower:
    """Build the archive and give what was seen."""
    follower = Follower(piece_id)
    sys.setprofile(follower)
    try:
        build(root, out, Options(1, dt.date(2026, 11, 29)), Silent())
    finally:
        sys.setprofile(None)
    return follower


if __name__ == "__main__":
    seen = follow(Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3])
    heads = ("times", "calls", "files", "returns", "climbs", "deepest")
    print(f"{'':12}" + "".join(f"{head:>9}" for head in heads))
    for name, way in seen.ways.items():
        print(f"{name:12}" + "".join(f"{number:9}" for number in way.row()))
