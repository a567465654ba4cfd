"""Write the demo archive (python -m tests.demo content) or say what it holds (--list)."""

import argparse
from pathlib import Path

from tests.demo.pieces import PIECES
from tests.demo.write import write_archive


def main() -> int:
    """Write the demo archive, or list what each piece is there to show."""
    parser = argparse.ArgumentParser(prog="python -m tests.demo", description="Write the demo archive.")
    parser.add_argument("out", type=Path, nargs="?", help="the archive folder, for instance content")
    parser.add_argument("--only", nargs="+", metavar="WORD", help="only pieces whose id contains such a word")
    parser.add_argument("--scale", type=float, default=1.0, help="pixels against the full pictures")
    parser.add_argument("--list", action="store_true", help="say what each piece is there to show")
    given = parser.parse_args()
    if given.list:
        print("\n".join(f"- `{piece.id}`: {'; '.join(piece.facts)}" for piece in PIECES))
        return 0
    if given.out is None:
        parser.error("name the archive folder")
    wanted = [piece.id for piece in PIECES if any(word in piece.id for word in given.only)] if given.only else None
    for name in write_archive(given.out, wanted, given.scale):
        print(name)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
