"""Count how one piece goes through a build: files entered, returns to files it had left, floors climbed, depth.

Run by hand: python -m tests.bench.bench_paths ARCHIVE BUILD PIECE, where BUILD is a finished build of the archive,
whose cache spares the reading of pictures; it is built again, with one worker. Counted is what happens inside every
call that is given the piece or its overview. "its page" is the way to the view of its page in the private archive, and
what was worked out for it before.

A file is left when a call enters another one. A climb enters a higher floor than the file before (DEVELOPERS.md,
"Rooms and floors"). Depth counts calls of the package's own functions, from `build` on.
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
# What is worked out once for all pages, and the view of the page itself.
PAGE = {"overview_of", "piece_view"}


class Way:
    """The files one way leads through."""

    def __init__(self) -> None:
        self.calls, self.turns, self.deepest, self.begun = 0, [], 0, 0

    def enter(self, file: str, depth: int) -> None:
        self.calls += 1
        self.deepest = max(self.deepest, depth)
        if not self.turns or self.turns[-1] != file:
            self.turns.append(file)

    def row(self) -> tuple[int, ...]:
        floors = [LAYERS[home(f"archgen.{file.removesuffix('.py').replace('/', '.')}")] for file in self.turns]
        climbs = sum(after > before for before, after in pairwise(floors))
        files = len(set(self.turns))
        return self.begun, self.calls, files, len(self.turns) - files, climbs, self.deepest


class Follower:
    """Follows one piece through a build; to be given to sys.setprofile."""

    def __init__(self, piece_id: str) -> None:
        self.piece_id, self.stack = piece_id, []
        self.whole, self.page = Way(), Way()

    def __call__(self, frame: FrameType, event: str, _: object) -> None:
        file = frame.f_code.co_filename
        if event not in ("call", "return") or not file.startswith(f"{PACKAGE}/"):
            return
        if event == "return":
            if self.stack:
                self.stack.pop()
            return
        on_whole, on_page = self.stack[-1] if self.stack else (False, False)
        about = self._is_about(frame)
        starts_page = about and frame.f_code.co_name in PAGE
        self.whole.begun += about and not on_whole
        self.page.begun += starts_page and not on_page
        self.stack.append((on_whole or about, on_page or starts_page))
        for way, on in zip((self.whole, self.page), self.stack[-1], strict=True):
            if on:
                way.enter(file.removeprefix(f"{PACKAGE}/"), len(self.stack))

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
    heads = ("begun", "calls", "files", "returns", "climbs", "deepest")
    print(f"{'':12}" + "".join(f"{head:>9}" for head in heads))
    for name, way in (("its page", seen.page), ("whole build", seen.whole)):
        print(f"{name:12}" + "".join(f"{number:9}" for number in way.row()))
