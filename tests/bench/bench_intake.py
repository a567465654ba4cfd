"""Measure what an intake recognises and how long it takes; by hand, from the folder of the checkout.

    python -m tests.bench.bench_intake recognise [--pieces 300] [--drawn DIR]
    python -m tests.bench.bench_intake time [--pictures 200] [--heic]
    python -m tests.bench.bench_intake sort

`recognise` draws an archive of so many pieces with one fresh photo each, and later photos of every sixth piece and of
the demo's own motifs (tests/bench/drawn_archive.py); it needs Debian's openclipart-png. It says how often the right
piece is among the first three proposals, by pixels alone and with day and client known, and what is filed unasked.
"""

import argparse
import datetime as dt
import io
import random
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from PIL import Image

from archgen.build import Options, read_catalogue
from archgen.intake.decided import sure_groups
from archgen.intake.plan import IntakePlan
from archgen.intake.propose import IntakeTools, propose_intake
from archgen.intake.reading.look import Unreadable, look_at_all
from archgen.intake.reading.sorting import sort_picture
from archgen.intake.sources import gather
from archgen.progress import Silent
from archgen.storage.cache import Cache
from archgen.storage.jobs import default_workers
from tests.bench.drawn_archive import DrawnPiece, fresh_photo, later_photo, plan_pieces
from tests.demo.exif import Shot, exif_block
from tests.expected_kinds import expected_kinds

TODAY = dt.date(2026, 11, 29)
QUALITY = 80


def recognise(count: int, drawn: Path) -> None:
    """Draw, plan, and say the figures."""
    pieces = plan_pieces(count)
    asked = [piece for piece in pieces if piece.number < 14 or piece.number % 6 == 0]
    for piece in pieces:
        _drawn(drawn / f"{piece.number:03d}-fresh.jpg", piece, later=False)
    for piece in asked:
        _drawn(drawn / f"{piece.number:03d}-healed.jpg", piece, later=True)
    with TemporaryDirectory(prefix="archgen-bench-") as folder:
        root = Path(folder, "archive")
        for piece in pieces:
            _file(root, piece, drawn / f"{piece.number:03d}-fresh.jpg")
        codes = sorted({piece.client for piece in pieces})
        _text(root / "clients.toml", "".join(f'[[client]]\ncode = "{code}"\n\n' for code in codes))
        with _tools(root, Path(folder, "cache")) as tools:
            for known in (False, True):
                source = Path(folder, "known" if known else "pixels")
                names = {_offer(source, piece, drawn, known=known): piece for piece in asked}
                started, cpu = time.monotonic(), time.process_time()
                with gather([source], root) as gathered:
                    plan = propose_intake(gathered, tools)
                spent = time.monotonic() - started, time.process_time() - cpu
                _say("day and client known" if known else "pixels only", plan, names, spent)


def _say(what: str, plan: IntakePlan, names: dict[str, DrawnPiece], spent: tuple[float, float]) -> None:
    places: dict[str, int] = {}
    wrong_first: list[str] = []
    for group in plan.groups:
        order = [one.piece for one in group.proposals]
        for picture in group.pictures:
            right = names[picture.name].id
            places[picture.name] = order.index(right) + 1 if right in order else 99
            if group.proposals and group.proposals[0].by_lines and order[0] != right:
                wrong_first.append(f"{picture.name}: {order[0]}")
    found = np.array([places.get(name, 99) for name in names])
    unasked = sum(one.piece is not None for one in sure_groups(plan)[0])
    print(
        f"{what}: {len(names)} later photos; right piece first {np.mean(found == 1):.0%}, among three "
        f"{np.mean(found <= 3):.0%}; wrong piece first by lines {len(wrong_first)}; filed there unasked {unasked}; "
        f"{spent[0]:.0f} s ({spent[1]:.0f} s of processor)"
    )
    print(
        "  not found:", ", ".join(sorted(f"{names[n].number} {names[n].drawing}" for n, p in places.items() if p > 3))
    )
    print("  wrong:", "; ".join(wrong_first), "| left out:", len(plan.filed), len(plan.not_taken))


def _drawn(path: Path, piece: DrawnPiece, *, later: bool) -> None:
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        (later_photo(piece) if later else fresh_photo(piece)).save(path, quality=QUALITY)


def _file(root: Path, piece: DrawnPiece, photo: Path) -> None:
    folder = root / "pieces" / piece.id
    _text(
        folder / "piece.toml",
        f'title = "Piece {piece.number}"\nclient = "{piece.client}"\n\n[[sitting]]\ndate = {piece.day}\n\n'
        f'[[photo]]\nfile = "photos/fresh.jpg"\nstage = "fresh"\ntaken = {piece.day}\n',
    )
    (folder / "photos").mkdir()
    (folder / "photos" / "fresh.jpg").write_bytes(photo.read_bytes())


def _offer(source: Path, piece: DrawnPiece, drawn: Path, *, known: bool) -> str:
    """Put a later photo where the intake looks; names tell nothing but, where known, the client."""
    letters = "".join(random.Random(piece.number).choices("abcdefghijklmnopqrstuvwxyz", k=9))
    name = f"{piece.client}/{letters}.jpg" if known else f"{letters}.jpg"
    path = source / name
    path.parent.mkdir(parents=True, exist_ok=True)
    content = (drawn / f"{piece.number:03d}-healed.jpg").read_bytes()
    if known:
        days = 40 + random.Random(piece.number).randrange(120)
        taken = dt.datetime.combine(piece.day + dt.timedelta(days=days), dt.time(11, 30))
        with Image.open(io.BytesIO(content)) as picture:
            picture.save(path, quality=90, exif=b"Exif\0\0" + exif_block(Shot(taken)))
    else:
        path.write_bytes(content)
    return name


@contextmanager
def _tools(root: Path, folder: Path) -> Iterator[IntakeTools]:
    cache = Cache(folder)
    catalogue = read_catalogue(root, cache, Options(default_workers(), TODAY), Silent())
    yield IntakeTools(catalogue, cache, Cache(folder / "intake"), default_workers(), Silent())


def time_pictures(count: int, *, heic: bool) -> None:
    """Plan so many pictures of 12 megapixels into an empty archive; half of them as a telephone's HEIC when asked."""
    with TemporaryDirectory(prefix="archgen-bench-") as folder:
        root, source = Path(folder, "archive"), Path(folder, "phone")
        (root / "pieces").mkdir(parents=True)
        source.mkdir()
        _phone_pictures(source, count, heic=heic)
        with _tools(root, Path(folder, "cache")) as tools:
            started, cpu = time.monotonic(), time.process_time()
            with gather([source], root) as gathered:
                plan = propose_intake(gathered, tools)
            took, used = time.monotonic() - started, time.process_time() - cpu
    kind = "HEIC and JPEG" if heic else "JPEG"
    print(f"{count} {kind} pictures of 12 MP: {took:.0f} s, {used:.0f} s of processor; {len(plan.groups)} groups")


def _phone_pictures(source: Path, count: int, *, heic: bool) -> None:
    """Enlarge a few drawn photos to 12 megapixels; ten of a sitting differ in their time alone, so in their bytes."""
    first = dt.datetime.fromisoformat("2026-03-02 10:00")
    stamp = first.strftime("%Y:%m:%d %H:%M:%S").encode()
    bases: dict[tuple[int, bool], bytes] = {}
    for number in range(count):
        sitting, shot = divmod(number, 10)
        key = sitting % 4, heic and number % 2 == 1
        if key not in bases:
            picture, held = fresh_photo(plan_pieces(4)[key[0]]).resize((3024, 4032)), io.BytesIO()
            exif = b"Exif\0\0" + exif_block(Shot(first))
            picture.save(held, "HEIF" if key[1] else "JPEG", quality=50 if key[1] else 85, exif=exif)
            bases[key] = held.getvalue()
        taken = first + dt.timedelta(days=sitting, minutes=18 * shot)
        content = bases[key].replace(stamp, taken.strftime("%Y:%m:%d %H:%M:%S").encode())
        (source / f"IMG_{2000 + number}.{'heic' if key[1] else 'jpg'}").write_bytes(content)


def sort() -> None:
    """Say how many pictures of known kind are sorted right, the half that limits were set on and the other."""
    every = list(expected_kinds())
    with TemporaryDirectory(prefix="archgen-bench-") as folder:
        looks = look_at_all([one.path for one in every], Cache(Path(folder)), default_workers(), Silent())
        for is_held_back in (False, True):
            right, wrong = Counter[str](), list[str]()
            half = [one for one in every if one.is_held_back is is_held_back]
            for one in half:
                seen = looks[one.path]
                found = None if isinstance(seen, Unreadable) else sort_picture(seen, one.path.name)
                right[one.source] += found is not None and found.role is one.role
                if found is None or found.role is not one.role:
                    wrong.append(f"{one.path}: {found.reason if found else 'not read'}")
            all_of = Counter(one.source for one in half)
            figures = ", ".join(f"{source} {right[source]} of {all_of[source]}" for source in all_of)
            share = sum(right.values()) / max(len(half), 1)
            print(f"{'held back' if is_held_back else 'seen'}: {share:.1%} of {len(half)}; {figures}")
            print("\n".join(f"  {one}" for one in wrong))


def _text(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def main() -> None:
    """Run what was asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("what", choices=("recognise", "time", "sort"))
    parser.add_argument("--pieces", type=int, default=300)
    parser.add_argument("--pictures", type=int, default=200)
    parser.add_argument("--heic", action="store_true")
    parser.add_argument("--drawn", type=Path, default=Path("drawn"))
    asked = parser.parse_args()
    if asked.what == "recognise":
        recognise(asked.pieces, asked.drawn)
    elif asked.what == "sort":
        sort()
    else:
        time_pictures(asked.pictures, heic=asked.heic)


if __name__ == "__main__":
    main()
